"""What each kind of sign speaks of, told apart from what it does not.

Rates are judged and stand in the tables; these tests hold what must be true of them whatever their
size.  Facts of the trade without a source are marked "common practice, no source".
"""

from __future__ import annotations

import numpy as np
import pytest

import houses
from small import evidence_of, exact, finds, graph, look
from wainscot import plan, signs, voids
from wainscot.signs import DEFAULT, KINDS
from wainscot.signs.speaker import Speaker
from wainscot.species import SPECIES

NOW, PAST, NEVER = 2, 1, 0


def factor_of(*found, void=1, species="norway rat", **fields):
    """Likelihood of one look into one void, [L, 3, 6], relative to an empty unreached void."""
    one = evidence_of([look("i", (void,), *found, **fields)], species).statements[0]
    return one.factor[0] / one.factor[0, 0, 0, 0]


def way_in(*found, **fields):
    one = evidence_of([look("i", (), *found, source=0, **fields)]).statements[0]
    return np.array(one.by_state) / one.by_state[0]


def read(**entities):
    document = houses.bungalow()
    kept = {k: one for k, one in document["entities"].items() if one["kind"] != "inspection"}
    job = houses.as_job({**document, "entities": {**kept, **entities}})
    assert signs.faults(job) == []
    drawn = plan.read(job)
    place = voids.build(drawn, "norway rat")
    return place, signs.read(job, drawn, place, "norway rat")


@pytest.mark.parametrize("what", ["wood", "cable", "pipe"])
def test_gnawing_speaks_of_passing_and_fresh_gnawing_of_now(what):
    fresh = factor_of(finds("gnawing", what, freshness="fresh"), finished=False)
    assert (fresh[:, NOW] > fresh[:, PAST]).all()
    assert (fresh[:, PAST] > 1.0).all()
    assert np.ptp(fresh[:, NOW]) < 1e-9, "not of soil"


def test_a_gnawed_hole_speaks_for_the_way_in():
    never, past, now = way_in(finds("gnawing", "wood"), finished=False)
    assert never < past < now


@pytest.mark.parametrize(
    ("millimetres", "species"),
    # East Cambridgeshire 2014 (mice 6 mm), Wellingborough (mice 3 mm), State of Connecticut DEEP
    # (Norway rats 3/4 in), City of Green Bay (1 in); roof rats 12 to 13 mm: trade pages.
    [(4.5, "house mouse"), (21.0, "norway rat"), (12.5, "roof rat")],
)
def test_the_length_of_a_dropping_speaks_for_its_species(millimetres, species):
    found = finds("droppings", "few", length=millimetres / 1000.0)
    log = {
        name: exact(graph(), evidence_of([look("i", (1,), found)], name))["log_evidence"]
        - exact(graph(), evidence_of([look("i", (1,), finds("droppings", "few"))], name))[
            "log_evidence"
        ]
        for name in SPECIES
    }
    others = [value for name, value in log.items() if name != species]
    assert log[species] > max(others) + np.log(3.0)


def test_a_length_that_no_species_leaves_says_hardly_anything():
    gains = []
    for name in SPECIES:
        with_length, without = (
            evidence_of([look("i", (1,), finds("droppings", "few", length=size))], name)
            .statements[0].factor[0, 0, 1, 2]
            for size in (0.040, None)
        )  # fmt: skip
        gains.append(with_length / without)
    assert max(gains) / min(gains) < 3.0


def test_the_mouth_of_a_burrow_speaks_for_norway_rats():
    # 70 to 120 mm: East Cambridgeshire council leaflet 2014.
    wide, narrow = (
        factor_of(finds("burrow", "one", length=size), void=2, finished=False)[0, NOW, 0]
        for size in (0.090, 0.020)
    )
    assert wide > 5.0 * narrow
    mouse = factor_of(finds("burrow", "one", length=0.09), void=2, species="house mouse",
                      finished=False)  # fmt: skip
    assert wide > 3.0 * mouse[0, NOW, 0]


def test_a_told_length_counts_for_nothing():
    told = [
        factor_of(finds("droppings", "few", length=size), grade="told", finished=False)
        for size in (0.004, None)
    ]
    assert np.allclose(*told)


def test_tracks_in_old_dust_speak_of_the_past_too_and_a_laid_patch_only_of_now():
    dust = factor_of(finds("tracks", "few"), finished=False)
    patch = factor_of(finds("tracks", "few"), method="dust patch", nights=1, finished=False)
    assert (dust[:, PAST] > 1.0).all()
    assert np.allclose(patch[:, PAST], 1.0)
    assert (patch[:, NOW] > 5.0).all()


@pytest.mark.parametrize(
    ("method", "kind"),
    [("camera", "camera night"), ("dust patch", "tracks"), ("bait point", "bait take"),
     ("trap", "trap night")],
)  # fmt: skip
def test_a_device_that_shows_nothing_speaks_against_now_and_more_so_with_more_nights(method, kind):
    assert kind in KINDS
    one, five = (factor_of(method=method, nights=n) for n in (1, 5))
    assert (five[:, NOW] < one[:, NOW]).all()
    assert (one[:, NOW] < 1.0).all()
    assert np.allclose(one[:, PAST], 1.0)
    assert evidence_of([look("i", (1,), method=method, nights=1)]).statements[0].share == 0.0


