"""The record on the command line, from the first import to a restored backup."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from devices import Device, lines

from wainscot import job as jobs
from wainscot.cli import main
from wainscot.job import Job
from wainscot.store import Layout

MILL = Job("job_mill", title="Mill", entities={"r": {"kind": "room", "name": "Kitchen"}})


class Desk:
    """A folder with a record and files, and a hand that types commands."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.record = folder / "record"
        self.file = folder / "mill.json"

    def type(self, *arguments: object) -> Result:
        texts = [str(one) for one in arguments]
        return CliRunner().invoke(main, texts, env={"WAINSCOT_RECORD": str(self.record)})

    def put(self, job: Job, name: str = "mill.json") -> Path:
        (self.folder / name).write_text(jobs.write(job), encoding="utf-8")
        return self.folder / name


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    made = Desk(tmp_path)
    result = made.type("import", made.put(MILL))
    assert result.exit_code == 0, result.output
    assert result.stdout == "job_mill: 2 events written\n"
    return made


def _renamed(name: str, job: Job = MILL) -> Job:
    return Job(job.id, title=job.title, entities={"r": {"kind": "room", "name": name}})


@pytest.mark.parametrize("command", ["import", "export", "backup", "restore", "doctor", "status"])
def test_help_of_each_command_has_an_example(command: str) -> None:
    result = CliRunner().invoke(main, [command, "--help"])
    assert result.exit_code == 0
    assert f"Example: wainscot {command}" in result.stdout


def test_what_was_imported_is_exported_with_its_events(desk: Desk) -> None:
    out = desk.folder / "out.json"
    assert desk.type("export", out).exit_code == 0
    assert jobs.read(out.read_bytes()) == MILL
    events = (desk.folder / "out.events.jsonl").read_bytes().splitlines()
    assert [json.loads(line)["job"] for line in events] == ["job_mill"] * 2
    refused = desk.type("export", out)
    assert (refused.exit_code, "already" in refused.stderr) == (2, True)
    assert desk.type("export", out, "--replace").exit_code == 0


def test_an_unchanged_file_writes_nothing_and_an_edited_one_its_edit(desk: Desk) -> None:
    assert "0 events" in desk.type("import", desk.file).stdout
    for name in ("Scullery", "Larder"):
        desk.put(_renamed(name))
        result = desk.type("import", desk.file)
        assert (result.stdout, result.stderr) == ("job_mill: 1 events written\n", "")


def test_an_edit_of_an_old_file_meets_what_others_wrote_and_undoes_nothing(desk: Desk) -> None:
    phone = Device("phone", "job_mill")
    added = phone.room("s", "Hall")
    (desk.folder / "phone.jsonl").write_bytes(b"\n".join([*lines(added), b"rubbish", b""]))
    result = desk.type("import", desk.folder / "phone.jsonl")
    assert result.stdout == "1 events new, 0 known, 1 put aside\n"
    assert "put aside: not JSON" in result.stderr
    other = desk.folder / "other.json"
    desk.type("export", other)
    edited = jobs.read(other.read_bytes())
    edited.entities["r"]["name"] = "Pantry"
    desk.put(edited, "other.json")
    desk.type("import", other)
    desk.put(_renamed("Scullery"))
    result = desk.type("import", desk.file)
    assert "1 conflicts" in result.stderr
    desk.type("export", other, "--replace")
    merged = jobs.read(other.read_bytes())
    assert merged.entities["s"]["name"] == "Hall"
    (conflict,) = merged.conflicts
    assert {merged.entities["r"]["name"], *map(json.loads, conflict.lost)} == {"Scullery", "Pantry"}
    desk.put(Job(merged.id, merged.title, entities=merged.entities), "other.json")
    assert desk.type("import", other).stderr == ""


def test_a_file_without_its_events_is_not_taken_over_what_is_there(desk: Desk) -> None:
    stray = desk.put(_renamed("Barn"), "stray.json")
    refused = desk.type("import", stray)
    assert (refused.exit_code, "--replace" in refused.stderr) == (1, True)
    assert "1 events" in desk.type("import", stray, "--replace").stdout
    (desk.folder / "bad.events.jsonl").write_bytes(b"{}\n")
    refused = desk.type("import", desk.put(MILL, "bad.json"))
    assert (refused.exit_code, "no event" in refused.stderr) == (1, True)


