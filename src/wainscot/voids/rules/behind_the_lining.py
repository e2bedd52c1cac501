"""The gap behind a lining runs all over the wall and opens into floor voids and lofts."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.voids.site import Proposal, Rule, Site
from wainscot.voids.space import Form

ENDS: tuple[Form, ...] = ("joist bay", "loft", "crawl")


def propose(site: Site) -> Iterator[Proposal]:
    """Yield the ways out of each gap behind a lining."""
    for form in ENDS:
        for contact in site.pairs("lining", form):
            if contact.axis == 2 and contact.gap <= 0.13:
                words = "the open end of the lining"
                yield site.propose(contact, "behind the lining", "ends", words)
    for contact in site.pairs("lining", "lining"):
        if contact.gap <= 0.13:
            words = "round the corner behind the lining"
            yield site.propose(contact, "behind the lining", "beside", words)


RULE = Rule("behind the lining", "the gap behind boards on dabs or straps", propose)
