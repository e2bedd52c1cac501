"""The command line: what goes to stdout and stderr, exit codes, JSON, colour, files."""

import json
import os
import re
import subprocess
import sys
import xml.etree.ElementTree as ElementTree
from collections import OrderedDict
from pathlib import Path

import jsonschema
import pytest
from click.testing import Result

from command import SCREEN, run
from houses import bungalow
from wainscot import demos, job, walk
from wainscot.checks import Check
from wainscot.checks import Result as Ranked
from wainscot.checks.visit import Step
from wainscot.checks.words import in_turn
from wainscot.cli.groups import by_likeness, in_words
from wainscot.diagnosis.answer import VoidAnswer
from wainscot.picture.wording import paying

BAD = Path(__file__).parent / "bad_jobs"
SCHEMA = Path(job.__file__).parent.parent / "schema"
HOSTILE = '<script>alert(1)</script> & "x" \x1b[31m'


@pytest.fixture(scope="module")
def demo_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("demo") / "semi.json"
    path.write_text(demos.text(), encoding="utf-8")
    return path


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """Return the file of a house of two rooms, for what is not asked of the demo house."""
    path = tmp_path / "bungalow.json"
    path.write_text(json.dumps(bungalow()), encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def told(demo_file: Path) -> Result:
    return run("diagnose", str(demo_file), "--draws", "256")


@pytest.mark.parametrize(
    "command",
    [
        "demo",
        "new",
        "validate",
        "voids",
        "diagnose",
        "checks",
        "openings",
        "walk",
        "simulate",
        "programme",
    ],
)
def test_help_of_each_command_has_an_example(command: str) -> None:
    result = run(command, "--help")
    assert result.exit_code == 0
    assert f"Example: wainscot {command}" in result.stdout


def test_help_imports_nothing_heavy() -> None:
    # A start under 150 ms rests on this: none of these loads in less.
    code = (
        "import sys; from wainscot.cli import main\n"
        "try: main(['--help'])\nexcept SystemExit: pass\n"
        "heavy = {'numpy', 'scipy', 'shapely', 'wasmtime'} & set(sys.modules)\n"
        "sys.exit(str(heavy) if heavy else 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


@pytest.mark.parametrize(
    "arguments",
    [("diagnose",), ("diagnose", "no-such-file.json"), ("no-such-command",),
     ("programme", __file__, "--start", "next Monday"),
     ("diagnose", "x", "--seed", "-1"), ("voids", "-", "--json", "--svg", "-")],
)  # fmt: skip
def test_wrong_use_is_exit_2_on_stderr(arguments: tuple[str, ...]) -> None:
    result = run(*arguments, given="{}")
    assert result.exit_code == 2
    assert result.stdout == ""
    assert "Usage:" in result.stderr


@pytest.mark.parametrize("command", ["validate", "voids", "diagnose", "checks", "walk"])
@pytest.mark.parametrize(
    "name", ["unknown_field", "not_json", "rooms_overlap", "unknown_amount", "not_utf8"]
)
def test_a_broken_file_is_exit_2_and_every_line_names_place_and_cure(
    command: str, name: str
) -> None:
    result = run(command, str(BAD / f"{name}.json"))
    assert result.exit_code == 2
    assert result.stdout == ""
    assert re.match(r".+: .+; .+ \[[a-z0-9-]+\]\n", result.stderr)
    assert "Traceback" not in result.stderr


def test_all_faults_come_at_once() -> None:
    result = run("validate", str(BAD / "many_at_once.json"))
    faults = [line for line in result.stderr.splitlines() if line.endswith("]")]
    assert len(faults) == 6
    assert "6 faults; nothing was written" in result.stderr


def test_nothing_is_written_for_a_broken_file(tmp_path: Path) -> None:
    for command, option in (("voids", "--svg"), ("diagnose", "--svg"), ("walk", "--out")):
        target = tmp_path / command
        assert run(command, str(BAD / "unknown_side.json"), option, str(target)).exit_code == 2
        assert not target.exists()
    assert list(tmp_path.iterdir()) == []


def test_new_writes_a_sound_file_once(tmp_path: Path) -> None:
    path = tmp_path / "mill.json"
    made = run("new", str(path), "--title", "Mill Cottage", "--units", "ft-in")
    assert (made.exit_code, made.stdout) == (0, "")
    read = job.read(path.read_bytes())
    assert (read.title, read.units) == ("Mill Cottage", "ft-in")
    assert run("validate", str(path)).exit_code == 0
    before = path.read_bytes()
    again = run("new", str(path))
    assert again.exit_code == 2
    assert "exists already" in again.stderr
    assert path.read_bytes() == before


def test_new_to_stdout_is_a_job_and_no_message() -> None:
    result = run("new", "-")
    assert job.read(result.stdout).entities == {}
    assert result.stderr == ""


def test_validate_says_sound_and_leaves_the_file_alone(demo_file: Path) -> None:
    before = demo_file.read_bytes()
    result = run("validate", str(demo_file))
    assert result.exit_code == 0
    assert result.stdout.startswith("sound: 7 rooms drawn, 2 not yet; 3 entry points;")
    assert result.stdout.rstrip().endswith("1 without a place")
    assert demo_file.read_bytes() == before


def test_fix_adds_the_labels_once_and_changes_nothing_else_in_a_sound_file(tmp_path: Path) -> None:
    path = tmp_path / "semi.json"
    path.write_text(demos.text(), encoding="utf-8")
    assert run("validate", str(path), "--fix").exit_code == 0
    first = path.read_bytes()
    assert run("validate", str(path), "--fix").exit_code == 0
    assert path.read_bytes() == first
    entities = json.loads(first)["entities"]
    kept = {key: each for key, each in entities.items() if each["kind"] != "labels"}
    assert kept == json.loads(demos.text())["entities"]
    assert len(entities) - len(kept) == 1


def test_fix_gives_ids_and_keeps_references(tmp_path: Path) -> None:
    path = tmp_path / "a.json"
    entities = {
        "?1": {"kind": "storey", "name": "Ground"},
        "?2": {"kind": "room", "storey": "?1", "name": " Kitchen ", "polygon":
               [[0, 0], [3, 0], [3, 3], [0, 3]]},
    }  # fmt: skip
    path.write_text(json.dumps({"wainscot": 1, "id": "?", "entities": entities}))
    assert run("validate", str(path)).exit_code == 2
    fixed = run("validate", str(path), "--fix")
    assert fixed.exit_code == 0, fixed.stderr
    read = job.read(path.read_bytes())
    kinds = {entity["kind"]: key for key, entity in read.entities.items()}
    assert read.entities[kinds["room"]]["storey"] == kinds["storey"]
    assert "?" not in "".join(read.entities)
    assert "is now" in fixed.stderr


def test_fix_writes_nothing_while_faults_are_left(tmp_path: Path) -> None:
    path = tmp_path / "a.json"
    entities = {"?": {"kind": "room", "nmae": "Kitchen"}}
    path.write_text(json.dumps({"wainscot": 1, "id": "job_a", "entities": entities}))
    before = path.read_bytes()
    assert run("validate", str(path), "--fix").exit_code == 2
    assert path.read_bytes() == before


def test_a_dash_reads_standard_input() -> None:
    result = run("validate", "-", given=demos.text())
    assert (result.exit_code, result.stdout[:6]) == (0, "sound:")


def test_voids_lists_every_hidden_space_with_its_label(demo_file: Path) -> None:
    table = run("voids", str(demo_file))
    listed = json.loads(run("voids", str(demo_file), "--json").stdout)
    hidden = [void for void in listed["voids"] if void["hidden"]]
    assert f"{len(hidden)} hidden voids, {len(listed['passages'])} ways" in table.stdout
    for void in hidden:
        assert re.search(rf"^  {re.escape(void['label'])} ", table.stdout, re.MULTILINE)
    assert (table.exit_code, table.stderr) == (0, "")


@pytest.mark.parametrize(
    ("schema", "arguments"),
    [("voids", ("voids", "-", "--json")),
     ("answer", ("diagnose", "-", "--json", "--draws", "256")),
     ("checks", ("checks", "-", "--json", "--draws", "256"))],
)  # fmt: skip
def test_json_fits_the_shipped_schema(schema: str, arguments: tuple[str, ...]) -> None:
    result = run(*arguments, given=demos.text())
    assert (result.exit_code, result.stderr) == (0, "")
    shipped = json.loads((SCHEMA / f"{schema}.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(shipped)
    jsonschema.Draft202012Validator(shipped).validate(json.loads(result.stdout))


def test_the_same_seed_gives_the_same_bytes_and_another_does_not(
    small: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    base = ("diagnose", str(small), "--json", "--draws", "256")
    first = run(*base, "--seed", "7").stdout_bytes
    monkeypatch.setattr(walk, "_memory", OrderedDict())  # as by another process
    assert run(*base, "--seed", "7").stdout_bytes == first
    digests = {json.loads(run(*base, "--seed", s).stdout)["digest"] for s in ("7", "8")}
    assert len(digests) == 2


def test_the_answer_fits_eighty_columns_and_begins_with_the_verdict(told: Result) -> None:
    assert (told.exit_code, told.stderr) == (0, "")
    lines = told.stdout.splitlines()
    assert max(map(len, lines)) <= 80
    assert lines[0] == "Demo house: semi-detached, 1934"
    assert lines[2].strip()
    for head in (
        "NEXT CHECK",
        "OPEN",
        "WAYS IN",
        "LIKELY RUNS",
        "CHECK FIRST",
        "NOT LOOKED AT",
        "ASSUMED",
        "TAKE CARE",
    ):
        assert any(line.startswith(head) for line in lines), head


def test_verdict_check_openings_ways_in_and_runs_come_first_and_fit_one_screen(
    told: Result,
) -> None:
    lines = told.stdout.splitlines()
    heads = ["NEXT CHECK", "OPENINGS", "WAYS IN", "LIKELY RUNS", "OPEN  "]
    at = [next(i for i, line in enumerate(lines) if line.startswith(head)) for head in heads]
    assert at == sorted(at)
    assert at[-1] <= SCREEN


def test_long_lists_are_cut_with_a_count_and_all_gives_every_line(
    demo_file: Path, told: Result
) -> None:
    every = run("diagnose", str(demo_file), "--draws", "256", "--all").stdout
    answer = json.loads(run("diagnose", str(demo_file), "--draws", "256", "--json").stdout)
    bands = ("open", "check first", "can't tell yet")
    wanted = [void for void in answer["voids"] if void["hidden"] and void["band"] in bands]
    for void in wanted:
        assert re.search(rf"^  {void['label']} +[<>]?\d", every, re.MULTILINE), void["label"]
    assert "more (--all)" in told.stdout
    assert "more (--all)" not in every
    for head in ("CHECK FIRST", "ASSUMED"):
        block = told.stdout[told.stdout.index(head) :].split("\n\n")[0]
        assert sum(bool(re.match(r"  (- |\S|      +[<>]?\d)", line)) for line in
                   block.splitlines()[1:]) <= 9, block  # fmt: skip


def test_alike_voids_are_told_in_one_line_with_all_their_labels() -> None:
    def bay(n: int, soiled: float, storey: str = "g") -> VoidAnswer:
        return VoidAnswer(
            id=f"{storey}/bay/{n}", label=f"F{n}", kind="joist bay", storey=storey, hidden=True,
            words=f"joist bay F{n}, under the Hall floor", soiled=soiled, soiled_error=0.0,
            ever=soiled, now=0.0, now_error=0.0, heavy=0.0, nest=0.0, band="check first",
            reason="", looked=0.0,
        )  # fmt: skip

    one, other = by_likeness([bay(3, 0.2), bay(1, 0.3), bay(2, 0.2), bay(9, 0.1, "f")])
    assert [each.label for each in one] == ["F1", "F2", "F3"]
    assert in_words(one, {"g": "Ground floor"}) == "3 joist bays, ground floor: F1 to F3"
    assert in_words(other, {}) == "joist bay, under the Hall floor"


def test_checks_are_ranked_and_counted(demo_file: Path) -> None:
    told = run("checks", str(demo_file), "--draws", "512", "-n", "2")
    assert (told.exit_code, told.stderr) == (0, "")
    numbers = re.findall(r"^(\d)\. ", told.stdout, re.MULTILINE)
    assert numbers == ["1", "2"]
    assert max(map(len, told.stdout.splitlines())) <= 80
    listed = json.loads(run("checks", str(demo_file), "--draws", "512", "-n", "2", "--json").stdout)
    assert len(listed["checks"]) == 2
    net = [check["net"] for check in listed["checks"]]
    assert net == sorted(net, reverse=True)
    said = " ".join(told.stdout.split())
    assert all(check["words"] in said for check in listed["checks"])
    answer = " ".join(run("diagnose", str(demo_file), "--draws", "512").stdout.split())
    assert f"NEXT CHECK 1 {listed['checks'][0]['doing']}" in answer


def test_the_checks_of_one_visit_are_told_in_their_order() -> None:
    def one(access: str) -> Check:
        return Check(
            access=access, words="", doing=access, worth=2.0, error=0.1, cost=1.0, net=1.0,
            minutes=30.0, shows=0.5, moved=None, settles=(), first=(), holds=(), nights=0,
            sure=True, pays=True,
        )  # fmt: skip

    ranked = Ranked(
        checks=(one("hole/a"), one("hole/b"), one("door/c")),
        visit=(Step("hole/a", 12.34), Step("door/c", 1.96)),
        money=True, currency="GBP", time_to_open=False, open_now=(), open_labels=(),
        not_weighed=(), judged=(), draws=8,
    )  # fmt: skip
    assert [check.access for check in paying(ranked, 3)] == ["hole/a", "door/c"]
    assert [check.access for check in paying(ranked, 1)] == ["hole/a"]
    assert paying(None, 3) == []
    (why,) = in_turn(ranked, 3)
    assert "save about 12 and 2 GBP" in why
    assert in_turn(ranked, 1) == []


def test_rates_of_the_firm_are_told_in_its_money(small: Path, tmp_path: Path) -> None:
    rates = tmp_path / "rates.toml"
    rates.write_text('currency = "GBP"\nhour = 60\n')
    told = run("checks", str(small), "--draws", "256", "--rates", str(rates)).stdout
    assert re.search(r"worth \d+\s+GBP", told)
    rates.write_text("hour = -1\n")
    refused = run("checks", str(small), "--rates", str(rates))
    assert (refused.exit_code, refused.stdout) == (2, "")
    assert "rates.hour" in refused.stderr


def test_where_no_look_pays_it_is_time_to_open(small: Path, tmp_path: Path) -> None:
    rates = tmp_path / "rates.toml"
    # Opening for a minute's work: no look can save anything.
    rates.write_text("open_bay = 0.02\n")
    for command in ("checks", "diagnose"):
        told = run(command, str(small), "--draws", "256", "--rates", str(rates)).stdout
        assert "o look pays for itself" in told, command


def test_sensitivity_says_what_each_rate_would_change_by_the_shipped_schema(
    tmp_path: Path,
) -> None:
    path = tmp_path / "utility.json"
    house = json.loads(demos.text())
    keep = {"ground", "utility", "facts", "entry_door", "door_back", "look_10"}
    house["entities"] = {k: v for k, v in house["entities"].items() if k in keep}
    path.write_text(json.dumps(house))
    base = ("diagnose", str(path), "--sensitivity", "--draws", "256")
    told, listed = run(*base), run(*base, "--json")
    assert (told.exit_code, told.stderr) == (0, "")
    assert "each halved and doubled in turn" in " ".join(told.stdout.split())
    tried = json.loads(listed.stdout)
    shipped = json.loads((SCHEMA / "sensitivity.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(shipped).validate(tried)
    assert {effect["factor"] for effect in tried["effects"]} <= {0.5, 2.0}
    assert tried["effects"]
    assert run(*base, "--svg", str(tmp_path / "a.svg")).exit_code == 2


def test_checks_of_an_empty_job_say_what_to_do(tmp_path: Path) -> None:
    path = tmp_path / "new.json"
    run("new", str(path))
    result = run("checks", str(path))
    assert (result.exit_code, result.stdout) == (2, "")
    assert "draw a room" in result.stderr


def test_the_answer_says_what_was_not_looked_at_and_never_that_none_remain(told: Result) -> None:
    said = " ".join(told.stdout.split())
    assert "not drawn yet: Back bedroom, Box room" in said
    assert "no place given for" in said
    assert not re.search(r"no (rats|mice|animals) (remain|are left)|rodent[- ]free", said, re.I)


def test_the_answer_ends_with_draws_and_seed(told: Result) -> None:
    assert "draws, seed 1," in " ".join(told.stdout.split())


def test_svg_to_a_file_leaves_stdout_to_the_words(demo_file: Path, tmp_path: Path) -> None:
    target = tmp_path / "a.svg"
    result = run("diagnose", str(demo_file), "--draws", "256", "--svg", str(target),
                 "--shows", "in-use", "--theme", "night", "--date", "1 June")  # fmt: skip
    assert result.stdout.startswith("Demo house")
    text = target.read_text(encoding="utf-8")
    ElementTree.fromstring(text)
    assert "In use now" in text
    assert "1 June" in text


def test_svg_to_stdout_is_the_picture_alone(demo_file: Path) -> None:
    result = run("voids", str(demo_file), "--svg", "-")
    assert ElementTree.fromstring(result.stdout).tag.endswith("svg")


def test_hostile_names_are_escaped_in_the_picture_and_bare_on_the_terminal() -> None:
    house = bungalow()
    house["title"] = HOSTILE
    for entity in house["entities"].values():
        if "name" in entity:
            entity["name"] = HOSTILE
    text = json.dumps(house)
    svg = run("voids", "-", "--svg", "-", given=text).stdout
    assert "script" not in {each.tag.split("}")[-1] for each in ElementTree.fromstring(svg).iter()}
    assert "\x1b" not in svg
    for command in (("voids", "-"), ("diagnose", "-", "--draws", "256")):
        result = run(*command, given=text)
        assert result.exit_code == 0, result.stderr
        assert "\x1b" not in result.stdout


def test_a_folder_that_cannot_be_made_is_exit_1_in_one_line(
    demo_file: Path, tmp_path: Path
) -> None:
    (tmp_path / "file").write_text("in the way")
    result = run("walk", str(demo_file), "--draws", "256", "--out", str(tmp_path / "file" / "x"))
    assert result.exit_code == 1
    assert "Traceback" not in result.stderr
    assert len(result.stderr.strip().splitlines()) == 1


def test_bars_fall_back_to_ascii(small: Path) -> None:
    command = [sys.executable, "-m", "wainscot", "diagnose", str(small), "--draws", "256"]
    done = subprocess.run(
        command, capture_output=True, check=True, env={**os.environ, "PYTHONIOENCODING": "ascii"}
    )
    assert re.search(r"\d\d  #+", done.stdout.decode("ascii"))


def test_an_empty_job_is_no_error_and_says_what_to_do(tmp_path: Path) -> None:
    path, picture = tmp_path / "new.json", tmp_path / "new.svg"
    run("new", str(path))
    result = run("diagnose", str(path), "--svg", str(picture))
    assert result.exit_code == 0, result.stderr
    assert "draw a room" in " ".join(result.stdout.split())
    ElementTree.fromstring(picture.read_text(encoding="utf-8"))


@pytest.mark.parametrize(("given", "wanted"), [(None, "1"), ("2", "2")])
def test_linear_algebra_runs_in_one_thread_unless_somebody_says_otherwise(
    given: str | None, wanted: str
) -> None:
    settings = {k: v for k, v in os.environ.items() if k != "OPENBLAS_NUM_THREADS"}
    if given:
        settings["OPENBLAS_NUM_THREADS"] = given
    code = ("import sys, wainscot.cli, os; assert 'numpy' not in sys.modules;"
            "print(os.environ['OPENBLAS_NUM_THREADS'])")  # fmt: skip
    told = subprocess.run(
        [sys.executable, "-c", code], env=settings, capture_output=True, text=True, check=True
    )
    assert told.stdout.strip() == wanted
