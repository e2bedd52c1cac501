"""The cheapest seals that leave no drawn path inside, what they are made of, and in which order.

    sealing = seal_lists(job, given_up=("crawl space",))
    sealing.lists[0].seals, sealing.lists[0].statement

Limits: of what was drawn and inspected only; most hours are judged.
"""

from wainscot.sealing.listing import seal_list, second_layer, voids_named
from wainscot.sealing.model import Remaining, Seal, Sealing, SealList, SecondLayer, Way
from wainscot.sealing.of_job import seal_lists, signed_of
from wainscot.sealing.order import Step, order_of
from wainscot.sealing.ways import Signed, ways_in

__all__ = [
    "Remaining",
    "Seal",
    "SealList",
    "Sealing",
    "SecondLayer",
    "Signed",
    "Step",
    "Way",
    "order_of",
    "seal_list",
    "seal_lists",
    "second_layer",
    "signed_of",
    "voids_named",
    "ways_in",
]
