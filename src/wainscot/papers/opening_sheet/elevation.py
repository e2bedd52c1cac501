"""A wall's elevation with its cuts, dimensioned from a corner and the floor for a pencil."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import shapely

from wainscot.access import CutAt
from wainscot.drawing import BELOW, PENCIL, Chain, Drawing, Letters, Shape, Sign, between, inwards
from wainscot.drawing.lengths import Way
from wainscot.drawing.model import Point, Stop, stop
from wainscot.papers.opening_sheet.geometry import areas
from wainscot.papers.opening_sheet.model import Mark
from wainscot.papers.opening_sheet.telling import TURNED, Pair, distance, mark, short
from wainscot.papers.opening_sheet.walls import Panel, SeenWall
from wainscot.plan.model import ServiceRun
from wainscot.quantity import Units


def nearest_corner(seen: SeenWall, panels: Sequence[Panel]) -> float:
    """Return where the corner nearer to the cuts lies along the wall. [m]"""
    low, high = min(one[0] for one in panels), max(one[2] for one in panels)
    return 0.0 if low <= seen.side.length - high + 1e-6 else seen.side.length


def corner_words(seen: SeenWall, datum: float) -> str:
    """Return which corner a wall is measured from.

    Parameters
    ----------
    seen : SeenWall
        The wall.
    datum : float
        Where the corner lies along it. [m]
    """
    return "left-hand corner" if datum == 0.0 else "right-hand corner"


def pilot_at(seen: SeenWall, panel: Panel) -> Point:
    """Return where the pilot hole goes: the middle of the widest bay that a cut lays open. [m]"""
    clear = [
        (max(panel[0], bay[0]), min(panel[2], bay[2]))
        for _, bay in seen.bays
        if min(panel[2], bay[2]) - max(panel[0], bay[0]) > 0.02
        and min(panel[3], bay[3]) > max(panel[1], bay[1])
    ]
    low, high = max(clear, key=lambda one: one[1] - one[0], default=(panel[0], panel[2]))
    return ((low + high) / 2, (panel[1] + panel[3]) / 2)


def elevation(
    seen: SeenWall, cuts: Sequence[CutAt], key: str, title: str
) -> tuple[Drawing, tuple[Mark, ...]]:
    """Return the wall's elevation with its cuts, and the marks to make.

    Parameters
    ----------
    seen : SeenWall
        The wall.
    cuts : sequence of CutAt
        Cuts in it.
    key, title : str
        Of the drawing.
    """
    units = seen.scene.plan.units
    exact = sorted(seen.panel(cut) for cut in cuts)
    datum = nearest_corner(seen, exact)
    sawn = all(cut.sawn for cut in cuts)
    panels = [_on_tape(seen, one, datum, sawn) for one in exact]
    long = seen.side.length
    shapes = [
        *areas("member", seen.members & shapely.box(0, 0, long, seen.height)),
        Shape("room", ((0.0, 0.0), (long, 0.0), (long, seen.height), (0.0, seen.height)), True),
        *(Shape("outline", _corners(panel), True) for _, panel in seen.doors),
        *(Shape("service", (a, b), width=run.diameter) for run, a, b in seen.services),
        *(Shape("fixture", _corners(_within(panel, long)), True) for _, panel in seen.before),
        *(Shape("cut" if sawn else "done", _corners(panel), True) for panel in panels),
    ]  # fmt: skip
    signs = [Sign("datum", (datum, 0.0), "0", leftward=datum > 0)]
    if sawn:
        signs += [
            Sign("pilot", pilot_at(seen, panel), "P" if len(panels) == 1 else f"P{n}")
            for n, panel in enumerate(panels, 1)
        ]
    drawing = Drawing(
        key=key, title=title, window=(0.0, 0.0, long, seen.height), shapes=tuple(shapes),
        signs=tuple(signs), letters=tuple(_names(seen, panels)),
        chains=_chains(seen, exact, panels, datum, sawn), units=units, grain=PENCIL,
        about=f"{title}: seen from the room, measured from the {corner_words(seen, datum)} and "
        "the finished floor.",
    )  # fmt: skip
    return drawing, tuple(_marks(seen, exact, datum, sawn))


def marked(seen: SeenWall, cuts: Sequence[CutAt]) -> Iterator[tuple[Pair, Pair]]:
    """Return width and height of each cut as it is marked out, on both tapes."""
    units = seen.scene.plan.units
    exact = sorted(seen.panel(cut) for cut in cuts)
    datum = nearest_corner(seen, exact)
    for left, low, right, high in exact:
        wide = between(left - datum, right - datum, units, PENCIL)
        yield wide, between(low, high, units, PENCIL)


def _on_tape(seen: SeenWall, exact: Panel, datum: float, sawn: bool) -> Panel:
    """Return a cut with its edges on marks of the tape, never outside of what was judged."""
    if not sawn:
        return exact
    units = seen.scene.plan.units
    left, right = inwards(exact[0] - datum, exact[2] - datum, units, PENCIL)
    low, high = inwards(exact[1], exact[3], units, PENCIL)
    return (datum + left, low, datum + right, high)


def _corners(panel: Panel) -> tuple[Point, ...]:
    west, south, east, north = panel
    return ((west, south), (east, south), (east, north), (west, north))


def _within(panel: Panel, long: float) -> Panel:
    return (max(panel[0], 0.0), panel[1], min(panel[2], long), panel[3])


def _names(seen: SeenWall, panels: Sequence[Panel]) -> Iterator[Letters]:
    """Words for doors, fixtures and services, where the cut leaves room."""
    taken = [shapely.box(*panel).buffer(0.05) for panel in panels]
    for name, panel in (*seen.doors, *seen.before):
        at = ((max(panel[0], 0.0) + min(panel[2], seen.side.length)) / 2,
              panel[3] - 0.12 * seen.height)  # fmt: skip
        if not any(one.contains(shapely.Point(at)) for one in taken):
            yield Letters(at, short(name))
    told: set[str] = set()
    for run, a, b in seen.services:
        if run.id not in told:
            told.add(run.id)
            top = a if a[1] >= b[1] else b
            at = (min(max(top[0], 0.0), seen.side.length), min(top[1], seen.height * 0.93))
            far = at[0] > seen.side.length * 0.6
            yield Letters(at, short(run.name or run.type), "end" if far else "start",
                          nudge=(-1.4 if far else 1.4, -1.5))  # fmt: skip


def _chains(
    seen: SeenWall,
    exact: Sequence[Panel],
    panels: Sequence[Panel],
    datum: float,
    sawn: bool,
) -> tuple[Chain, ...]:
    ways: tuple[Way, Way] = ("up", "down") if sawn else ("nearest", "nearest")
    across = [stop(datum, 0.0, PENCIL)]
    far = seen.side.length - datum
    across.append(stop(far, far - datum, PENCIL))
    for one, on_tape in zip(exact, panels, strict=True):
        across.append(stop(on_tape[0], one[0] - datum, PENCIL, ways[0]))
        across.append(stop(on_tape[2], one[2] - datum, PENCIL, ways[1]))
    heights = {(one[1], one[3]): (p[1], p[3]) for one, p in zip(exact, panels, strict=True)}
    chains = [Chain("x", _ordered(across), 0.0, -1)]
    for row, ((low, high), drawn) in enumerate(sorted(heights.items())):
        upright = [
            stop(0.0, 0.0, PENCIL),
            stop(drawn[0], low, PENCIL, ways[0]),
            stop(drawn[1], high, PENCIL, ways[1]),
        ]
        chains.append(Chain("y", _ordered(upright), seen.side.length, 1, row))
    return tuple(chains[:3])


def _ordered(stops: Sequence[Stop]) -> tuple[Stop, ...]:
    """Stops by their coordinate, one of each."""
    found = {round(one.at, 6): one for one in sorted(stops, key=lambda one: one.at)}
    return tuple(found[at] for at in sorted(found))


def _marks(
    seen: SeenWall,
    exact: Sequence[Panel],
    datum: float,
    sawn: bool,
) -> Iterator[Mark]:
    units = seen.scene.plan.units
    corner = f"from the {corner_words(seen, datum)}"
    sign = 1.0 if datum == 0.0 else -1.0
    if not sawn:
        west, _, east, north = exact[0]
        yield mark("whole face, width", "corner to corner", east - west, units, PENCIL)
        yield mark("whole face, height", "floor to ceiling", north, units, PENCIL)
        return
    for n, panel in enumerate(exact, 1):
        of = f", cut {n}" if len(exact) > 1 else ""
        ways: tuple[tuple[str, float, Way], ...] = (
            ("left", panel[0], "up"), ("right", panel[2], "down")
        )  # fmt: skip
        for name, edge, way in ways:
            # A distance to the right-hand corner shrinks where the coordinate grows.
            turned = TURNED[way] if sign < 0 else way
            yield mark(f"{name} saw line{of}", corner, sign * (edge - datum), units, PENCIL, turned)
        yield mark(f"lower saw line{of}", "up from the floor", panel[1], units, PENCIL, "up")
        yield mark(f"upper saw line{of}", "up from the floor", panel[3], units, PENCIL, "down")
        pilot = pilot_at(seen, panel)
        first, second = distance(sign * (pilot[0] - datum), units, PENCIL)
        up = distance(pilot[1], units, PENCIL)
        yield Mark(f"pilot hole P{of}", f"{corner} / up", f"{first} / {up[0]}",
                   f"{second} / {up[1]}", strong=False)  # fmt: skip


def beside(seen: SeenWall, cuts: Sequence[CutAt]) -> Iterator[str]:
    """Return the members and services beside cuts in a wall, with their distances."""
    units = seen.scene.plan.units
    for n, cut in enumerate(cuts, 1):
        panel = seen.panel(cut)
        of = f" of cut {n}" if len(cuts) > 1 else ""
        middle = (panel[1] + panel[3]) / 2
        if not seen.members.is_empty:
            yield from _studs(seen, panel, middle, of, sawn=cut.sawn)
        yield from _runs(seen, panel, of, sawn=cut.sawn)
    for name, panel in seen.before:
        high = distance(panel[3], units, PENCIL)[0]
        yield f"{short(name, 40)} stands before this wall, {high} high"


def _studs(seen: SeenWall, panel: Panel, middle: float, of: str, *, sawn: bool) -> Iterator[str]:
    units = seen.scene.plan.units
    row = shapely.LineString([(-1.0, middle), (seen.side.length + 1.0, middle)]) & seen.members
    spans = [part.bounds for part in getattr(row, "geoms", [row]) if not part.is_empty]
    left = [one for one in spans if one[2] <= panel[0] + 0.01]
    right = [one for one in spans if one[0] >= panel[2] - 0.01]
    inside = [one for one in spans if one[0] > panel[0] + 0.01 and one[2] < panel[2] - 0.01]
    if not sawn:
        yield f"{len(spans)} studs drawn behind the board"
        return
    sides = []
    if left:
        one = max(left, key=lambda each: each[2])
        sides.append(_member("left", panel[0] - one[2], one[2] - one[0], units))
    if right:
        one = min(right, key=lambda each: each[0])
        sides.append(_member("right", one[0] - panel[2], one[2] - one[0], units))
    if sides:
        yield f"studs{of}: {'; '.join(sides)}"
    if inside:
        count = len(inside)
        yield (
            f"{count} stud{'s' if count > 1 else ''} behind the board{of}: the saw crosses "
            f"{'their' if count > 1 else 'its'} face and no deeper than the board"
        )


def _member(side: str, gap: float, thick: float, units: Units) -> str:
    wide = distance(thick, units, BELOW)[0]
    if gap < 0.008:
        return f"the {side} saw line is the face of one {wide} wide"
    return f"one {wide} wide stands {distance(gap, units, PENCIL)[0]} {side} of the cut"


def run_words(run: ServiceRun, gap: float | None, units: Units, of: str) -> str:
    """Return a pipe or cable beside a cut, with its distance; None where nothing is sawn.

    Parameters
    ----------
    run : ServiceRun
        What runs there.
    gap : float, optional
        From its skin to the nearest saw line. [m]
    units : {"ft-in", "m"}
        The job's tape.
    of : str
        Words that say which cut.
    """
    thick = distance(run.diameter, units, BELOW)[0]
    name = f"{short(run.name or run.type, 40)}, {thick} across"
    if gap is None:
        return f"{name}: runs behind what comes off"
    away = distance(max(gap, 0.0), units, PENCIL, "down")[0]
    return f"{name}: {away} from the nearest saw line{of}"


def _runs(seen: SeenWall, panel: Panel, of: str, *, sawn: bool) -> Iterator[str]:
    units = seen.scene.plan.units
    area = shapely.box(*panel)
    nearest: dict[str, tuple[float, ServiceRun]] = {}
    for run, a, b in seen.services:
        gap = float(shapely.distance(shapely.LineString([a, b]), area)) - run.diameter / 2
        if gap < 1.0 and (run.id not in nearest or gap < nearest[run.id][0]):
            nearest[run.id] = (gap, run)
    for gap, run in sorted(nearest.values(), key=lambda one: one[0]):
        yield run_words(run, gap if sawn else None, units, of)
