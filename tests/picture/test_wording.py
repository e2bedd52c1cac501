"""Words on the picture: no check is told without what must be settled before it."""

from __future__ import annotations

from wainscot import demos, job
from wainscot.access import site_of, ways
from wainscot.checks import Check
from wainscot.picture.wording import stops
from wainscot.walk import survey


def check_of(act: str, house: str) -> Check:
    """A check by one act of a house, with its own hold points."""
    seen = survey(job.read(demos.text(house)))
    offered = ways(seen.plan, seen.graph, site_of(seen.job))
    one = next(way for way in offered if way.act == act)
    return Check(
        access=one.id, words="", doing=one.words, worth=1.0, error=0.0, cost=0.5, net=0.5,
        minutes=30.0, shows=0.5, moved=None, settles=(), nights=0, sure=True, pays=True,
        first=tuple(hold.first for hold in one.first), holds=one.holds,
    )  # fmt: skip


def test_drilling_in_an_old_house_waits_for_asbestos_lead_and_services() -> None:
    (said,) = stops([check_of("hole in wall", "semi_1930s")])
    assert said.startswith("First find out, before 1: ")
    assert {"asbestos", "lead paint", "services behind the finish"} <= set(
        said.removeprefix("First find out, before 1: ").removesuffix(".").split(", ")
    )


def test_a_crawl_space_is_a_stop_that_somebody_signs() -> None:
    said = stops([check_of("hole in wall", "semi_1930s"),
                  check_of("through the hatch", "terraced_cottage")])  # fmt: skip
    assert any(one.startswith("STOP until signed for, before 2") and "confined space" in one
               for one in said)  # fmt: skip


def test_no_check_no_stop() -> None:
    assert stops([]) == []
