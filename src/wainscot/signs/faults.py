"""Everything in a job's inspections that no kind of sign or method understands, all at once."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.errors import Fault, unknown_word
from wainscot.job import Find, Inspection, Job, typed
from wainscot.signs.kind import KINDS
from wainscot.signs.rates import DEFAULT, Rates
from wainscot.species import SPECIES


def faults(job: Job, *, rates: Rates = DEFAULT) -> list[Fault]:
    """Return what is wrong with a job's inspections, sorted by path.

    A find without a place or without an amount is no fault.

    Parameters
    ----------
    job : Job
        A job whose own data is sound (``wainscot.job.faults``).
    rates : Rates, optional
        The tables.
    """
    found: list[Fault] = []
    entities = typed(job)
    inspections = {key: one for key, one in entities.items() if isinstance(one, Inspection)}
    for key, inspection in inspections.items():
        path = f"entities.{key}"
        found += _of_inspection(path, inspection, rates)
        for i, find in enumerate(inspection.finds):
            found += _of_find(f"{path}.finds[{i}]", find)
            found += _of_device(f"{path}.method", find, inspection, rates)
            found += _of_trace(f"{path}.finds[{i}].same_trace_as", key, find, inspections)
    return sorted(found)


def _of_inspection(path: str, inspection: Inspection, rates: Rates) -> Iterator[Fault]:
    if inspection.method not in rates.methods:
        yield unknown_word(
            "unknown-method", f"{path}.method", "method", inspection.method, rates.methods
        )
    if inspection.nights is not None and inspection.nights < 1:
        yield Fault(
            "bad-nights", f"{path}.nights", f"{inspection.nights} nights cannot be",
            "write how many nights the device stood, 1 or more",
        )  # fmt: skip
    if inspection.product_days is not None and inspection.product_days < 0:
        yield Fault(
            "bad-days", f"{path}.product_days", f"{inspection.product_days:g} days cannot be",
            "write how many days before the product was used, 0 or more",
        )  # fmt: skip
    if inspection.finished and inspection.share_seen == 0:
        yield Fault(
            "nothing-seen", f"{path}.share_seen", "a finished look saw no part of its place",
            'write the share that could be seen, or add "finished": false where none could',
        )  # fmt: skip
    silences = [f for f in inspection.finds if f.kind in KINDS and KINDS[f.kind].form == "silence"]
    if silences and len(silences) < len(inspection.finds):
        yield Fault(
            "nothing-and-something", f"{path}.finds",
            f"{silences[0].kind!r} stands beside a find",
            f"leave out {silences[0].kind!r}, or log the find as an inspection of its own",
        )  # fmt: skip
    if silences and not inspection.finished:
        yield Fault(
            "nothing-unfinished", f"{path}.finished",
            f"{silences[0].kind!r} stands in a look that was not finished",
            "leave out 'finished', or leave out the find",
        )  # fmt: skip


def _of_find(path: str, find: Find) -> Iterator[Fault]:
    if find.kind not in KINDS:
        yield unknown_word("unknown-sign", f"{path}.kind", "kind of sign", find.kind, KINDS)
        return
    kind = KINDS[find.kind]
    if find.amount and find.amount not in kind.amounts:
        what = f"amount of {kind.name}"
        yield unknown_word("unknown-amount", f"{path}.amount", what, find.amount, kind.amounts)
    if not find.amount and kind.needs_amount:
        yield Fault(
            "missing-amount", f"{path}.amount", f"{kind.name!r} needs to say what was seen",
            f"add one of: {', '.join(kind.amounts)}",
        )  # fmt: skip
    if find.species and find.species not in SPECIES:
        yield unknown_word("unknown-species", f"{path}.species", "species", find.species, SPECIES)
    if find.length is not None and not kind.lengths:
        measured = sorted(name for name, one in KINDS.items() if one.lengths)
        yield Fault(
            "no-length", f"{path}.length", f"no usual length of {kind.name} is known",
            f"write it under 'note'; lengths count for: {', '.join(measured)}",
        )  # fmt: skip
    if find.ppm is not None and kind.form != "linear":
        yield Fault(
            "no-ppm", f"{path}.ppm", f"a meter's reading stands with {kind.name}",
            "log it with a find of odour",
        )  # fmt: skip
    if find.ppm is not None and find.ppm < 0:
        yield Fault(
            "bad-ppm", f"{path}.ppm", f"{find.ppm:g} ppm cannot be", "write 0 or more"
        )  # fmt: skip


def _of_device(path: str, find: Find, inspection: Inspection, rates: Rates) -> Iterator[Fault]:
    """Yield a fault where a device's kind of find stands with a method that is no such device.

    Every other kind may be found by every method: who listens may smell, and see droppings.  What
    somebody was told has no method of its own.
    """
    if inspection.grade == "told":
        return
    showing = {name: one for name, one in rates.methods.items() if find.kind in one.shows}
    if inspection.method in showing or inspection.method not in rates.methods:
        return
    if showing and all(one.since_laid for one in showing.values()):
        yield Fault(
            "other-device", path, f"{find.kind!r} cannot come of {inspection.method!r}",
            f'write {" or ".join(repr(name) for name in showing)}, with the nights it stood',
        )  # fmt: skip


def _of_trace(
    path: str, key: str, find: Find, inspections: dict[str, Inspection]
) -> Iterator[Fault]:
    """Yield a fault if the trace that is named is no such find, or was seen by nobody first."""
    other = inspections.get(find.same_trace_as)
    if other is None:
        return
    if all(each.kind != find.kind for each in other.finds):
        yield Fault(
            "not-the-same-trace", path, f"{find.same_trace_as!r} holds no find of {find.kind}",
            "name the inspection that saw this trace first, or leave it out",
        )  # fmt: skip
    elif _leads_back(key, find, inspections):
        itself = find.same_trace_as == key
        what = "the find names its own inspection" if itself else "the finds name each other"
        yield Fault(
            "trace-in-a-circle", path, what,
            "name the inspection that saw this trace first; leave it out in that one",
        )  # fmt: skip


def _leads_back(key: str, find: Find, inspections: dict[str, Inspection]) -> bool:
    """Tell whether following the trace from inspection to inspection comes back to this one."""
    ahead, met = {find.same_trace_as}, set[str]()
    while ahead:
        here = ahead.pop()
        if here == key:
            return True
        met.add(here)
        finds = inspections[here].finds if here in inspections else []
        named = {one.same_trace_as for one in finds if one.kind == find.kind}
        ahead |= named - met - {""}
    return False
