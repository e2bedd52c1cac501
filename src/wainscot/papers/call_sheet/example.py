"""The house of all papers: it has something to say of this paper."""

from wainscot.papers.example import house as example

__all__ = ["example"]
