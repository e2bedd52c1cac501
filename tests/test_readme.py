"""The first page is true: its commands run, its pages exist, its example is a sound job."""

import json
import re
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner

from wainscot.cli import main

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"```(\w*)\n(.*?)```", README, re.S)


def test_the_five_commands_run_on_the_example(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    commands = next(text for _, text in BLOCKS if text.startswith("wainscot ")).splitlines()
    example = json.loads(next(text for kind, text in BLOCKS if kind == "json"))
    assert len(commands) == 5
    monkeypatch.chdir(tmp_path)
    for command in commands:
        name, *arguments = shlex.split(command)
        assert name == "wainscot"
        result = CliRunner().invoke(main, arguments)
        assert result.exit_code == 0, (command, result.stderr)
        if arguments[0] == "new":
            path = tmp_path / "mine.json"
            job = json.loads(path.read_text(encoding="utf-8"))
            path.write_text(json.dumps({**job, "entities": example}), encoding="utf-8")
    assert (tmp_path / "mine.svg").exists()


def test_the_two_commands_are_targets_of_the_makefile() -> None:
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    two = next(text for _, text in BLOCKS if text.startswith("make ")).split("\n")
    assert [line for line in two if line] == ["make demo", "make test"]
    for target in ("demo", "test"):
        assert re.search(rf"^{target}:", makefile, re.M)


@pytest.mark.parametrize("target", sorted(set(re.findall(r"\]\(([^)]+)\)", README))))
def test_every_link_leads_somewhere(target: str) -> None:
    assert (ROOT / target).exists()


def test_every_page_is_linked() -> None:
    pages = {f"docs/{path.name}" for path in (ROOT / "docs").glob("*.md")}
    assert pages <= set(re.findall(r"\]\(([^)]+)\)", README))
