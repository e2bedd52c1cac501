"""From where a hand or a blade could come into each space."""

from __future__ import annotations

from typing import Literal

from wainscot.voids.contacts import Contact
from wainscot.voids.graph import Face
from wainscot.voids.site import Site

THICKEST = 0.13


def faces(site: Site, v: int) -> tuple[Face, ...]:
    """Return the faces of a space, by room and part.

    Parameters
    ----------
    site : Site
        All spaces with their contacts.
    v : int
        Index of the space.
    """
    space = site.spaces[v]
    if not space.hidden:
        return ()
    found = []
    for one in site.touching.get(v, []):
        other = site.spaces[one.b]
        if one.gap > THICKEST:
            continue
        if other.form == "crawl" and space.form == "joist bay":
            found.append(Face("", "ceiling", "open joists", _area(one)))
        elif other.form == "room" and one.axis < 3 and space.form != "fixture":
            found.append(_from_room(site, one))
    if space.fixture is not None:
        west, south, east, north = space.plot.bounds
        wide = (east - west) if space.fixture.side.axis == "x" else (north - south)
        front = wide * (space.top - space.bottom)
        sizes = {"front": front, "top": space.area, "ceiling": space.area}
        found += [
            Face(space.fixture.room, part, finish, sizes[part])  # type: ignore[arg-type]  # a word of a fixture's file
            for part, finish in space.own_faces
        ]
    return tuple(sorted(found, key=lambda face: (face.room, face.part, face.finish)))


def _from_room(site: Site, one: Contact) -> Face:
    space, room = site.spaces[one.a], site.spaces[one.b]
    if one.axis == 2:
        below = space.bottom < room.bottom
        part: Literal["floor", "ceiling"] = "floor" if below else "ceiling"
        finish = "floor boards" if below else "ceiling board"
        return Face(room.key, part, finish, _area(one))
    finish = space.wall.finish if space.wall else "plasterboard"
    return Face(room.key, "wall", finish, _area(one))


def _area(one: Contact) -> float:
    return one.spans[0] * one.spans[1]
