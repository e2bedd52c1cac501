"""The house of all papers: it has something to say of a quote."""

from wainscot.papers.example import house as example

__all__ = ["example"]
