"""One conformance test that runs over every kind of sign, every method and every void class.

Nothing here names a kind: what is found by walking the folder is tested.
"""

from itertools import pairwise

import numpy as np
import pytest

from wainscot.job import Find
from wainscot.signs import DEFAULT, KINDS, Kind, likelihood, smell
from wainscot.signs.kind import Look
from wainscot.signs.soiling import prior_row
from wainscot.species import SPECIES, together

EVERY = sorted(KINDS)
ROWS = sorted(name for name, kind in KINDS.items() if kind.form == "row" and kind.shown)
WAYS_IN = sorted(name for name, kind in KINDS.items() if kind.at_entry)
SMELLS = sorted(name for name, kind in KINDS.items() if kind.form == "linear")
ZONES = sorted(name for name, kind in KINDS.items() if kind.form == "zone")
GRADES = ("told", "seen", "photographed")
SHARES = (0.1, 0.5, 1.0)


def positive(kind: Kind) -> list[str]:
    return [amount for amount in kind.amounts if amount not in kind.nothing]


def every_shown(kind: Kind, **fields):
    for species in SPECIES:
        for share in SHARES:
            for sensitivity in (0.3, 1.0):
                look = Look(species, sensitivity=sensitivity, share=share, nights=5.0, **fields)
                yield look, kind.shown(look, DEFAULT.kind(kind.name))


@pytest.mark.parametrize("name", EVERY)
def test_a_kind_says_its_words_tiles_and_letter(name: str):
    kind = KINDS[name]
    assert kind.name == name == name.lower()
    assert len(kind.amounts) >= 3
    assert len(set(kind.amounts)) == len(kind.amounts)
    assert set(kind.nothing) <= set(kind.amounts)
    assert len({each.letter for each in KINDS.values()}) == len(KINDS)
    says = (kind.shown, kind.at_entry, kind.heard)
    assert any(says) or kind.form in ("linear", "silence")
    assert not set(kind.lengths) - set(SPECIES)
    assert all(0.0 < short <= long < 0.5 for short, long in kind.lengths.values())


@pytest.mark.parametrize("name", sorted(set(EVERY) - {n for n in EVERY if KINDS[n].shares}))
def test_its_rates_stand_in_the_table_with_their_standing(name: str):
    section = DEFAULT.kind(name)
    assert section.standing in {"read", "second-hand", "memory", "derived", "judgement"}
    assert len(section.source) > 20
    assert 1.0 / 3.0 <= section.number("named_right") <= 1.0


@pytest.mark.parametrize("name", sorted(set(EVERY) - {n for n in EVERY if KINDS[n].shares}))
def test_some_method_shows_it(name: str):
    assert any(name in method.shows for method in DEFAULT.methods.values())


@pytest.mark.parametrize("name", ROWS)
def test_what_it_shows_are_chances(name: str):
    kind = KINDS[name]
    for look, shown in every_shown(kind):
        assert shown.shape == (look.loads, 3, 6, len(kind.columns))
        assert shown.min() >= 0.0
        assert shown.sum(axis=-1).max() <= 1.0 + 1e-12


@pytest.mark.parametrize("name", ROWS)
def test_seeing_more_never_shows_less(name: str):
    kind = KINDS[name]
    columns = list(kind.column(""))
    for species in SPECIES:
        before = None
        for share in SHARES:
            shown = kind.shown(Look(species, share=share), DEFAULT.kind(name))
            # what may be missed: where there is something to see
            now = shown[..., columns].sum(axis=-1)[:, 1:, 1:]
            assert before is None or (now >= before - 1e-12).all()
            before = now


@pytest.mark.parametrize("grade", ["seen", "photographed"])
@pytest.mark.parametrize("name", ROWS)
def test_everything_that_may_be_logged_adds_up_to_one(name: str, grade: str):
    kind = KINDS[name]
    circumstances = ("eye and lamp", grade)
    for look, shown in every_shown(kind):
        total = likelihood.of_nothing(shown, kind, circumstances, DEFAULT)
        if name_needs_no_silence(kind):
            total = np.zeros_like(total)
        for amount in kind.columns:
            find = Find(name, amount)
            total = total + likelihood.of_find(
                shown, kind, find, circumstances, look.species, DEFAULT
            )
        assert np.abs(total - 1.0).max() <= DEFAULT.least * (1 + len(kind.columns))


def name_needs_no_silence(kind: Kind) -> bool:
    """True where some amount is always logged, so that there is no "nothing" beside them."""
    return any(amount in kind.columns for amount in kind.nothing)


@pytest.mark.parametrize("grade", GRADES)
@pytest.mark.parametrize("name", ROWS)
def test_nothing_logged_is_impossible(name: str, grade: str):
    kind = KINDS[name]
    for look, shown in every_shown(kind):
        for amount in kind.amounts:
            if amount in kind.nothing and amount not in kind.columns:
                continue
            for freshness in ("fresh", "old", "unsure"):
                find = Find(name, amount, freshness)
                chance = likelihood.of_find(
                    shown, kind, find, ("eye and lamp", grade), look.species, DEFAULT
                )
                assert chance.min() >= DEFAULT.least
                assert chance.max() <= 1.0


@pytest.mark.parametrize("name", [n for n in ROWS if KINDS[n].ordered])
def test_more_of_it_speaks_more_strongly_in_every_state(name: str):
    kind = KINDS[name]
    for grade in GRADES:
        for look, shown in every_shown(kind):
            ratios = []
            for amount in positive(kind):
                chance = likelihood.of_find(
                    shown, kind, Find(name, amount), ("eye and lamp", grade), look.species, DEFAULT
                )
                ratios.append(chance / chance[0, 0, 0])
            assert all((b >= a - 1e-9).all() for a, b in pairwise(ratios))


