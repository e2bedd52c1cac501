"""From a job to its openings: signatures, kept things and what was seen, as the job tells them."""

from __future__ import annotations

from typing import Any

from houses import as_job, bungalow, ranch
from wainscot import plan, signs, voids
from wainscot.access import site_of, ways_to_open
from wainscot.diagnosis import diagnose
from wainscot.openings import Known, Wanted, known_of, lines, plan_openings, signed
from wainscot.openings.kept import touching


def known(document: dict[str, Any]) -> tuple[Known, list[str], Any]:
    job = as_job(document)
    drawn = plan.read(job)
    graph = voids.build(drawn, "norway rat")
    evidence = signs.read(job, drawn, graph, "norway rat")
    ways = ways_to_open(drawn, graph, site_of(job))
    return known_of(job, drawn, graph, evidence, ways), [one.id for one in ways], graph


def kept(place: dict[str, Any], document: dict[str, Any]) -> set[str]:
    """Return the acts of the openings that touch what is kept at a place."""
    document["entities"]["precious"] = {"kind": "kept", "name": "the precious thing",
                                        "place": place}  # fmt: skip
    job = as_job(document)
    drawn = plan.read(job)
    graph = voids.build(drawn, "norway rat")
    ways = ways_to_open(drawn, graph, site_of(job))
    return {ways[o].id for o in touching(ways, drawn, graph)}


def test_a_job_s_signatures_are_read_with_who_and_when() -> None:
    document = bungalow()
    document["entities"] |= {
        "paper": {"kind": "authorisation", "openings": ["a/1", "a/2"], "by": "the owner",
                  "at": "2026-05-02"},
        "no": {"kind": "declined", "opening": "a/3", "by": "the owner", "reason": "new tiles"},
    }  # fmt: skip
    found = signed(as_job(document))
    assert found.authorised == {"a/1": "the owner, 2026-05-02", "a/2": "the owner, 2026-05-02"}
    assert found.declined == {"a/3": "the owner, new tiles"}
    assert found.status("a/1", begun=True) == "authorised"
    assert found.status("a/9", begun=False) == "planned"
    assert found.status("a/9", begun=True) == "change order"


def test_a_void_opened_and_seen_lies_open_and_a_glimpse_does_not() -> None:
    document = bungalow()
    for key, share in (("whole", 1.0), ("glimpse", 0.3)):
        document["entities"][key] = {
            "kind": "inspection", "method": "opened", "share_seen": share,
            "place": {"of": "bath" if key == "whole" else "units"},
            "finds": [{"kind": "opened and seen", "amount": "clean"}],
        }  # fmt: skip
    found, _, graph = known(document)
    bath = [v for v, owner in enumerate(graph.owners) if owner == "bath"]
    assert {found.seen.get(v) for v in bath} == {"clean"}
    assert not [v for v in found.seen if graph.owners[v] != "bath"]


def test_a_kept_fixture_is_not_taken_out_but_may_be_reached_past() -> None:
    touched = kept({"of": "bath"}, bungalow())
    assert any(one.startswith("fixture out/bath") for one in touched)
    assert any(one.startswith("panel off/bath") for one in touched)
    assert not any(one.startswith("floor between joists") for one in touched)


def test_a_kept_stretch_of_wall_bars_the_cuts_that_meet_it_from_that_room_only() -> None:
    whole = kept({"of": "kitchen/e1"}, bungalow())
    assert whole
    assert "whole wall/kitchen|bathroom/w1|0.000" in whole
    alone = {one for one in whole if not one.startswith("whole wall/")}
    assert all(one.endswith("|kitchen") and "bathroom/w1" in one for one in alone)
    assert whole == kept({"of": "partition"}, bungalow())
    # Kitchen, east side: 3.6 m from the south; the first foot of it holds the first bay only.
    part = kept({"of": "kitchen/e1", "along": 0.0, "extent": 0.3}, bungalow())
    rest = kept({"of": "kitchen/e1", "along": 1.0, "extent": 2.6}, bungalow())
    assert part < whole
    assert rest < whole
    assert part | rest == whole


