"""The cheapest seals that leave no drawn path inside, what they are made of, and in which order.

    sealing = seal_lists(job, Terms(given_up=("crawl space",)))
    sealing.lists[0].seals, sealing.lists[0].statement

Limits: of what was drawn and inspected only; most hours are judged.
"""

from wainscot.sealing.isolation import isolation, likely_nests
from wainscot.sealing.listing import seal_list, second_layer, voids_named
from wainscot.sealing.model import (
    Isolation,
    Remaining,
    Seal,
    Sealing,
    SealList,
    SecondLayer,
    Spot,
    Step,
    Terms,
    Today,
    Way,
)
from wainscot.sealing.of_job import ordered, seal_lists, signed_of, terms_of
from wainscot.sealing.order import order_of, used_ways
from wainscot.sealing.rows import Left, Row, left_of, letter, ranges, rows_of
from wainscot.sealing.terms import terms_faults
from wainscot.sealing.ways import Signed, ways_in

__all__ = [
    "Isolation",
    "Left",
    "Remaining",
    "Row",
    "Seal",
    "SealList",
    "Sealing",
    "SecondLayer",
    "Signed",
    "Spot",
    "Step",
    "Terms",
    "Today",
    "Way",
    "isolation",
    "left_of",
    "letter",
    "likely_nests",
    "order_of",
    "ordered",
    "ranges",
    "rows_of",
    "seal_list",
    "seal_lists",
    "second_layer",
    "signed_of",
    "terms_faults",
    "terms_of",
    "used_ways",
    "voids_named",
    "ways_in",
]
