"""From one look to the likelihood of what it found, for every state of a void or a way in.

What animals leave comes from the kind; here come the things that are the same for all kinds:

- false alarms: where the kind shows nothing, something else may be taken for it;
- freshness: a fresh trace leans to *now*, an old one to *past*, "unsure" to neither;
- naming: a species said with the find speaks for or against this hypothesis' species, and so does
  the length of a trace where its kind has usual lengths;
- grade: a photograph has fewer false alarms; a word from an occupant is weak whatever it says, so
  that one told report never multiplies odds by more than 3.3 (a chance moves by 29 points at most);
- a floor: nothing reported is given less than the table's least chance.

Limits: the chance of a length is relative, scaled so that none is above one.
"""

from __future__ import annotations

import msgspec
import numpy as np

from wainscot.arrays import Floats
from wainscot.job import Find, Grade
from wainscot.quantity import length
from wainscot.signs.kind import Kind, Look
from wainscot.signs.rates import Rates, Section
from wainscot.species import members

Circumstances = tuple[str, Grade]
"""Method and grade of an inspection."""


def _along(by_reach: Floats, states: Floats) -> Floats:
    """Shape three values by reach so that they run along the reach axis of ``states``."""
    return by_reach.reshape(3, 1) if states.ndim == 3 else by_reach


def _freshness(find: Find, kind: Kind, grade: Grade, rates: Rates) -> tuple[Floats, float]:
    """Chance of the age that was said, (by reach if an animal left it, if none did)."""
    if find.freshness == "unsure" or not kind.ages:
        return np.ones(3), 1.0
    ages = rates.kind("freshness")
    false = ages.number("fresh_false")
    if grade == "told":
        told = rates.kind("grade")
        fresh = np.array([0.5, told.number("told_fresh_past"), told.number("told_fresh_now")])
        false = 0.5
    else:
        fresh = np.array([0.5, ages.number("fresh_past"), ages.number("fresh_now")])
    return (fresh, false) if find.freshness == "fresh" else (1.0 - fresh, 1.0 - false)


def _naming(
    find: Find, kind: Kind, species: str, right: float, rates: Rates
) -> tuple[float, float]:
    """Chance of the species and length that were said, (if an animal left it, if none did)."""
    if_left, if_not = measured(find, kind, species, rates)
    if not find.species:
        return if_left, if_not
    each = [right if find.species == one else (1.0 - right) / 2.0 for one in members(species)]
    return if_left * sum(each) / len(each), if_not / 3.0


def measured(find: Find, kind: Kind, species: str, rates: Rates) -> tuple[float, float]:
    """Return the relative chance of a trace's length, (if an animal left it, if none did). [1]

    The log of the length is normal about the usual lengths of the species, and broad for what is
    unusual, for a species without figures and for what no animal left.

    Parameters
    ----------
    find : Find
        What was found.
    kind : Kind
        Its kind.
    species : str
        The animal of this hypothesis, or two.
    rates : Rates
        The tables.
    """
    if find.length is None or not kind.lengths:
        return 1.0, 1.0
    table = rates.kind("lengths")
    blur, other = table.number("blur"), table.number("other")
    low = min(one for one, _ in kind.lengths.values())
    high = max(one for _, one in kind.lengths.values())
    broad = 1.0 / np.log(16.0 * high / low)
    most = (1.0 - other) / (blur * np.sqrt(2.0 * np.pi)) + broad
    said = float(np.log(max(length(find.length), 1e-6)))
    chances = []
    for one in members(species):
        chance = broad
        if one in kind.lengths:
            short, long = np.log(kind.lengths[one])
            spread = float(np.hypot(blur, (long - short) / 4.0))
            off = (said - (short + long) / 2.0) / spread
            usual = np.exp(-0.5 * off**2) / (spread * np.sqrt(2.0 * np.pi))
            chance = (1.0 - other) * float(usual) + other * broad
        chances.append(chance / most)
    return float(sum(chances) / len(chances)), float(broad / most)


def _false(kind: Kind, circumstances: Circumstances, rates: Rates) -> Floats:
    method, grade = circumstances
    rate = rates.kind(kind.name)
    if "false" not in rate.values:
        return np.zeros(len(kind.columns))
    known = rates.methods.get(method)
    by_method = known.false.get(kind.name, 1.0) if known is not None else 1.0
    by_grade = rates.kind("grade").number("photographed_false") if grade == "photographed" else 1.0
    false = rate.numbers("false") * by_method * by_grade
    return np.asarray(false / max(1.0, float(false.sum())), dtype=np.float64)


def _told(part: Floats, kind: Kind, find: Find, species: str, rates: Rates) -> Floats:
    """An occupant's report: there or not there, however much is said to be there."""
    told = rates.kind("grade")
    age, age_false = _freshness(find, kind, "told", rates)
    chance = part * told.number("told_if_there") * _along(age, part)
    chance = chance + (1.0 - part) * told.number("told_if_not") * age_false
    plain = msgspec.structs.replace(find, length=None)
    right, _ = _naming(plain, kind, species, told.number("told_named"), rates)
    return np.asarray(chance * right, dtype=np.float64)


