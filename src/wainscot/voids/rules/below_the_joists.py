"""Over a crawl space the joist bays are open from below."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.voids.site import Proposal, Rule, Site


def propose(site: Site) -> Iterator[Proposal]:
    """Yield the open underside of each joist bay."""
    for contact in site.pairs("crawl", "joist bay"):
        if contact.axis == 2 and contact.gap <= 0.05:
            words = "the open underside of the joists"
            yield site.propose(contact, "below the joists", "open", words)


RULE = Rule("below the joists", "joist bays open to the crawl space", propose)
