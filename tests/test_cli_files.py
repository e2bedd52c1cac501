"""What the commands refuse to write over, what day it is, and what they say where they cannot."""

from __future__ import annotations

import json
import os
import re
import resource
import subprocess
import sys
from datetime import date, timedelta
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner, Result

from wainscot import demos, job
from wainscot.cli import main, reading

GOOD = Path(__file__).parent / "bad_jobs" / "good.json"
SCHEMA = Path(job.__file__).parent.parent / "schema" / "answer.schema.json"
FEW = ("--draws", "256")


def run(*arguments: str | Path, given: str | None = None) -> Result:
    return CliRunner().invoke(main, [str(each) for each in arguments], input=given)


@pytest.fixture
def mine(tmp_path: Path) -> Path:
    path = tmp_path / "mine.json"
    path.write_bytes(GOOD.read_bytes())
    return path


def files(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def refused(result: Result, words: str) -> None:
    assert result.exit_code == 2, result.output
    assert result.stdout == ""
    assert "Usage:" in result.stderr
    assert words in " ".join(result.stderr.split())


# --- an output never goes over an input


@pytest.mark.parametrize("force", [(), ("--force",)])
@pytest.mark.parametrize("command", ["voids", "diagnose"])
def test_a_picture_never_goes_over_the_job(
    command: str, force: tuple[str, ...], mine: Path, tmp_path: Path
) -> None:
    (tmp_path / "link.svg").symlink_to(mine)
    os.link(mine, tmp_path / "hard.svg")
    before = files(tmp_path)
    for name in ("mine.json", "link.svg", "hard.svg", "../" + tmp_path.name + "/mine.json"):
        refused(run(command, mine, "--svg", tmp_path / name, *force), "is read by this command")
    assert files(tmp_path) == before


def test_a_picture_never_goes_over_the_rates(mine: Path, tmp_path: Path) -> None:
    rates = tmp_path / "rates.toml"
    rates.write_text("hour = 60\n")
    refused(run("diagnose", mine, "--rates", rates, "--svg", rates), "is read by this command")
    assert rates.read_text() == "hour = 60\n"


@pytest.mark.parametrize("option", ["--sheet", "--curve-svg"])
def test_a_sheet_or_curve_never_goes_over_the_job(option: str, mine: Path) -> None:
    refused(run("openings", mine, option, mine), "is read by this command")
    assert mine.read_bytes() == GOOD.read_bytes()


def test_a_walk_never_goes_over_its_job(tmp_path: Path) -> None:
    named = tmp_path / "answer.json"
    named.write_bytes(GOOD.read_bytes())
    refused(run("walk", named, "--out", tmp_path), "is read by this command")
    assert files(tmp_path) == {"answer.json": GOOD.read_bytes()}


# --- nor over a job or record that is there, unless it is forced


def test_a_job_that_is_there_is_kept(mine: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.json"
    other.write_bytes(b'\xef\xbb\xbf{ "wainscot": 1, "id": "job_b", "entities": {"half a fi')
    before = files(tmp_path)
    truth = tmp_path / "truth.json"
    refused(run("voids", mine, "--svg", other), "holds a job")
    refused(run("diagnose", mine, "--svg", other), "holds a job")
    refused(run("simulate", "--out", other, "--truth", truth), "holds a job")
    refused(run("simulate", "--out", truth, "--truth", other), "holds a job")
    refused(run("simulate", "--out", truth, "--truth", truth), "named twice")
    assert files(tmp_path) == before


@pytest.mark.parametrize("content", [b"SQLite format 3\0", b"PK\x03\x04"])
def test_a_record_or_an_archive_that_is_there_is_kept(
    content: bytes, mine: Path, tmp_path: Path
) -> None:
    kept = tmp_path / "record.db"
    kept.write_bytes(content)
    refused(run("voids", mine, "--svg", kept), "holds a")
    assert kept.read_bytes() == content


def test_events_beside_a_job_are_kept(mine: Path, tmp_path: Path) -> None:
    record = tmp_path / "record"
    assert run("import", mine, "--record", record).exit_code == 0
    beside = tmp_path / "mine.events.jsonl"
    before = beside.read_bytes()
    refused(run("voids", mine, "--svg", beside), "holds a record")
    assert beside.read_bytes() == before


def test_a_job_with_a_signature_or_a_result_goes_over_no_other_job(
    mine: Path, tmp_path: Path
) -> None:
    other = tmp_path / "other.json"
    other.write_bytes(GOOD.read_bytes())
    refused(run("opened", mine, "B1=clean", "--out", other), "holds a job")
    refused(
        run("authorise", mine, "--set", "least", "--by", "the owner", "--out", other), "holds a job"
    )
    assert other.read_bytes() == GOOD.read_bytes()


def test_force_writes_over_another_job(mine: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.json"
    other.write_bytes(GOOD.read_bytes())
    size = ("--storeys", "1", "--rooms", "2", "--visits", "0")
    out = ("--out", other, "--truth", tmp_path / "truth.json")
    assert run("simulate", *size, *out, "--force").exit_code == 0
    assert job.read(other.read_bytes()).id != "job_bad"


def test_a_picture_of_before_is_replaced(mine: Path, tmp_path: Path) -> None:
    picture = tmp_path / "a.svg"
    picture.write_text("<svg>old</svg>")
    assert run("voids", mine, "--svg", picture, "--theme", "night").exit_code == 0
    assert "old" not in picture.read_text()


def test_a_demo_replaces_a_demo_and_nothing_else(tmp_path: Path) -> None:
    folder = tmp_path / "demo"
    assert run("demo", "garden_office", "--out", folder, *FEW).exit_code == 0
    (folder / "picture.svg").write_text("old")
    assert run("demo", "garden_office", "--out", folder, *FEW).exit_code == 0
    assert (folder / "picture.svg").read_text() != "old"
    (folder / "job.json").write_bytes(GOOD.read_bytes())
    before = files(folder)
    refused(run("demo", "garden_office", "--out", folder, *FEW), "which no demo wrote")
    assert files(folder) == before
    (folder / "job.json").unlink()
    refused(run("demo", "garden_office", "--out", folder, *FEW), "which no demo wrote")
    assert run("demo", "garden_office", "--out", folder, "--force", *FEW).exit_code == 0
    assert (folder / "job.json").read_text("utf-8") == demos.text("garden_office")


# --- what day it is


def dated(at: str) -> str:
    house = json.loads(GOOD.read_bytes())
    house["entities"]["look"]["at"] = at
    return json.dumps(house)


@pytest.mark.parametrize("command", ["validate", "voids", "diagnose", "checks", "openings", "walk"])
def test_one_mistyped_year_is_refused_by_every_command(command: str) -> None:
    result = run(command, "-", given=dated("2062-05-02"))
    assert (result.exit_code, result.stdout) == (2, "")
    assert re.match(r"entities\.look\.at: '2062-05-02' is still to come .*\[future-date\]\n",
                    result.stderr)  # fmt: skip


def test_what_was_seen_is_not_logged_for_days_to_come(mine: Path) -> None:
    before = mine.read_bytes()
    result = run("opened", mine, "B1=clean", "--at", "2062-05-02", *FEW)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "[future-date]" in result.stderr
    assert mine.read_bytes() == before


def test_today_and_tomorrow_are_no_fault_and_decades_ago_is_a_warning() -> None:
    tomorrow = max(date.today(), reading.MADE) + timedelta(days=1)
    result = run("validate", "-", given=dated(tomorrow.isoformat()))
    assert (result.exit_code, result.stderr) == (0, "")
    result = run("validate", "-", given=dated("1926-05-02"))
    assert result.exit_code == 0
    assert result.stdout.startswith("sound: ")
    assert result.stderr.startswith("warning: entities.look.at: '1926-05-02'")


def test_a_clock_set_before_the_program_was_made_is_not_believed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    class Flat(date):
        @classmethod
        def today(cls) -> date:
            return date(1970, 1, 1)

    monkeypatch.setattr(reading, "date", Flat)
    for name in demos.names():
        assert run("validate", "-", given=demos.text(name)).exit_code == 0


# --- what is said where it cannot be done


def test_a_picture_that_cannot_be_written_is_named_as_typed_with_a_cure(
    mine: Path, tmp_path: Path
) -> None:
    target = tmp_path / "none" / "x.svg"
    result = run("voids", mine, "--svg", target)
    assert (result.exit_code, result.stdout) == (1, "")
    assert result.stderr == (
        f"{target}: No such file or directory; make its folder first, or name another\n"
    )
    inside = mine / "x.svg"
    result = run("diagnose", mine, "--svg", inside)
    assert result.exit_code == 1
    assert result.stderr.startswith(f"{inside}: Not a directory; ")


def test_a_full_disk_names_the_file_as_typed(
    mine: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device", str(tmp_path / ".x.part"))

    monkeypatch.setattr("tempfile.mkstemp", full)
    result = run("voids", mine, "--svg", tmp_path / "x.svg")
    assert result.exit_code == 1
    assert result.stderr.startswith(f"{tmp_path / 'x.svg'}: No space left on device; make room")


def test_an_empty_file_is_called_empty(tmp_path: Path) -> None:
    for content in (b"", b"\xef\xbb\xbf", b" \n"):
        (tmp_path / "empty.json").write_bytes(content)
        result = run("diagnose", tmp_path / "empty.json")
        assert (result.exit_code, result.stdout) == (2, "")
        assert "the file is empty; begin one with wainscot new" in result.stderr


def test_an_empty_job_is_not_called_settled(tmp_path: Path) -> None:
    path = tmp_path / "new.json"
    run("new", path)
    told = " ".join(run("diagnose", path).stdout.split())
    assert "Nothing to calculate yet: draw a room" in told
    assert "0 draws" not in told
    assert "settled" not in told.lower()
    answer = json.loads(run("diagnose", path, "--json").stdout)
    assert (answer["settled"], answer["draws"]) == (None, 0)
    shipped = json.loads(SCHEMA.read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(shipped).validate(answer)


def test_too_little_memory_is_one_plain_sentence(mine: Path) -> None:
    # The module's memory is reserved as addresses, more than this limit allows.
    done = subprocess.run(
        [sys.executable, "-m", "wainscot", "diagnose", str(mine), *FEW],
        capture_output=True, text=True, check=False, timeout=60,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_AS, (3 << 30, 3 << 30)),
    )  # fmt: skip
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr.startswith("there is not enough memory to calculate")
    assert done.stderr.count("\n") == 1
