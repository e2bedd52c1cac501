"""What the office's screen asks: list, search within one's rights, rates tried and kept, backup."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest
from firm import NOW, Firm, open_firm

import wainscot.score
from wainscot.api.looking import found_in, words_of
from wainscot.api.stops import open_stops
from wainscot.book import read_book
from wainscot.store import MadePaper, keep_paper, take


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Firm]:
    """A firm with words in both jobs; Ann is on ``job_a`` alone."""
    with open_firm(tmp_path_factory.mktemp("firm")) as firm:
        ann, lea = firm.phones["Ann"], firm.phones["Lea"]
        firm.append(
            ann.add("job_a", "r", kind="room", name="Despensa", storey="s"),
            ann.add("job_a", "c", kind="call", at=NOW, address="4 Weir Lane, second bell"),
            ann.add("job_a", "v", kind="visit", at="2025-03-10", done="looked"),
            ann.add("job_a", "w", kind="visit", at="2025-03-20T09:00:00+00:00"),
            lea.add("job_b", "r", kind="room", name="Despénsa alta", storey="s"),
            lea.add("job_b", "i", kind="inspection",
                    finds=[{"kind": "droppings", "note": "behind the dresser"}]),
        )  # fmt: skip
        keep_paper(firm.store, MadePaper("job_b", "ab" * 32, "quote", "en", "a4", "Quote", "",
                                         1, "v", NOW))  # fmt: skip
        yield firm


def _found(firm: Firm, name: str, words: str) -> list[str]:
    got = firm.ask(name, "GET", "/api/office/search", params={"q": words})
    assert got.status_code == 200, got.text
    return [one["id"] for one in got.json()["jobs"]]


def test_the_list_has_the_next_visit_and_what_no_backup_holds(told: Firm) -> None:
    jobs = told.ask("Olga", "GET", "/api/office/jobs").json()["jobs"]
    assert [one["id"] for one in jobs] == ["job_a", "job_b"], "the next visit first"
    mill = jobs[0]
    assert (mill["title"], mill["last"], mill["next"]) == ("Mill", "2025-03-10", "2025-03-20")
    assert (mill["who"], mill["stops"]) == (["Ann"], None)
    assert mill["not_backed_up"] == mill["events"] > 0
    assert [one["id"] for one in told.ask("Ann", "GET", "/api/office/jobs").json()["jobs"]] == [
        "job_a"
    ]


def test_the_list_says_since_when_a_job_is_closed_or_called_back(told: Firm) -> None:
    def ended() -> tuple[str, str]:
        [one] = told.ask("Ann", "GET", "/api/office/jobs").json()["jobs"]
        return one["state"], one["since"]

    ann = told.phones["Ann"]
    assert ended() == ("open", "")
    told.append(ann.add("job_a", "x", kind="closed", at="2025-03-11T17:00:00+00:00", by="Ann"))
    assert ended() == ("closed", "2025-03-11")
    told.append(ann.add("job_a", "y", kind="callback", at="2025-03-12", because="smell"))
    assert ended() == ("called back", "2025-03-12")
    told.append(ann.add("job_a", "z", kind="closed", at=5))
    assert ended() == ("open", ""), "what is damaged says nothing of how a job stands"


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("WEIR lane", ["job_a"]),
        ("lane weir second", ["job_a"]),
        ("despensa", ["job_b", "job_a"]),
        ("DESPÉNSA alta", ["job_b"]),
        ("dresser barn", ["job_b"]),
        ("dresser mill", []),
        ("quote", ["job_b"]),
        ("%", []),
        ("_", []),
        ("   ", []),
    ],
)
def test_words_are_found_whatever_their_case_accents_and_order(
    told: Firm, words: str, found: list[str]
) -> None:
    assert _found(told, "Olga", words) == found


def test_nobody_finds_a_word_of_a_job_that_they_do_not_see(told: Firm) -> None:
    assert _found(told, "Ann", "despensa") == ["job_a"]
    assert _found(told, "Ben", "despensa") == []
    assert _found(told, "Lea", "despensa") == ["job_b", "job_a"]


def test_a_paper_that_was_found_is_named_with_what_leads_to_it(told: Firm) -> None:
    got = told.ask("Olga", "GET", "/api/office/search", params={"q": "quote"}).json()
    (hit,) = got["jobs"][0]["hits"]
    assert (hit["what"], hit["digest"]) == ("paper", "ab" * 32)


def test_rates_are_tried_before_they_are_kept_and_bad_ones_change_nothing(told: Firm) -> None:
    path = "/api/office/rates"
    good: dict[str, Any] = {"currency": "EUR", "hour": 85, "repair": {"tile": {"corner": 2.5}}}
    tried = told.ask("Olga", "POST", f"{path}/try", json={"rates": good}).json()
    assert tried["faults"] == []
    # An opening of the default book is 4 hours.
    assert (tried["then"]["opening"], tried["now"]["opening"]) == (4 * 85, 4)
    assert told.ask("Olga", "GET", path).json()["rates"] == {}
    bad = {"rates": {"hour": -1, "hours": 3}}
    faults = told.ask("Olga", "POST", f"{path}/try", json=bad).json()["faults"]
    assert [one["path"] for one in faults] == ["rates.hour", "rates.hours"]
    assert told.ask("Olga", "PUT", path, json=bad).status_code == 422
    kept = told.ask("Olga", "PUT", path, json={"rates": good}).json()
    assert (kept["rates"], kept["by"], kept["at"][:10]) == (good, "Olga", NOW[:10])
    assert told.ask("Olga", "PUT", path, json=bad).status_code == 422
    kept = told.ask("Olga", "GET", path).json()
    # The file that it gives is the one that the command line takes.
    assert read_book(kept["toml"]) == read_book(json.dumps(good), "json")
    own = {one["path"]: (one["own"], one["unit"]) for one in kept["rows"] if one["own"]}
    assert own == {"currency": ("EUR", ""), "hour": ("85", "currency/h"),
                   "repair.tile.corner": ("2.5", "h/m2")}  # fmt: skip
    assert told.ask("Olga", "PUT", path, json={"rates": {}}).json()["rates"] == {}


def test_other_rates_are_another_walk(told: Firm) -> None:
    walks, job = told.desk.walks, told.store.job("job_a")
    more: dict[str, Any] = {"through": 1, "job": job, "seed": 1, "draws": 256}
    first = walks.ask("job_x", **more)
    other = walks.ask("job_x", rates='{"hour": 85}', **more)
    assert other is not first
    assert walks.ask("job_x", rates='{"hour": 85}', **more) is other


def test_stops_are_those_of_the_checks_and_of_the_balanced_openings(told: Firm) -> None:
    def hold(key: str, standing: str, first: str = "") -> dict[str, str]:
        return {"key": key, "standing": standing, "first": first, "words": "x"}

    checks = [
        {"first": ["look"], "holds": [hold("a", "stop"), hold("b", "find out", "look"),
                                      hold("c", "find out", "ask"), hold("d", "care")]},
    ]  # fmt: skip
    openings = {
        "balanced": {"openings": ["one"]},
        "openings": [{"id": "one", "holds": [hold("a", "stop"), hold("e", "find out"),
                                             hold("f", "care")]},
                     {"id": "two", "holds": [hold("g", "stop")]}],
    }  # fmt: skip
    answer = json.dumps({"checks": {"checks": checks}, "openings": openings, "more": 1}).encode()
    assert open_stops(answer, ()) == 3
    assert open_stops(answer, {"a", "z"}) == 2
    assert open_stops(b'{"checks": null, "openings": null}', ()) == 0


def test_words_are_looked_for_in_all_texts_of_a_job_together() -> None:
    texts = [("room", "Kitchen"), ("title", "Mill " + "x" * 400), ("room", "Kitchen")]
    found = found_in(texts, words_of("kitchen MILL"))
    assert found is not None
    assert [kind for kind, _ in found] == ["room", "title"]
    assert all(len(text) < 200 for _, text in found)
    assert found_in(texts, words_of("kitchen barn")) is None


def test_the_backup_says_what_it_lacks_and_which_file_cannot_be_used(told: Firm) -> None:
    about = told.ask("Lea", "GET", "/api/office/backup").json()
    assert (about["name"], {one["id"] for one in about["jobs"]}) == ("", {"job_a", "job_b"})
    store = told.store
    made = take(store.database, store.blobs, store.disk, store.layout.backups, now=NOW)
    about = told.ask("Lea", "GET", "/api/office/backup").json()
    assert (about["name"], about["jobs"], about["bad"]) == (made.path.name, [], [])
    assert about["size"] == made.path.stat().st_size
    told.append(told.phones["Ann"].title("job_a", "Mill House"))
    about = told.ask("Lea", "GET", "/api/office/backup").json()
    assert about["jobs"] == [{"id": "job_a", "title": "Mill House", "events": 1}]
    made.path.write_bytes(made.path.read_bytes()[:-9])
    about = told.ask("Lea", "GET", "/api/office/backup").json()
    assert about["bad"] == [{"name": made.path.name, "why": "damaged"}]


def test_the_score_is_told_at_once_and_closed_jobs_are_gone_through_aside(told: Firm) -> None:
    def asked(name: str) -> Any:
        return told.ask(name, "GET", "/api/office/score")

    assert asked("Ann").status_code == 403
    first = asked("Olga").json()
    assert (first["jobs"], first["waiting"]) == (0, 2)
    told.desk.scores.wait(30)
    assert (asked("Lea").json()["jobs"], asked("Lea").json()["waiting"]) == (0, 0)
    lea = told.phones["Lea"]
    told.append(lea.add("job_c", "end", kind="closed", at=NOW, by="Lea"),
                lea.add("job_c", "back", kind="callback", at=NOW, because="smell"))  # fmt: skip
    asked("Olga")
    told.desk.scores.wait(30)
    got = asked("Olga").json()
    assert (got["jobs"], got["waiting"]) == (1, 0)
    assert (got["callbacks"]["hits"], got["callbacks"]["of"]) == (1, 1)
    assert [row["right"]["of"] for row in got["rows"]] == [0, 0, 0, 0]


def test_a_job_that_cannot_be_scored_is_told_in_the_log_without_what_stands_in_it(
    firm: Firm, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(job: Any) -> bool:
        raise ValueError(f"{job.title} cannot be read")

    monkeypatch.setattr(wainscot.score, "ended", broken)
    firm.desk.scores.asked("")
    firm.desk.scores.wait(10)
    told = [one for one in firm.log() if one["event"] == "score"]
    assert {one["error"] for one in told} == {"ValueError"}
    assert not any(word in firm.said.getvalue() for word in ("Mill", "Barn", "job_a"))