def of_find(
    shown: Floats,
    kind: Kind,
    find: Find,
    circumstances: Circumstances,
    species: str,
    rates: Rates,
) -> Floats:
    """Return the chance of one find, given each state. [1]

    Parameters
    ----------
    shown : Floats
        What the kind shows, [..., columns], from ``kind.shown`` or ``kind.at_entry``. [1]
    kind : Kind
        Its kind.
    find : Find
        What was found.
    circumstances : tuple
        Method and grade of the inspection.
    species : str
        The animal of this hypothesis.
    rates : Rates
        The tables.
    """
    columns = list(kind.column(find.amount))
    if circumstances[1] == "told":
        if kind.ordered:
            columns = list(kind.column(""))
        return _told(shown[..., columns].sum(axis=-1), kind, find, species, rates)
    part = shown[..., columns].sum(axis=-1)
    rest = 1.0 - shown.sum(axis=-1)
    age, age_false = _freshness(find, kind, circumstances[1], rates)
    right, right_false = _naming(
        find, kind, species, rates.kind(kind.name).number("named_right"), rates
    )
    false = float(_false(kind, circumstances, rates)[columns].sum())
    chance = part * _along(age, part) * right + rest * false * age_false * right_false
    return np.asarray(np.maximum(chance, rates.least))


def of_nothing(shown: Floats, kind: Kind, circumstances: Circumstances, rates: Rates) -> Floats:
    """Return the chance that nothing of a kind was found, given each state. [1]

    Parameters
    ----------
    shown : Floats
        What the kind shows, [..., columns]. [1]
    kind : Kind
        Its kind.
    circumstances : tuple
        Method and grade of the inspection.
    rates : Rates
        The tables.
    """
    positive = [i for i, name in enumerate(kind.columns) if name not in kind.nothing]
    part = shown[..., positive].sum(axis=-1)
    if circumstances[1] == "told":
        return np.asarray(1.0 - rates.kind("grade").number("told_looked") * part)
    false = float(_false(kind, circumstances, rates)[positive].sum())
    return np.asarray(np.maximum((1.0 - part) * (1.0 - false), rates.least))


def zone_false(kind: Kind, grade: Grade, rates: Rates) -> float:
    """Return the chance that a zone's sign is reported though no animal made it. [1]"""
    told = rates.kind("grade")
    if grade == "told" or kind.told:
        return told.number("told_if_not") / told.number("told_if_there")
    rate: Section = rates.kind(kind.name)
    by_grade = told.number("photographed_false") if grade == "photographed" else 1.0
    return max(rates.least, rate.number("false") * by_grade)


def spread_over(
    shown: Floats,
    prior: Floats,
    load: Floats,
    kind: Kind,
    find: Find,
    circumstances: Circumstances,
    species: str,
    rates: Rates,
) -> tuple[Floats, float]:
    """Return a find that lies in one of several voids as a noisy-or: hits [3], false. [1]

    The voids' own soil is averaged out here; :func:`share_among` says what the find does to it.

    Parameters
    ----------
    shown : Floats
        What the kind shows, [loads, 3, 6, columns]. [1]
    prior : Floats
        Prior of one such void, [loads, 3, 6]; each [load, reach] sums to 1. [1]
    load : Floats
        Prior of the load levels. [1]
    kind, find, circumstances, species, rates
        As in :func:`of_find`.
    """
    any_told = circumstances[1] == "told" and kind.ordered
    columns = list(kind.column("" if any_told else find.amount))
    part = np.einsum("l,lrc,lrc->r", load, prior, shown[..., columns].sum(axis=-1))
    if circumstances[1] == "told":
        return part, zone_false(kind, "told", rates)
    age, age_false = _freshness(find, kind, circumstances[1], rates)
    right, right_false = _naming(
        find, kind, species, rates.kind(kind.name).number("named_right"), rates
    )
    false = float(_false(kind, circumstances, rates)[columns].sum()) * age_false * right_false
    return part * age * right, max(rates.least, false)


def share_among(chance: Floats, priors: Floats, others_reached: float) -> Floats:
    """Return what a find in one of several voids says of the soil in each: [n, L, 3, 6]. [1]

    Each void holds it with equal chance; where another does, this one stays as it was.  Only the
    soil within each load and reach is weighed, for how the voids are reached is said by the
    noisy-or of :func:`spread_over`.  An approximation: the voids' soils are not tied to each other
    (within 0.1 of counting in the tests).

    Parameters
    ----------
    chance : Floats
        [L, 3, 6] chance of the find if it lies in the void, from :func:`of_find`. [1]
    priors : Floats
        [n, L, 3, 6] prior of each void; each [load, reach] sums to 1. [1]
    others_reached : float
        Chance that the others are reached where one is. [1]
    """
    mean = (priors * chance).sum(axis=-1)
    others = (len(priors) - 1.0) * others_reached * mean.mean(axis=0)
    mixed = chance[None] + others[None, ..., None]
    return np.asarray(mixed / (priors * mixed).sum(axis=-1, keepdims=True))


def look_of(
    kind: Kind, find: Find | None, circumstances: Circumstances, look: Look, rates: Rates
) -> Look:
    """Return the look as this kind meets it: the method's sensitivity, the find's freshness."""
    method = circumstances[0]
    known = rates.methods.get(method)
    listed = known is not None and kind.name in known.shows
    by_itself = kind.silent and (kind.told or not listed)
    sensitivity = 1.0 if by_itself else rates.sensitivity(method, kind.name)
    return Look(
        species=look.species,
        sensitivity=sensitivity,
        share=look.share,
        nights=look.nights,
        loads=look.loads,
        freshness=find.freshness if find is not None else "unsure",
        looks=known is None or known.looks,
        since_laid=known is not None and known.since_laid,
    )
