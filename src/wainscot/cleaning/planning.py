"""The plan of a cleaning: in what order, how much, how long it stays wet, what becomes waste.

Limits: areas come from the geometry of the voids and take a void as bare; how much droppings lie
there is not known before it is open, so bags are counted from what is taken out and per void.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import msgspec
import numpy as np

from wainscot.access.model import DEFER, HoldPoint
from wainscot.air import MoistAir
from wainscot.air.asking import positive
from wainscot.cleaning.drying import CIRCUITS
from wainscot.cleaning.film import Film, film
from wainscot.cleaning.mixing import Mix, mix
from wainscot.cleaning.products import Label, Material, may_follow, products
from wainscot.errors import Fault, InputError, unknown_word
from wainscot.sources import Cited, judged
from wainscot.voids.graph import Graph

POROUS = {
    "sealed": judged(1.0, "1", "the coverage is for this"),
    "metal": judged(1.0, "1", "as sealed"),
    "wood": Cited(2.0, "1", "common practice", "bare: 1.5 to 3 times", "common practice"),
    "gypsum paper": Cited(2.0, "1", "common practice", "1.5 to 3 times", "common practice"),
    "masonry": Cited(3.0, "1", "common practice", "1.5 to 3 times", "common practice"),
    "fabric": judged(3.0, "1", "soaks through"),
}
"""How many times the coverage of a sealed surface each material takes."""

SOAK = 5.0
"""Droppings, urine and nests soak at least so long: CDC, Clean Up! (rodents) (read). [min]"""
AIR_OUT = 30.0
"""Doors and windows open first, nobody inside: CDC Clean Up page of 2008 (read). [min]"""
CEILING_LOAD = Cited(
    6.35, "kg/m2", "gypsum association application standard", "1/2 in board at 24 in: 1.3 lb/ft2",
    "memory",
)  # fmt: skip
BAG = judged(0.04, "m3", "a contractor's bag two thirds full")
BAG_WEIGHT = judged(10.0, "kg", "what one person hands down a ladder")
WASTE = judged(12.0, "kg/m3", "insulation or nest as it is bagged, loose")
SOAKED_UP = judged(0.5, "kg/L", "half of what is sprayed leaves in towels, insulation and bags")
SWEPT_UP = judged(0.5, "kg", "droppings, towels and gloves of one surface")
SPARE = judged(1.2, "1", "for what drips and is left in the sprayer")
BEFORE_WETTING = 3
"""So many steps come before the first that wets."""
NO_DRY = (
    "Nothing is swept, vacuumed or blown dry, not even with a HEPA vacuum: public-health advice "
    "(CDC, Clean Up!) is to wet first."
)


class Surface(msgspec.Struct, frozen=True):
    """Something to be wetted."""

    place: str
    material: Material
    area: float
    """[m2]"""
    overhead_load: float = 0.0
    """What lies on a ceiling board here already, on each square metre. [kg/m2]"""
    ceiling: bool = False
    """True where the liquid would lie on a ceiling board."""


class Amount(msgspec.Struct, frozen=True):
    """What one place takes."""

    place: str
    area: float
    """[m2]"""
    solution: float
    """Of all applications. [L]"""


class DryMethod(msgspec.Struct, frozen=True):
    """The one exception to wetting: a method by name, and who signed for it."""

    name: str
    by: str


class Cleaning(msgspec.Struct, frozen=True):
    """The plan."""

    label: Label
    steps: tuple[str, ...]
    wets_from: int
    """Which of the steps is the first that wets; the circuits' hold point holds it and the rest."""
    amounts: tuple[Amount, ...]
    solution: float
    """In all, with what is spare. [L]"""
    mixed: Mix
    film: Film
    """On a sealed surface, which dries first."""
    bags: int
    weight: float
    """Of the waste. [kg]"""
    streams: tuple[str, ...]
    protection: tuple[str, ...]
    van: tuple[str, ...]
    log: tuple[str, ...]
    holds: tuple[HoldPoint, ...]
    warnings: tuple[str, ...]


def surfaces_of(graph: Graph, voids: Iterable[int]) -> tuple[Surface, ...]:
    """Return what is wetted in voids: floor, top and sides, all as bare wood and board.

    Parameters
    ----------
    graph : Graph
        The voids.
    voids : iterable of int
        Which of them.
    """
    found = []
    for v in voids:
        outline = graph.polygon[v]
        rolled = np.roll(outline, -1, axis=0)
        across = outline[:, 0] @ rolled[:, 1] - outline[:, 1] @ rolled[:, 0]
        around = float(np.hypot(*(rolled - outline).T).sum())
        tall = max(0.0, float(graph.top[v] - graph.bottom[v]))
        area = abs(float(across)) + around * tall
        kind = graph.kinds[v]
        found.append(Surface(graph.words[v], _material(kind), area, ceiling=kind == "loft"))
    return tuple(found)


def _material(kind: str) -> Material:
    """Return what a void is mostly lined with; a judgement until it is open."""
    if "cavity" in kind or "chimney" in kind:
        return "masonry"
    return "gypsum paper" if "stud" in kind else "wood"


