"""The commands score and learn: they read, say, and write only what they were asked for."""

from __future__ import annotations

import json
from pathlib import Path

import msgspec
import pypdf
import pytest
from click.testing import CliRunner
from study.suspected import suspected

from wainscot import job as jobs
from wainscot.cli.commands import main
from wainscot.job import Job
from wainscot.signs import DEFAULT
from wainscot.store import Store
from wainscot.walk import walk

AT = "2026-04-01T12:00:00+00:00"
TERMS = {"kind": "closing_terms", "may_learn": True}


def closed(**more: dict[str, object]) -> Job:
    job = suspected(3, DEFAULT, rooms=1, control=4)
    end = {"kind": "closed", "at": AT, "by": "office"}
    return msgspec.structs.replace(job, entities={**job.entities, "end": end, **more})


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> str:
    """A record with one closed job whose owner agreed, and one that is open."""
    folder = tmp_path_factory.mktemp("firm") / "record"
    store = Store.create(folder, device="office_1")
    opened = msgspec.structs.replace(suspected(4, DEFAULT, rooms=1), id="job_open")
    for job in (closed(terms=TERMS), opened):
        store.save(job, at=AT, writer="office_2", base=None)
    store.close()
    return str(folder)


def run(*arguments: str) -> tuple[int, str, str]:
    done = CliRunner().invoke(main, list(arguments))
    return done.exit_code, done.stdout, done.stderr


def test_score_counts_the_closed_job_alone_and_prints_the_same_as_json_and_on_paper(
    record: str, tmp_path: Path
) -> None:
    code, text, _ = run("score", "--record", record, "--draws", "256")
    assert code == 0
    assert text.startswith("1 closed job.")
    assert "Wilson" in text
    file = tmp_path / "score.pdf"
    code, packed, said = run("score", "--record", record, "--draws", "256", "--json",
                             "--paper", str(file), "--language", "es", "--size", "letter",
                             "--date", "2026-05-12")  # fmt: skip
    assert f"wrote {file}" in said
    (page,) = pypdf.PdfReader(file).pages
    assert "Todos los trabajos cerrados: 1, 12 de mayo de 2026" in page.extract_text()
    score = json.loads(packed)
    assert (score["jobs"], score["callbacks"]["of"]) == (1, 1)
    assert sum(row["right"]["of"] for row in score["rows"]) >= 4


def test_no_paper_is_written_where_nothing_is_closed_or_to_stdout(tmp_path: Path) -> None:
    Store.create(tmp_path / "record", device="office_1").close()
    file = tmp_path / "score.pdf"
    code, text, said = run("score", "--record", str(tmp_path / "record"), "--paper", str(file))
    assert code == 0
    assert "No job is closed yet" in text
    assert "not written" in said
    assert not file.exists()
    code, _, said = run("score", "--record", str(tmp_path / "record"), "--paper", "-")
    assert (code, "file name" in said) == (2, True)


def test_learn_says_prior_and_posterior_and_writes_what_the_walk_reads(
    record: str, tmp_path: Path
) -> None:
    target = tmp_path / "learnt.toml"
    code, text, _ = run("learn", "--record", record, "--draws", "64", "--write", str(target),
                        "--rate", "borescope: notices droppings")  # fmt: skip
    assert code == 0
    assert "judged" in text
    assert "learnt" in text
    from wainscot.book import read_book

    book = read_book(target.read_text("utf-8"))
    assert list(book.signs) == ["borescope: notices droppings"]
    job = suspected(3, DEFAULT, rooms=1)
    before = walk(job, draws=256, checks=False).diagnosis
    after = walk(job, draws=256, checks=False, book=book).diagnosis
    assert [one.soiled for one in before.voids] != [one.soiled for one in after.voids]


def test_without_the_owners_word_nothing_is_learnt_and_nothing_written_unasked(
    tmp_path: Path,
) -> None:
    file = tmp_path / "job.json"
    file.write_text(jobs.write(closed()))
    code, text, _ = run("learn", str(file), "--draws", "64")
    assert code == 0
    assert "may_learn" in text
    assert list(tmp_path.iterdir()) == [file]


def test_a_rate_that_cannot_be_learnt_is_refused_with_what_can(record: str) -> None:
    code, _, said = run("learn", "--record", record, "--rate", "borescope: notices dropping")
    assert code != 0
    assert "borescope: notices droppings" in said


def test_learning_can_be_switched_off(record: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("WAINSCOT_LEARN", "off")
    code, _, said = run("learn", "--record", record)
    assert code == 2
    assert "switched off" in said


def test_a_rate_that_nobody_knows_is_refused_with_what_there_is() -> None:
    from wainscot.book import read_book
    from wainscot.errors import InputError

    book = read_book('[signs]\n"borescope: notices dropping" = 0.5\n')
    with pytest.raises(InputError, match="borescope: notices droppings"):
        walk(suspected(3, DEFAULT, rooms=1), draws=256, book=book)
    with pytest.raises(InputError, match="no multiple"):
        read_book('[signs]\n"borescope: notices droppings" = -1\n')
