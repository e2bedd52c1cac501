"""Crawl spaces join through sleeper walls, lofts through the gaps between roofs."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.voids.site import Proposal, Rule, Site


def propose(site: Site) -> Iterator[Proposal]:
    """Yield the ways between crawl spaces and between lofts."""
    for contact in site.pairs("crawl", "crawl"):
        words = "through the sleeper wall"
        yield site.propose(contact, "sleeper wall", "honeycomb", words)
    for contact in site.pairs("loft", "loft"):
        yield site.propose(contact, "between roofs", "open", "on through the roof space")


RULE = Rule("large spaces", "sleeper walls and joined lofts", propose)
