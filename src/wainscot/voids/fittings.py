"""Fixtures become the voids that their kinds describe; no type is named here."""

from __future__ import annotations

import shapely

from wainscot.plan.kind import kinds
from wainscot.plan.model import Plan
from wainscot.voids.plots import Plot, plot_of
from wainscot.voids.space import Space, Touch


def fixture_spaces(plan: Plan) -> list[Space]:
    """Return the voids that fixtures make.

    Parameters
    ----------
    plan : Plan
        The plan.
    """
    found = []
    names = {room.id: room.name for room in plan.rooms}
    rooms = {room.id: shapely.Polygon(room.polygon) for room in plan.rooms}
    for fixture in plan.fixtures:
        kind = kinds()[fixture.type]
        floor = plan.storey(fixture.storey).elevation
        for cavity in kind.cavities(fixture):
            box = cavity.box
            rectangle = fixture.place(box.u_low, box.u_high, box.v_low, box.v_high)
            plot = Plot((rectangle,), fixture.side.turn)
            if kind.whole_room:
                plot = plot_of(plot.polygon.intersection(rooms[fixture.room]), fixture.side.turn)
            touches: tuple[Touch, ...] = ()
            if cavity.flue:
                top = (*plot.inside, floor + box.z_high)
                touches = (Touch("outside", "flue", "flue", cavity.flue, top),)
            found.append(
                Space(
                    key=f"{fixture.id}/{cavity.role}",
                    form="fixture",
                    kind=cavity.kind,
                    letter=kind.letter,
                    words=f"{cavity.words} {{label}}, {names[fixture.room]}",
                    owner=fixture.id,
                    storey=fixture.storey,
                    plot=plot,
                    bottom=floor + box.z_low,
                    top=floor + box.z_high,
                    volume=plot.area * (box.z_high - box.z_low) * cavity.share,
                    fixture=fixture,
                    role=cavity.role,
                    own_faces=cavity.faces,
                    own_harborage=cavity.harborage,
                    touches=touches,
                )
            )
    return found
