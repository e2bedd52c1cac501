"""Papers through the server: the bytes of the command line, kept by content, read as pages."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from firm import Firm, open_firm

from wainscot.cli.commands import main
from wainscot.papers.kinds import papers

ROOM = {"kind": "room", "storey": "s", "name": "Hall", "polygon": [[0, 0], [3, 0], [3, 4], [0, 4]]}
LOOK = {"kind": "inspection", "place": {"of": "r"}, "at": "2026-05-12T09:00:00+00:00",
        "finds": [{"kind": "droppings", "amount": "many"}]}  # fmt: skip
PATH = "/api/jobs/job_a/papers"


@pytest.fixture(scope="module")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Firm]:
    """A firm with a small house as ``job_a``; these tests write nothing that another one minds."""
    with open_firm(tmp_path_factory.mktemp("firm")) as firm:
        ann = firm.phones["Ann"]
        firm.send("Ann", "job_a", ann.add("job_a", "s", kind="storey", name="Ground floor"),
                  ann.add("job_a", "r", **ROOM), ann.add("job_a", "i", **LOOK))  # fmt: skip
        yield firm


def _made(firm: Firm, **asked: Any) -> Any:
    """Ask for a paper, wait until the server says that it has ended, and return what it tells."""
    begun = firm.ask("Ann", "POST", PATH, json=asked)
    assert begun.status_code == 202, begun.text
    path = f"/api/jobs/job_a/walks/{begun.json()['id']}"
    firm.ask("Ann", "GET", f"{path}/progress")
    state = firm.ask("Ann", "GET", path).json()
    return firm.ask("Ann", "GET", f"{path}/answer").json() if state["state"] == "done" else state


def test_a_paper_has_the_bytes_of_the_command_line(drawn: Firm, tmp_path: Path) -> None:
    told = _made(drawn, kind="quote", language="es", size="a4")
    got = drawn.ask("Ann", "GET", f"{PATH}/{told['digest']}")
    assert got.headers["content-type"] == "application/pdf"
    assert hashlib.sha256(got.content).hexdigest() == told["digest"]
    record = str(drawn.store.layout.folder)
    file, out = tmp_path / "job.json", tmp_path / "out"
    ran = CliRunner().invoke(main, ["export", str(file), "--job", "job_a", "--record", record])
    assert ran.exit_code == 0, ran.output
    more = ["--out", str(out), "--only", "quote", "--language", "es", "--paper", "a4"]
    ran = CliRunner().invoke(main, ["papers", str(file), "--record", record, *more])
    assert ran.exit_code == 0, ran.output
    assert (out / "quote.pdf").read_bytes() == got.content


def test_a_paper_is_kept_once_with_its_version_and_its_pages(drawn: Firm) -> None:
    first = _made(drawn, kind="call-sheet")
    again = _made(drawn, kind="call-sheet")
    assert again["digest"] == first["digest"]
    listed = drawn.ask("Ann", "GET", PATH).json()
    mine = [one for one in listed["papers"] if one["kind"] == "call-sheet"]
    assert [one["digest"] for one in mine] == [first["digest"]]
    assert not mine[0]["changed"]
    assert mine[0]["version"] == listed["version"]
    pages = drawn.ask("Ann", "GET", f"{PATH}/{first['digest']}/pages").json()
    assert len(pages) == first["sheets"] == 2
    assert all(page.startswith("<svg") and "<script" not in page for page in pages)


def test_a_paper_that_has_nothing_to_say_yet_says_what_it_lacks(drawn: Firm) -> None:
    told = _made(drawn, kind="declined-work")
    assert told["state"] == "failed"
    assert [one["what"] for one in told["faults"]] == ["nothing was declined"]
    assert drawn.ask("Ann", "POST", PATH, json={"kind": "novel"}).status_code == 422


def test_the_answer_of_a_walk_tells_which_papers_can_be_made(drawn: Firm) -> None:
    begun = drawn.ask("Ann", "POST", "/api/jobs/job_a/walks", json={"draws": 256}).json()
    path = f"/api/jobs/job_a/walks/{begun['id']}"
    drawn.ask("Ann", "GET", f"{path}/progress")
    told = {one["kind"]: one for one in drawn.ask("Ann", "GET", f"{path}/answer").json()["papers"]}
    assert sorted(told) == sorted(papers())
    assert told["quote"]["lacks"] == {}
    assert told["trap-log"]["lacks"]["es"] == "no hay ni hubo ninguna trampa"
    assert told["quote"]["title"]["en"] == "Quote: a price range"


def test_only_who_sees_the_job_reads_its_papers(drawn: Firm) -> None:
    digest = _made(drawn, kind="call-sheet")["digest"]
    for path in (PATH, f"{PATH}/{digest}", f"{PATH}/{digest}/pages"):
        assert drawn.ask("Ben", "GET", path).status_code == 403
        assert drawn.ask("Lea", "GET", path).status_code == 200
        assert drawn.ask("", "GET", path).status_code == 401
    other = f"/api/jobs/job_b/papers/{digest}"
    assert drawn.ask("Olga", "GET", other).status_code == 404
    assert json.loads(drawn.ask("Olga", "GET", "/api/jobs/none/papers").content)["status"] == 404
