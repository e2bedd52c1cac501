"""What is closed and what is still to close, in which order, with photos."""
