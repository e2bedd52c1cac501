"""The pages about the job file and its messages say what the program does."""

from __future__ import annotations

import ast
import json
import re
from pathlib import Path

import msgspec
import pytest

import wainscot
from wainscot import job as jobs

DOCS = Path(__file__).parent.parent / "docs"
SOURCE = Path(wainscot.__file__).parent
TELLS = {"Fault", "unknown_word", "_refused"}


def _codes_in_source() -> set[str]:
    """Return every code that a call of Fault, or of what makes one, gives as its first argument."""
    found: set[str] = set()
    for path in SOURCE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") in TELLS and node.args:
                found |= _codes(node.args[0])
    return found


def _codes(first: ast.expr) -> set[str]:
    if isinstance(first, ast.IfExp):
        return _codes(first.body) | _codes(first.orelse)
    text = first.value if isinstance(first, ast.Constant) else None
    return {text} if isinstance(text, str) else set()


def test_every_code_of_a_message_is_listed_and_no_other() -> None:
    listed = re.findall(r"^\| `([a-z0-9-]+)` \|", (DOCS / "errors.md").read_text("utf-8"), re.M)
    assert len(listed) == len(set(listed))
    assert set(listed) == _codes_in_source()


def test_every_example_of_a_job_file_is_sound() -> None:
    blocks = re.findall(r"```json\n(.*?)```", (DOCS / "job-file.md").read_text("utf-8"), re.S)
    assert len(blocks) == 3
    for block in blocks:
        assert jobs.faults(jobs.read(block)) == []
        assert json.loads(block)["wainscot"] == 1


@pytest.mark.parametrize("kind", sorted(jobs.KINDS))
def test_every_field_of_every_kind_is_described(kind: str) -> None:
    page = (DOCS / "job-file.md").read_text("utf-8")
    section = page.split(f"### `{kind}`\n", 1)[1].split("\n##", 1)[0]
    for field in msgspec.structs.fields(jobs.KINDS[kind]):
        name = f"**`{field.encode_name}`**" if field.required else f"`{field.encode_name}`"
        assert name in section, f"{kind}.{field.encode_name}"


@pytest.mark.parametrize(("typed", "metres"), [("3 ft 4 1/2 in", 1.0287), ("1½ in", 0.0381)])
def test_the_lengths_on_the_page_are_read(typed: str, metres: float) -> None:
    from wainscot.quantity import length

    assert typed in (DOCS / "job-file.md").read_text("utf-8")
    assert length(typed) == metres


LINKS = [
    (page.name, target.split("#")[0])
    for page in sorted(DOCS.rglob("*.md"))
    for target in re.findall(r"\]\(([^)]+)\)", page.read_text("utf-8"))
    if "://" not in target and target.split("#")[0]
]


@pytest.mark.parametrize(("page", "target"), LINKS)
def test_every_link_of_every_page_leads_somewhere(page: str, target: str) -> None:
    folders = {path.parent for path in DOCS.rglob(page)}
    assert any((folder / target).exists() for folder in folders)


def test_every_study_that_a_page_speaks_of_has_its_results_with_command_date_and_seed() -> None:
    results = {
        path.stem: json.loads(path.read_text("utf-8"))
        for path in (DOCS.parent / "study" / "results").glob("*.json")
    }
    page = (DOCS / "calibration.md").read_text("utf-8")
    told = set(re.findall(r"^\*\*[^*]+\*\* \(`(\w+)`", page, re.M))
    assert told >= {"ranks", "planted", "cases", "first_three", "scores"}
    assert told <= set(results)
    for name, found in results.items():
        # Fuzzing is no study of its own folder: `make fuzz` runs it for a stated time.
        assert name == "fuzz" or found["command"].endswith(f"study {name}"), name
        assert found["date"] >= "2026"
        assert any("seed" in key for key in found), name
