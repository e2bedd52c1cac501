"""The record's tables, one file a change, shipped with the program."""
