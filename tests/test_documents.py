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
