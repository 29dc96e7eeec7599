"""Photos as proof: taken from disk with care, read in a process of their own, placed in time."""