@pytest.mark.parametrize("name", ROWS)
def test_an_empty_unreached_void_is_the_best_reason_for_finding_nothing(name: str):
    kind = KINDS[name]
    for grade in GRADES:
        for _, shown in every_shown(kind):
            chance = likelihood.of_nothing(shown, kind, ("eye and lamp", grade), DEFAULT)
            assert (chance <= chance[0, 0, 0] + 1e-12).all()


@pytest.mark.parametrize("name", ROWS)
def test_a_told_report_multiplies_no_odds_by_more_than_keeps_it_under_thirty_points(name: str):
    kind = KINDS[name]
    # A ratio R moves a chance by (sqrt R - 1) / (sqrt R + 1) at most; for 0.30, R = (1.3 / 0.7)^2.
    most = (1.3 / 0.7) ** 2
    for look, shown in every_shown(kind):
        for amount in kind.amounts:
            if amount in kind.nothing and amount not in kind.columns:
                continue
            for freshness in ("fresh", "old", "unsure"):
                for species in ("", *SPECIES):
                    find = Find(name, amount, freshness, species)
                    chance = likelihood.of_find(
                        shown, kind, find, ("eye and lamp", "told"), look.species, DEFAULT
                    )
                    assert chance.max() / chance.min() < most


@pytest.mark.parametrize("name", WAYS_IN)
def test_at_a_way_in_that_was_never_used_it_shows_nothing(name: str):
    kind = KINDS[name]
    for species in SPECIES:
        shown = kind.at_entry(Look(species), DEFAULT.kind(name))
        assert shown.shape == (3, len(kind.columns))
        assert shown[0].max() == 0.0
        assert shown[1].sum() <= shown[2].sum() <= 1.0


@pytest.mark.parametrize("name", ZONES)
def test_a_zone_kind_is_heard_from_where_animals_are(name: str):
    kind = KINDS[name]
    for freshness in ("fresh", "old", "unsure"):
        heard = kind.heard(Look("norway rat", freshness=freshness), DEFAULT.kind(name))
        assert heard.shape == (2, 3)
        assert (heard[:, 0] == 0.0).all()
        assert freshness == "old" or (heard[:, 1] <= heard[:, 2]).all()
        assert (heard[0] >= heard[1]).all()
        assert heard.max() < 1.0
    for grade in GRADES:
        assert DEFAULT.least <= likelihood.zone_false(kind, grade, DEFAULT) < 0.5


@pytest.mark.parametrize("grade", GRADES)
@pytest.mark.parametrize("name", WAYS_IN)
def test_at_a_way_in_everything_logged_is_possible_and_told_words_stay_weak(name: str, grade: str):
    kind = KINDS[name]
    for species in SPECIES:
        shown = kind.at_entry(Look(species, nights=4.0), DEFAULT.kind(name))
        for amount in positive(kind):
            chance = likelihood.of_find(
                shown, kind, Find(name, amount), ("eye and lamp", grade), species, DEFAULT
            )
            assert DEFAULT.least <= chance.min() <= chance[0] <= chance.max() <= 1.0
            assert grade != "told" or chance.max() / chance.min() < (1.3 / 0.7) ** 2
        nothing = likelihood.of_nothing(shown, kind, ("eye and lamp", grade), DEFAULT)
        assert (nothing <= nothing[0] + 1e-12).all()


@pytest.mark.parametrize("name", SMELLS)
def test_the_words_of_a_smell_add_up_and_rise_with_what_reaches_the_room(name: str):
    kind = KINDS[name]
    curves = [smell.word_curve(amount, 0.0, 0.0, "seen") for amount in kind.amounts]
    total = np.exp(curves).sum(axis=0)
    assert np.abs(total - 1.0).max() <= DEFAULT.least * len(curves)
    assert (np.diff(curves[0]) <= 1e-12).all(), "the more there is, the less often nothing is smelt"
    assert (np.diff(curves[-1]) >= -1e-12).all()
    up_to = np.cumsum(np.exp(curves), axis=0)[:-1]
    assert (np.diff(up_to, axis=1) <= 1e-6).all(), "the more there is, the stronger the word"


@pytest.mark.parametrize("name", [n for n in EVERY if KINDS[n].form == "row"])
def test_two_species_together_show_something_between_what_each_shows(name: str):
    kind, rate = KINDS[name], DEFAULT.kind(name)
    both = together(["house mouse", "norway rat"])
    for shown in filter(None, (kind.shown, kind.at_entry)):
        one, other, mixed = (
            shown(Look(each, nights=5.0), rate).sum(axis=-1)
            for each in ("house mouse", "norway rat", both)
        )
        assert (mixed >= np.minimum(one, other) - 1e-12).all()
        assert (mixed <= np.maximum(one, other) + 1e-12).all()


@pytest.mark.parametrize("name", sorted(DEFAULT.classes))
def test_every_class_of_void_has_a_prior_that_adds_up(name: str):
    row = prior_row(DEFAULT.classes[name])
    assert row.shape == (len(DEFAULT.load), 3, 6)
    assert np.allclose(row.sum(axis=-1), 1.0, atol=1e-12)
    assert (row[:, 0, 1:] == 0.0).all()
    clean = row[:, 1, 0]
    assert (np.diff(clean) < 0.0).all(), "a heavier infested house has fewer clean voids"


def test_the_load_prior_adds_up():
    assert abs(sum(DEFAULT.load) - 1.0) < 1e-12
