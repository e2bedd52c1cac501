"""What is tried, one file a target: ``seeds()`` to begin with, ``one(data)`` tries one input."""