def clean(
    surfaces: Sequence[Surface],
    label: Label,
    air: MoistAir,
    *,
    speed: float = 0.1,
    applications: int = 2,
    before: str = "",
    taken_out: float = 0.0,
    dry: DryMethod | None = None,
    sealer: bool = False,
    released: frozenset[str] = frozenset(),
) -> Cleaning:
    """Return the plan for one product on surfaces.

    Parameters
    ----------
    surfaces : sequence of Surface
        What is wetted.
    label : Label
        Of the product in the hand.
    air : MoistAir
        The air there.
    speed : float
        Of the air along the surfaces. [m/s]
    applications : int
        How often the product goes on; soak and disinfect are two.
    before : str
        Kind of product that was used there already.
    taken_out : float
        Insulation and the like that goes out. [m3]
    dry : DryMethod, optional
        Instead of wetting where that would overload a ceiling, signed by a named person.
    sealer : bool
        A sealer goes on at the end.
    released : frozenset of str
        Hold points that a named person has released.

    Raises
    ------
    InputError
        If the label does not allow a surface, the product may not follow what was there, a ceiling
        would be overloaded and no method is signed for, or dry removal is asked for without need.
    """
    kind = products()[label.product]
    on_sealed = label.coverage or kind.coverage
    faults = _barred(surfaces, label, before, applications)
    faults += _loads(surfaces, on_sealed, dry)
    if faults:
        raise InputError(faults)
    amounts = tuple(_amount(one, on_sealed, applications) for one in surfaces)
    whole = math.fsum(one.solution for one in amounts) * SPARE.value
    wet = film(on_sealed, max(label.contact, SOAK), air, speed)
    weight = taken_out * WASTE.value + whole * SOAKED_UP.value + SWEPT_UP.value * len(surfaces)
    by_volume = math.ceil(taken_out / BAG.value) + len(surfaces)
    bags = max(by_volume, math.ceil(weight / BAG_WEIGHT.value))
    return Cleaning(
        label, _steps(label, kind.disinfects, wet, dry, sealer), BEFORE_WETTING, amounts, whole,
        mix(whole, label.water), wet, bags, weight, _STREAMS, _protection(label),
        _van(whole, bags, label), _LOG, wetting_holds(released),
        _warnings(label, kind.notes, wet, dry),
    )  # fmt: skip


def _barred(
    surfaces: Sequence[Surface], label: Label, before: str, applications: int
) -> list[Fault]:
    found = [
        Fault("air-value", f"surfaces.{one.place}", f"{one.area:g} m2 is no area", "measure it")
        for one in surfaces if not (math.isfinite(one.area) and one.area > 0)
    ]  # fmt: skip
    found += [
        Fault("air-value", f"surfaces.{one.place}.load", f"{one.overhead_load:g} is no load",
              "give kg on a square metre, zero or more")
        for one in surfaces if not (math.isfinite(one.overhead_load) and one.overhead_load >= 0)
    ]  # fmt: skip
    if not surfaces:
        found.append(Fault("air-value", "surfaces", "nothing is to be cleaned", "name a void"))
    if applications < 1:
        found.append(Fault("air-value", "applications", "none is no application", "give 1 or 2"))
    found += [
        Fault("label-surface", f"surfaces.{one.place}",
              f"the label ({label.registration}) does not allow {one.material}",
              "use a product whose label does; the label is the law here")
        for one in surfaces if one.material not in label.surfaces
    ]  # fmt: skip
    if before and before not in (known := (*products(), "ammonia", "acid")):
        found.append(unknown_word("air-value", "before", "kind of product", before, known))
    elif before and (why := may_follow(before, label.product)):
        found.append(Fault("product-order", "before", why, "rinse, dry, or choose another"))
    return found


def _loads(surfaces: Sequence[Surface], on_sealed: float, dry: DryMethod | None) -> list[Fault]:
    over = [
        one for one in surfaces if one.ceiling
        and one.overhead_load + _wetting(one, on_sealed) > CEILING_LOAD.value
    ]  # fmt: skip
    signed = dry is not None and bool(dry.name.strip() and dry.by.strip())
    if dry is not None and not over:
        return [Fault("dry-removal", "dry", f"dry removal is refused. {NO_DRY}",
                      "wet it; the exception is a ceiling that water would overload")]  # fmt: skip
    if dry is not None and not signed:
        return [Fault("dry-removal", "dry", "the exception has no method or no signature",
                      "name the method and who signed for it")]  # fmt: skip
    return [] if signed else [
        Fault("ceiling-load", f"surfaces.{one.place}",
              f"{one.overhead_load + _wetting(one, on_sealed):.1f} kg/m2 would lie on the board, "
              f"over {CEILING_LOAD.value:.1f}",
              "take weight off in small damp parts from boards on the joists, shore it, or have a "
              "named method signed for")
        for one in over
    ]  # fmt: skip


def _wetting(surface: Surface, on_sealed: float) -> float:
    """Return the liquid of one application on the surface. [kg/m2]."""
    return on_sealed * POROUS[surface.material].value / 1000


