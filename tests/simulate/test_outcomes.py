"""Finds are drawn by the likelihoods that weigh them, and these are chances: they sum to one.

The sums are taken over what ``signs.weigh`` itself reads from a logged inspection, so that the
assembling of evidence is tried as well, not only the kinds.
"""

from __future__ import annotations

import numpy as np
import pytest

from small import graph
from wainscot.job import Find, Inspection, Place
from wainscot.signs import DEFAULT, KINDS, weigh
from wainscot.signs.place import Placed
from wainscot.simulate.outcomes import Circumstances, kinds_shown, outcomes, pick, zone_chance

SPECIES = "norway rat"
VOID = 1
METHODS = sorted(
    name
    for name in DEFAULT.methods
    if any(kind.form == "row" for kind in kinds_shown(name, DEFAULT))
)


def likelihood(look: Circumstances, finds: list[Find]) -> np.ndarray:
    """Return what signs.weigh makes of one inspection of one void: [loads, 3, 6]."""
    inspection = Inspection(
        place=Place(of="somewhere"), method=look.method, share_seen=look.share, grade=look.grade,
        finds=finds, nights=look.nights,
    )  # fmt: skip
    placed = Placed("i", inspection, (VOID,), VOID, (), -1, "here")
    evidence = weigh([placed], graph(), SPECIES)
    total = np.ones((len(DEFAULT.load), 3, 6))
    for one in evidence.statements:
        for v, factor in zip(one.voids.tolist(), one.factor, strict=True):
            assert v == VOID
            total = total * factor
    return np.asarray(total)


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize(("share", "grade"), [(1.0, "seen"), (0.4, "photographed")])
def test_all_that_a_look_may_find_sums_to_one_in_every_state(
    method: str, share: float, grade: str
) -> None:
    look = Circumstances(method, SPECIES, share=share, nights=5, grade=grade)  # type: ignore[arg-type]
    kinds = [
        kind
        for kind in kinds_shown(method, DEFAULT)
        if kind.form == "row" and kind.shown is not None
    ]
    for k, kind in enumerate(kinds):
        # One kind's outcomes, while every other kind shows nothing (or the first that it must say).
        others = [one for n, one in enumerate(kinds) if n != k]
        said = [find for one in others if (find := outcomes(one, look, DEFAULT)[0][0]) is not None]
        rest = np.prod(
            [
                np.ones((len(DEFAULT.load), 3, 6)),
                *(outcomes(one, look, DEFAULT)[0][1] for one in others),
            ],
            axis=0,
        )
        whole = sum(
            likelihood(look, [*said, *([find] if find is not None else [])])
            for find, _ in outcomes(kind, look, DEFAULT)
        )
        np.testing.assert_allclose(whole, rest, atol=0.02)


@pytest.mark.parametrize("method", METHODS)
def test_the_chance_of_what_was_drawn_is_the_one_it_is_weighed_by(method: str) -> None:
    look = Circumstances(method, SPECIES, share=0.6, nights=4, ages=True, names=True)
    kinds = [k for k in kinds_shown(method, DEFAULT) if k.form == "row" and k.shown is not None]
    for kind in kinds:
        for find, chance in outcomes(kind, look, DEFAULT):
            if find is None:
                continue
            rest = [outcomes(other, look, DEFAULT)[0] for other in kinds if other.name != kind.name]
            if any(find_ is not None for find_, _ in rest):
                continue
            expected = np.prod([chance, *(silent for _, silent in rest)], axis=0)
            np.testing.assert_allclose(likelihood(look, [find]), expected, rtol=1e-9)


def test_ages_and_names_share_out_the_chance_of_a_find() -> None:
    plain = Circumstances("eye and lamp", SPECIES, share=0.5)
    told = Circumstances("eye and lamp", SPECIES, share=0.5, ages=True, names=True)
    for name in ("droppings", "urine stain", "rub mark", "nest material"):
        for amount in KINDS[name].columns:
            one, parts = (
                sum(
                    chance
                    for find, chance in outcomes(KINDS[name], look, DEFAULT)
                    if find is not None and find.amount == amount
                )
                for look in (plain, told)
            )
            np.testing.assert_allclose(one, parts, atol=6e-4)


def test_what_is_drawn_comes_as_often_as_its_chance() -> None:
    """20,000 draws of droppings in a heavily soiled void, within 4.5 errors."""
    look = Circumstances("eye and lamp", SPECIES, share=0.7)
    possible = outcomes(KINDS["droppings"], look, DEFAULT)
    state = (1, 2, 4)
    rng = np.random.default_rng(5)
    drawn = [pick(possible, state, rng) for _ in range(20000)]
    for find, chance in possible:
        p = float(chance[state])
        share = sum(one == find for one in drawn) / len(drawn)
        assert abs(share - p) <= 4.5 * np.sqrt(p * (1 - p) / len(drawn)) + 1e-3


def test_a_table_that_is_no_chance_is_refused() -> None:
    broken = [(None, np.full((3, 3, 6), 0.9)), (Find("droppings"), np.full((3, 3, 6), 0.3))]
    with pytest.raises(ValueError, match=r"sum to 1\.2"):
        pick(broken, (0, 0, 0), np.random.default_rng(1))


def test_a_zone_is_heard_by_the_rule_of_noisy_or() -> None:
    """Checked against the product written out by hand for two voids and the false rate."""
    kind = KINDS["sound"]
    look = Circumstances("ear", SPECIES)
    rate = DEFAULT.kind("sound")
    shown = DEFAULT.methods["ear"].shows["sound"]
    hidden, room = shown * rate.number("hidden"), shown * rate.number("room")
    false = rate.number("false")
    expected = 1.0 - (1.0 - false) * (1.0 - hidden) * (1.0 - room)
    assert zone_chance(kind, look, [True, False], [2, 2], DEFAULT) == pytest.approx(expected)
    assert zone_chance(kind, look, [True, False], [0, 0], DEFAULT) == pytest.approx(false)