def test_a_file_with_faults_is_refused_whole(desk: Desk) -> None:
    bad = Job("job_mill", entities={"r": {"kind": "room", "nmae": "x"}})
    refused = desk.type("import", desk.put(bad))
    assert (refused.exit_code, "nmae" in refused.stderr) == (2, True)
    assert "2 events" in desk.type("status").stdout


def test_everything_goes_to_another_record_in_one_file(desk: Desk) -> None:
    whole = desk.folder / "all.zip"
    assert desk.type("export", whole, "--everything").exit_code == 0
    result = desk.type("import", whole, "--record", desk.folder / "second")
    assert result.stdout == "2 events new, 0 known, 0 put aside, 0 photos\n"


def test_a_backup_is_taken_told_and_restored(desk: Desk) -> None:
    told = desk.type("status").stdout
    assert "no backup can be restored" in told
    assert "2 events and 0 photos since" in told
    path = Path(desk.type("backup", "--to", desk.folder / "stick").stdout.splitlines()[0])
    assert path.parent == desk.folder / "stick"
    told = desk.type("status").stdout
    assert str(path) in told
    assert "would be lost" not in told
    refused = desk.type("restore", path)
    assert (refused.exit_code, "not empty" in refused.stderr) == (1, True)
    result = desk.type("restore", path, "--record", desk.folder / "again")
    assert result.stdout.startswith("2 events, 0 photos restored")
    assert json.loads(desk.type("status", "--json").stdout)["backup"]["events_after"] == 0
    second = Path(desk.type("backup").stdout.splitlines()[0])
    second.write_bytes(b"x")
    path.unlink()
    told = desk.type("status").stdout
    assert f"damaged: {second.resolve()}" in told
    assert f"not there: {path.resolve()}" in told


def test_the_doctor_speaks_and_its_exit_code_says_whether_anything_is_bad(desk: Desk) -> None:
    sick = desk.type("doctor")
    assert sick.exit_code == 1
    assert "none that can be restored; take one" in " ".join(sick.stdout.split())
    desk.type("backup")
    found = json.loads(desk.type("doctor", "--json", "--scrub").stdout)
    assert {one["what"] for one in found if one["state"] == "bad"} <= {"space"}


def test_a_job_is_chosen_by_name_where_there_are_several(desk: Desk) -> None:
    desk.type("import", desk.put(Job("job_b", title="Barn"), "b.json"))
    refused = desk.type("export", desk.folder / "out.json")
    assert (refused.exit_code, "job_b, job_mill" in refused.stderr) == (2, True)
    assert desk.type("export", desk.folder / "out.json", "--job", "job_b").exit_code == 0


def test_no_record_and_an_empty_one_are_told(tmp_path: Path) -> None:
    empty = Desk(tmp_path)
    assert "holds no record" in empty.type("status").stderr
    (tmp_path / "none.jsonl").write_bytes(b"")
    empty.type("import", tmp_path / "none.jsonl")
    assert "no job yet" in empty.type("export", tmp_path / "out.json").stderr


def test_without_a_name_the_record_lies_in_the_user_s_data_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.delenv("WAINSCOT_RECORD", raising=False)
    (tmp_path / "none.jsonl").write_bytes(b"")
    CliRunner().invoke(main, ["import", str(tmp_path / "none.jsonl")])
    assert len(list(tmp_path.rglob("record.sqlite"))) == 1


def test_an_older_record_is_brought_up_to_date_and_the_backup_named(tmp_path: Path) -> None:
    from wainscot.store import SqliteFile, migrate, rows

    old = Desk(tmp_path)
    old.record.mkdir()
    database = SqliteFile(Layout(old.record).database)
    with database.writing() as connection:
        migrate.upgrade(connection, "0001")
        rows.set_own_device(connection, "office")
    database.close()
    assert "backup before: " in old.type("status").stderr
