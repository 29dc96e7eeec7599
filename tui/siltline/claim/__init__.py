"""What leaves the house: the folder for the insurer."""
