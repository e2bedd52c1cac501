"""From inspections in a job file to evidence: places, finds, silence, grades."""

from __future__ import annotations

import numpy as np
import pytest

import houses
from small import evidence_of, finds, look
from wainscot import plan, signs, voids
from wainscot.signs.rates import DEFAULT
from wainscot.signs.soiling import classes_of, prior_row


def read(document):
    job = houses.as_job(document)
    drawn = plan.read(job)
    graph = voids.build(drawn, "norway rat")
    return graph, signs.read(job, drawn, graph, "norway rat")


def bungalow(**changed):
    document = houses.bungalow()
    kept = {key: one for key, one in document["entities"].items() if one["kind"] != "inspection"}
    return {**document, "entities": {**kept, **changed}}


def inspection(**fields):
    return {"kind": "inspection", **fields}


def test_a_find_speaks_of_the_void_that_it_lies_in():
    graph, evidence = read(
        bungalow(i=inspection(place={"of": "bath"}, finds=[{"kind": "droppings"}]))
    )
    (one,) = evidence.statements
    assert [graph.kinds[v] for v in one.found_in()] == ["under bath"]
    assert one.positive
    assert one.words.startswith("droppings, under the bath")
    assert evidence.looked is not None
    assert evidence.looked[one.voids[0]] == 1.0


def test_a_finished_look_without_a_find_speaks_against_and_an_unfinished_one_does_not():
    _, finished = read(bungalow(i=inspection(place={"of": "bath"})))
    _, glimpse = read(bungalow(i=inspection(place={"of": "bath"}, finished=False)))
    factor = finished.statements[0].factor[0]
    assert (factor[:, 1:, 1:] < factor[:, :1, :1]).all()
    assert len(glimpse.statements[0].voids) == 0
    assert glimpse.statements[0].share == 0.0


def test_saying_that_one_saw_nothing_is_the_same_as_finding_nothing():
    _, said = read(
        bungalow(
            i=inspection(
                place={"of": "bath"},
                finds=[{"kind": "looked and saw nothing", "amount": "part"}],
            )
        )
    )
    _, silent = read(bungalow(i=inspection(place={"of": "bath"}, share_seen=0.5)))
    assert np.array_equal(said.detail, silent.detail)


def test_a_look_at_an_entry_point_speaks_of_that_way_in_only():
    graph, evidence = read(
        bungalow(
            i=inspection(
                place={"of": "broken_drain"},
                finds=[{"kind": "rub mark", "amount": "clear"}],
                finished=False,
            )
        )
    )
    (one,) = evidence.statements
    assert graph.source_keys[one.source] == "broken_drain"
    never, past, now = one.by_state
    assert never < 0.2 * past < 0.2 * now * 1.01
    assert len(evidence.detail) == len(DEFAULT.classes), "no void has a row of its own"
    others = np.delete(evidence.source_factor, one.source, axis=0)
    assert (others == 1.0).all()


def test_nothing_at_a_way_in_speaks_against_it():
    _, evidence = read(bungalow(i=inspection(place={"of": "broken_drain"})))
    never, past, now = evidence.statements[0].by_state
    assert now < past < never


def test_a_sound_is_a_zone_and_silence_is_one_too():
    graph, evidence = read(
        bungalow(
            a=inspection(
                method="ear",
                place={"storey": "ground", "at": [4.4, 3.0], "radius": 1.5},
                finds=[{"kind": "sound", "amount": "loud"}],
            ),
            b=inspection(method="ear", place={"storey": "ground", "at": [1.0, 1.0], "radius": 1.0}),
        )
    )
    assert evidence.zone_heard.tolist() == [True, False]
    assert (np.diff(evidence.zone_offsets) > 1).all()
    assert graph.hidden[evidence.zone_void].all()
    assert (evidence.zone_hit[:, 0] == 0.0).all()


def test_a_find_in_one_of_several_voids_is_shared_among_them():
    graph, evidence = read(
        bungalow(i=inspection(place={"of": "units"}, finds=[{"kind": "droppings"}]))
    )
    zone = next(one for one in evidence.statements if one.zone >= 0)
    assert len(zone.found_in()) == len(evidence.zone_void) == 2
    # It leaves the chance of being reached to the zone: over the loads no row total changes.
    for v, factor in zip(zone.voids, zone.factor, strict=True):
        prior = prior_row(DEFAULT.classes[classes_of(graph, DEFAULT)[v]])
        assert np.allclose(np.einsum("l,lrc->r", DEFAULT.load, prior * factor), 1.0)


def test_empty_trap_nights_multiply_night_by_night():
    # The chance of n empty nights is (1 - p)^n with a nightly chance p: the textbook form used for
    # freedom from infestation, 1 - (1 - p)^(n N) (seen in the R package epiR's documentation).
    four, eight = (
        evidence_of([look("i", (1,), finds("trap night", "nothing"), method="trap", nights=n)],
                    species="house mouse")
        for n in (4, 8)
    )  # fmt: skip
    now = [each.statements[0].factor[0, :, 2, 0] for each in (four, eight)]
    never = [each.statements[0].factor[0, :, 0, 0] for each in (four, eight)]
    miss = 1.0 - DEFAULT.kind("trap night").numbers("catch", "house mouse")
    # an empty trap is also not sprung
    sprung = 1.0 - DEFAULT.kind("trap night").number("sprung_now")
    for n, here, elsewhere in zip((4, 8), now, never, strict=True):
        assert np.allclose(here / elsewhere, miss**n * sprung)


