"""One day for the crew: what is signed, hold points, sheets and fans, wetting, van."""
