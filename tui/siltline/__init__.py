"""siltline: from the silt line of a flooded house to a dry, proved, paid one."""

__version__ = "0.1.0"
