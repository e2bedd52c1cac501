"""The next check that is worth most for what it costs."""
