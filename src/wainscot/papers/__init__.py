"""Papers made from the steps' results: one folder is one paper, with its view and its page."""