def _amount(surface: Surface, on_sealed: float, applications: int) -> Amount:
    positive("coverage", on_sealed)
    each = _wetting(surface, on_sealed) * surface.area
    return Amount(surface.place, surface.area, each * applications)


def _steps(
    label: Label, disinfects: bool, wet: Film, dry: DryMethod | None, sealer: bool
) -> tuple[str, ...]:
    contact = max(label.contact, SOAK)
    again = f", wetting again every {wet.rewet_after:.0f} min" if wet.rewet_after else ""
    first = (
        f"Take it out by the signed method, {dry.name} ({dry.by}), and no other way. {NO_DRY}"
        if dry else f"Wet droppings, urine and nests until very wet, softly, from the edge in. "
        f"{NO_DRY}"
    )  # fmt: skip
    steps = [
        f"Air out {AIR_OUT:.0f} min with nobody inside, then close off; fans as planned.",
        "Circuits dead in and behind what is wetted, shown dead by whoever may; gas and water "
        "marked.",
        "Everything under Wear is on before anything is touched.",
        first,
        f"Leave it wet {contact:.0f} min (label, and {SOAK:.0f} min at least){again}.",
        "Carcasses and nests: soak, bag, seal, a second bag, seal.",
        "Pick and wipe up with damp towels into the bag; nothing is shaken. Far end first, towards "
        "the way out; tops before bottoms.",
        "Clean off all soil with a damp cloth: what is dirty cannot be disinfected.",
    ]
    if disinfects:
        steps.append(f"Wet again with the product and keep it wet {label.contact:.0f} min{again}.")
    else:
        steps.append("This product disinfects nothing: a disinfectant under its own label is next.")
    steps += [
        "Wash gloves, take them off, wash hands; overalls off inside the airlock.",
        "Purge before the sheets come down.",
        "Dry to the limit; read the moisture at the same places every day.",
    ]
    if sealer:
        steps.append("Sealer last, only where the moisture is under the limit.")
    return tuple(steps)


_STREAMS = (
    "Soiled matter, towels, sheets, and apart from them carcasses: two sealed bags, covered bin, "
    "as local rules say.",
    "Clean rubble and board: as building waste.",
    "Old board and textured finish: not before asbestos and lead are settled.",
    "Left-over solution: as its label says, never into another.",
)
_LOG = (
    "fit test seen and in date", "clean shaven at the seal", "start and end in the work area",
    "heat: rests and drinks", "bites, scratches, splashes: wash, report, see a doctor",
    "check-in every 30 min by voice; without signal this log alarms nobody, so a person stands "
    "outside",
)  # fmt: skip


def _protection(label: Label) -> tuple[str, ...]:
    usual = ("gloves", "goggles", "half mask with P100 filters, fit tested", "overalls",
             "rubber boots or shoe covers")  # fmt: skip
    return tuple(dict.fromkeys((*label.protection, *usual)))


def litres(volume: float) -> str:
    """Return a volume as a jug reads it: mL where it is little. [L].

    Parameters
    ----------
    volume : float
        [L]
    """
    return f"{1000 * volume:.0f} mL" if volume < 1 else f"{volume:.1f} L"


def _van(whole: float, bags: int, label: Label) -> tuple[str, ...]:
    need = mix(whole, label.water)
    return (
        f"{litres(need.product)} {label.product} ({label.registration})",
        f"{litres(need.water)} water",
        f"{2 * bags} bags", "sprayer with the label on it", "towels, buckets",
        "sheet, tape, zip doors, exhaust, hose, posts", "manometer", "carbon monoxide alarm",
        "meters for moisture, heat, humidity", "first-aid kit",
    )  # fmt: skip


def wetting_holds(released: frozenset[str]) -> tuple[HoldPoint, ...]:
    """Return what must be signed before anything is wetted.

    Parameters
    ----------
    released : frozenset of str
        Keys that a named person has released.
    """
    hold = HoldPoint(
        key=CIRCUITS, hazard="live parts", standing="stop",
        words="Rodents gnaw cables, and water finds the bare copper. Circuits in and behind what "
        f"is wetted are dead and stay so until it is dry. {DEFER}",
        first="switch off, lock or tape, show dead at the nearest outlet and lamp",
        who="whoever may by local code; a licensed electrician where a cable is gnawed",
        evidence="circuits by name, shown dead at what time", source="common practice, no source",
    )  # fmt: skip
    return () if hold.key in released else (hold,)


def _warnings(label: Label, notes: str, wet: Film, dry: DryMethod | None) -> tuple[str, ...]:
    found = [notes]
    if not wet.stays_wet:
        found.append(
            f"The film lasts {wet.shortest:.0f} to {wet.longest:.0f} min in this air; the contact "
            f"time is {label.contact:.0f} min: wet again."
        )
    if dry:
        found.append(f"Against public-health advice, signed by {dry.by}: {dry.name}. {NO_DRY}")
    found.append("An application too short is logged as failed and done again.")
    return tuple(found)
