"""The letters of every paper, shipped so that a paper is the same on every machine."""
