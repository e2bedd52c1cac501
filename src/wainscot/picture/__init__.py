"""The picture: a plan in SVG that says where animals are likely, how they go, and what was seen.

    from wainscot.picture import compose, draw

    svg = draw(compose(job, plan, graph, evidence, diagnosis, shows="soiled", date="12 May 2026"))

Rooms stay bare; hidden voids carry the chance as fill, hatch and number, so that it reads in grey
and for every kind of sight.  Storeys stand side by side, each over what lies under its floor.

Limits: flat views; a void narrower than a finger is drawn wider than it is; at most three runs.
"""

from wainscot.picture.compose import compose
from wainscot.picture.draw import draw
from wainscot.picture.sheet import Sheet

__all__ = ["Sheet", "compose", "draw"]
