"""Every change of the tables, oldest first."""