def test_a_kept_point_bars_the_cuts_that_come_near_it_on_its_storey() -> None:
    near = kept({"storey": "ground", "at": [1.6, 1.8]}, bungalow())
    assert near
    assert "whole floor/kitchen" in near
    bays = near - {"whole floor/kitchen"}
    assert bays
    assert all(one.startswith("floor between joists/") and one.endswith("|kitchen") for one in bays)
    assert kept({"storey": "ground", "at": [9.0, 9.0]}, bungalow()) == set()
    # 0.2 m off the partition, so nearer than 0.3 m, and 0.4 m off it.
    beside = kept({"storey": "ground", "at": [3.0, 1.0]}, bungalow())
    off = kept({"storey": "ground", "at": [2.8, 1.0]}, bungalow())
    assert any("bathroom/w1/bay" in one for one in beside)
    assert not any("bathroom/w1/bay" in one for one in off)


def test_a_kept_floor_bars_cuts_from_above_and_not_those_in_the_ceiling() -> None:
    _, ways, _ = known(bungalow())
    room = next(one for one in ways if one.startswith("floor between joists")).rpartition("|")[2]
    touched = kept({"of": room, "part": "floor"}, bungalow())
    assert touched
    assert not any(one.startswith(("board", "ceiling", "strip")) for one in touched)


def test_the_whole_way_from_a_job_to_words() -> None:
    job = as_job(bungalow())
    _, drawn = diagnose(job, seed=1, draws=512)
    choice = plan_openings(job, drawn)
    text = "\n".join(lines(choice))
    assert choice.candidates > 20
    assert choice.least.cost <= choice.balanced.cost + 1e-9
    assert choice.balanced.loss_left <= choice.curve[0].loss_left
    assert "hours" in text
    assert "nobody cuts" in text
    assert "Judged, nobody published it" in text
    label = choice.openings[0].voids[0]
    forced = plan_openings(job, drawn, wanted=Wanted(must=(label,)))
    opened = {v for one in forced.openings if one.id in forced.least.openings for v in one.voids}
    assert label in opened


def test_what_was_opened_and_seen_clean_is_known_clean_and_not_proposed_again() -> None:
    document = bungalow()
    document["entities"]["opened"] = {
        "kind": "inspection", "method": "opened", "place": {"of": "bath"},
        "finds": [{"kind": "opened and seen", "amount": "clean"}],
    }  # fmt: skip
    document["entities"]["paper"] = {
        "kind": "authorisation", "openings": ["panel off/bath/under|bath panel"], "by": "the owner",
    }  # fmt: skip
    job = as_job(document)
    _, drawn = diagnose(job, seed=1, draws=256)
    choice = plan_openings(job, drawn)
    (label,) = choice.known_clean
    told = {one.id: one for one in choice.openings}
    assert not [one for one in told.values() if set(one.voids) == {label}]
    assert choice.change_order is not None
    assert all(one.status != "planned" for one in told.values())
    assert f"Opened and seen clean: {label}." in lines(choice)


def test_a_limit_set_aside_in_the_job_is_printed_with_its_reason_and_name() -> None:
    document = ranch()
    document["entities"]["aside"] = {
        "kind": "limit_override", "rule": "3.1301.2 patch", "reason": "drawn by the engineer",
        "by": "A. Person",
    }  # fmt: skip
    job = as_job(document)
    drawn = plan.read(job)
    graph = voids.build(drawn, "norway rat")
    verdicts = [v for one in ways_to_open(drawn, graph, site_of(job)) for v in one.limits]
    aside = [v for v in verdicts if v.rule == "3.1301.2 patch" and v.needs]
    assert aside
    assert all("A. Person" in v.words and "drawn by the engineer" in v.overridden for v in aside)
