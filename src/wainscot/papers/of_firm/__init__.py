"""Papers of the firm, which tell of all its jobs: made as those of a job are, from other values."""