def test_a_catch_names_the_animal_nearly_surely():
    caught = look(
        "i", (1,), finds("trap night", "caught", species="norway rat"), method="trap", nights=3
    )
    rat = evidence_of([caught], "norway rat").statements[0].factor.max()
    mouse = evidence_of([caught], "house mouse").statements[0].factor.max()
    assert rat / mouse > 50.0


def test_the_middle_nightly_catch_of_rats_is_the_published_one():
    # Mackenzie et al. 2022, Scientific Reports, doi 10.1038/s41598-022-20677-8 (abstract):
    # encounter 0.38 times interaction 0.34 = 0.13 a night for roof rats.
    catch = DEFAULT.kind("trap night").numbers("catch", "roof rat")
    assert catch[1] == pytest.approx(0.38 * 0.34, abs=0.005)
    published = DEFAULT.kind("trap night").values["published"]["middle_rat"]
    assert published["value"] == catch[1]
    assert published["status"] == "read"


def test_a_photograph_is_worth_more_than_a_look_and_a_look_more_than_a_word():
    def strength(grade):
        one = look("i", (1,), finds("droppings", "few"), grade=grade, finished=False)
        factor = evidence_of([one]).statements[0].factor[0]
        return factor.max() / factor[0, 0, 0]

    assert strength("told") < 4.0 < strength("seen") < strength("photographed")


def test_a_lamp_that_lights_up_cleaners_too_speaks_less():
    def strength(method):
        one = look("i", (1,), finds("urine stain", "many"), method=method, finished=False)
        factor = evidence_of([one]).statements[0].factor[0]
        return factor.max() / factor[0, 0, 0]

    assert strength("uv lamp") < strength("eye and lamp")


def test_inspections_without_a_place_are_listed():
    _, evidence = read(bungalow(i=inspection(finds=[{"kind": "droppings"}])))
    assert evidence.unplaced == ("i",)
    assert evidence.statements == ()


def test_all_of_the_house_s_void_kinds_fall_into_a_class():
    graph, evidence = read(houses.semi())
    assert evidence.row_of.shape == (len(graph.keys),)
    classes = classes_of(graph, DEFAULT)
    assert set(classes) <= set(DEFAULT.classes)
    # Under baths, sink units and pipe boxings is favoured harbourage: council leaflets.
    warm = {graph.kinds[v] for v, name in enumerate(classes) if name == "warm"}
    assert {"under bath", "under base cabinets", "boxed pipe run"} <= warm


def wall(**place):
    return {"of": "kitchen/e1", "height": 0.3, **place}


def test_a_find_at_a_spot_lies_in_one_bay():
    graph, evidence = read(
        bungalow(i=inspection(place=wall(along=1.4), finds=[{"kind": "droppings"}]))
    )
    (one,) = evidence.statements
    assert [graph.kinds[v] for v in one.found_in()] == ["stud bay"]
    assert len(evidence.zone_false) == 0


def test_a_find_along_an_extent_lies_in_one_of_its_bays_and_the_rest_was_looked_at():
    graph, evidence = read(
        bungalow(i=inspection(place=wall(along=0.6, extent=1.0), finds=[{"kind": "droppings"}]))
    )
    bays = evidence.zone_void
    assert len(bays) >= 2
    assert {graph.kinds[v] for v in bays} == {"stud bay"}
    quiet = next(one for one in evidence.statements if one.zone < 0)
    assert sorted(quiet.voids) == sorted(bays)
    assert not quiet.positive
    # nothing else was found there, and droppings are not counted as absent
    factor = quiet.factor[0]
    assert (factor[:, 1:, 5] < factor[:, 1:, 0]).all()
    assert evidence.looked is not None
    assert (evidence.looked[bays] == 1.0).all()


def test_an_empty_extent_speaks_against_every_bay_of_it():
    _, evidence = read(bungalow(i=inspection(place=wall(along=0.6, extent=1.0), share_seen=0.8)))
    (one,) = evidence.statements
    assert len(one.voids) >= 2
    assert (one.factor[:, :, 1:, 4] < 0.5).all()
    assert one.found_in() == []


def test_of_repeat_sightings_the_best_graded_counts():
    def strength(first, second):
        document = bungalow(
            a=inspection(
                place={"of": "bath"}, grade=first, finished=False, finds=[{"kind": "droppings"}]
            ),
            b=inspection(
                place={"of": "bath"}, grade=second, finished=False,
                finds=[{"kind": "droppings", "same_trace_as": "a"}],
            ),
        )  # fmt: skip
        _, evidence = read(document)
        row = evidence.detail[-1]
        return row[:, 1:, 1:].sum() / row[:, 0, 0].sum()

    assert strength("told", "photographed") == strength("photographed", "told")
    assert strength("told", "seen") < strength("seen", "photographed")


def test_a_told_report_of_a_trace_and_a_sound_speaks_once():
    both = [{"kind": "droppings"}, {"kind": "sound"}]
    place = {"of": "bath", "radius": 1.0}
    _, evidence = read(
        bungalow(i=inspection(place=place, grade="told", finished=False, finds=both))
    )
    assert len(evidence.zone_false) == 1


def test_a_sound_at_an_entry_point_speaks_of_the_zone_around_it():
    graph, evidence = read(
        bungalow(
            i=inspection(
                place={"of": "broken_drain"}, method="ear", finished=False,
                finds=[{"kind": "sound"}],
            )
        )
    )  # fmt: skip
    assert (evidence.source_factor == 1.0).all()
    assert evidence.zone_heard.tolist() == [True]
    assert "underfloor void" in {graph.kinds[v] for v in evidence.zone_void}
