"""One page for each opening that the owner is asked for: what, why, what it risks."""
