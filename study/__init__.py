"""Studies of the whole engine: does it say what is true as often as it claims?"""