@pytest.mark.parametrize(
    ("kind", "amount", "method"),
    [("camera night", "often", "camera"), ("carcass", "one", "eye and lamp"),
     ("trap night", "caught", "trap")],
)  # fmt: skip
def test_decisive_kinds_name_the_species_nearly_surely(kind, amount, method):
    assert KINDS[kind].decisive
    found = look("i", (1,), finds(kind, amount, species="norway rat"), method=method, nights=3,
                 finished=False)  # fmt: skip
    rat, mouse = (
        evidence_of([found], name).statements[0].factor.max()
        for name in ("norway rat", "house mouse")
    )
    assert rat > 10.0 * mouse


def test_a_carcass_soils_its_void():
    found = look("i", (6,), finds("carcass", "one"), finished=False)
    was, now = (exact(graph(), evidence_of(log))["soiled"][6] for log in ([], [found]))
    assert now > was + 0.2
    assert exact(graph(), evidence_of([found]))["ever"][6] >= now


def test_a_warm_spot_speaks_for_a_nest_in_use_and_hardly_otherwise():
    warm = factor_of(finds("thermal anomaly", "clear"), method="thermal camera", finished=False)
    assert (warm[:, NOW, 1::2] > 3.0).all()
    assert warm[:, NOW, 0].max() < 1.5
    assert np.allclose(warm[:, PAST], 1.0)


def test_a_live_animal_is_here_now():
    seen = factor_of(finds("live animal", "one"), finished=False)
    assert (seen[:, NOW] > 4.0).all()
    assert np.allclose(seen[:, PAST], 1.0)


def test_a_drain_test_speaks_of_the_way_in_and_only_a_camera_sees_who_used_it():
    opened = way_in(finds("drain test", "open"), method="smoke test")
    sound = way_in(finds("drain test", "in order"), method="drain camera")
    marks = way_in(finds("drain test", "used"), method="drain camera")
    assert opened[PAST] > 1.0
    assert 1.0 < opened[NOW] < marks[NOW]
    assert sound[NOW] < sound[PAST] < 1.0
    smoke, camera = (
        way_in(finds("drain test", "in order"), method=name)[NOW]
        for name in ("smoke test", "drain camera")
    )
    assert camera < smoke


def test_a_drain_test_logged_at_the_drain_speaks_of_the_way_in_at_its_end():
    document = houses.bungalow()
    entry = document["entities"]["broken_drain"]
    assert entry["kind"] == "entry_point"
    test = {"kind": "inspection", "place": {"of": "broken_drain"}, "method": "drain camera",
            "finds": [{"kind": "drain test", "amount": "used"}]}  # fmt: skip
    place, evidence = read(i=test)
    assert place.source_keys[evidence.statements[0].source] == "broken_drain"
    assert len(evidence.detail) == len(DEFAULT.classes)


def test_a_drain_test_where_no_way_in_is_drawn_is_listed_and_says_nothing():
    test = {"kind": "inspection", "place": {"of": "bath"}, "method": "dye test",
            "finds": [{"kind": "drain test", "amount": "open"}]}  # fmt: skip
    _, evidence = read(i=test)
    assert evidence.unplaced == ("i",)
    assert evidence.statements == ()


def test_a_stain_from_above_speaks_of_the_voids_over_it_and_of_no_other():
    document = houses.semi()
    kept = {k: one for k, one in document["entities"].items() if one["kind"] != "inspection"}
    room = next(k for k, one in kept.items() if one["kind"] == "room" and "polygon" in one)
    x, y = np.mean([[float(a) for a in p] for p in kept[room]["polygon"]], axis=0)
    mark = {"kind": "inspection", "finished": False,
            "place": {"storey": kept[room]["storey"], "at": [float(x), float(y)],
                      "part": "ceiling"},
            "finds": [{"kind": "stain from above", "amount": "patch"}]}  # fmt: skip
    job = houses.as_job({**document, "entities": {**kept, "i": mark}})
    drawn = plan.read(job)
    place = voids.build(drawn, "norway rat")
    evidence = signs.read(job, drawn, place, "norway rat")
    ceiling = float(place.top[place.index()[room]])
    assert len(evidence.zone_void) >= 1
    assert (place.bottom[evidence.zone_void] >= ceiling - 0.2).all()
    assert place.hidden[evidence.zone_void].all()
    assert (evidence.zone_hit[:, PAST] > 0.0).all(), "it may be long ago"


def test_no_stain_on_a_ceiling_says_nothing():
    _, evidence = read(i={"kind": "inspection", "place": {"of": "bath"}})
    assert len(evidence.zone_false) == 0


@pytest.mark.parametrize("grade", ["told", "seen", "photographed"])
def test_an_occupant_s_report_is_an_occupant_s_word_whoever_wrote_it_down(grade):
    said = [
        look("i", (0,), finds("occupant's report", "often"), zone=(4, 5), grade=grade,
             method="asked", finished=False)
    ]  # fmt: skip
    evidence = evidence_of(said)
    told = DEFAULT.kind("grade")
    assert evidence.zone_false.tolist() == [
        told.number("told_if_not") / told.number("told_if_there")
    ]
    assert sorted(evidence.zone_void) == [0, 4, 5], "the room itself as well"
    was, now = exact(graph(), evidence_of([])), exact(graph(), evidence)
    assert np.abs(now["ever"] - was["ever"]).max() < 0.30


def test_every_kind_speaks_through_its_own_file_and_no_engine_names_it():
    source = Speaker.__init__.__globals__["__file__"]
    folder = source.rsplit("/", 1)[0]
    for name in ("speaker", "assemble", "likelihood", "place", "read", "evidence", "repeats"):
        with open(f"{folder}/{name}.py", encoding="utf-8") as text:
            code = text.read()
        for kind in KINDS:
            assert f'"{kind}"' not in code, (name, kind)
