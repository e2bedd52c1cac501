"""Every block of code on every page runs, or says here why not; what a page shows is what comes."""

from __future__ import annotations

import ast
import doctest
import json
import re
import shlex
import tomllib
from pathlib import Path

import click
import pytest
from click.testing import CliRunner
from handbook.commands import every

from wainscot.cli import main

ROOT = Path(__file__).resolve().parent.parent
PAGES = {
    path.relative_to(ROOT).as_posix(): path.read_text("utf-8")
    for path in (
        ROOT / "README.md",
        ROOT / "CONTRIBUTING.md",
        *sorted((ROOT / "docs").rglob("*.md")),
    )
}
FENCED = re.compile(r"^```(\w*)\n(.*?)^```", re.S | re.M)
INDENTED = re.compile(r"(?:^\n|\A)((?:    .*\n(?:\n(?=    ))?)+)", re.M)
COMMANDS = dict(every(main))
BLOCKS = [
    (page, language, text)
    for page, whole in PAGES.items()
    for language, text in FENCED.findall(whole)
] + [
    (page, "", re.sub(r"^    ", "", text, flags=re.M))
    for page, whole in PAGES.items()
    for text in INDENTED.findall(FENCED.sub("", whole))
    if not re.match(r"    +(-|\d+\.|\|)", text)
]
NOT_RUN = {
    "text": "shows what comes out, a formula or a form",
    "diff": "done by tests/test_how_to_add.py",
    "sh": "for another machine: installs or starts something",
    "yaml": "for another machine: starts several servers",
    "ini": "for another machine: starts a server",
    "sql": "for a database that another machine holds",
}


def _is_python(text: str) -> bool:
    """Return whether a block without a language is Python that does something."""
    try:
        body = ast.parse(text).body
    except SyntaxError:
        return False
    does = (ast.Import, ast.ImportFrom, ast.Assign, ast.Call)
    return any(isinstance(getattr(node, "value", node), does) or isinstance(node, does)
               for node in body)  # fmt: skip


def _commands(text: str) -> list[str]:
    """Return the lines of a block that call a command of ours."""
    lines = text.replace("\\\n", " ").splitlines()
    plain = (re.sub(r"^\$ ", "", line.strip()) for line in lines)
    return [line for line in plain if line.startswith("wainscot ")]


@pytest.mark.parametrize("page", [page for page, whole in PAGES.items() if "```console\n" in whole])
def test_a_worked_page_runs_and_shows_what_comes(
    page: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    space: dict[str, object] = {}
    for language, text in FENCED.findall(PAGES[page]):
        if language == "python":
            exec(compile(text, page, "exec"), space)
        elif language == "console":
            for command, shown in re.findall(r"^\$ (.+)\n((?:(?!\$ ).*\n)*)", text, re.M):
                name, *arguments = shlex.split(command)
                assert name == "wainscot"
                result = CliRunner().invoke(main, arguments)
                assert result.exit_code == 0, (command, result.output)
                assert _fits(shown, result.output), (command, result.output)


def _fits(shown: str, came: str) -> bool:
    """Return whether lines came as shown, ``...`` standing for any lines."""
    wanted = [re.escape(line.rstrip()) for line in shown.rstrip("\n").splitlines()]
    parts = [r"(?:.*\n)*?" if line == re.escape("...") else rf"{line}\n" for line in wanted]
    lines = "".join(f"{line.rstrip()}\n" for line in came.rstrip("\n").splitlines())
    return re.fullmatch("".join(parts), lines) is not None


def test_what_is_compared_is_compared() -> None:
    assert _fits("a\n...\nd\n", "a\nb\nc\nd\n")
    assert _fits("a\nb\n", "a\nb  \n\n")
    assert not _fits("a\nc\n", "a\nb\nc\n")
    assert not _fits("a\n...\ne\n", "a\nb\n")


def test_every_block_is_of_a_sort_that_is_looked_at() -> None:
    known = {"", "python", "console", "json", "toml", *NOT_RUN}
    assert {language for _, language, _ in BLOCKS} <= known


PYTHON = [
    (page, text) for page, language, text in BLOCKS
    if (language == "python" or (not language and _is_python(text))) and not _commands(text)
]  # fmt: skip


@pytest.mark.parametrize(
    ("page", "text"), PYTHON, ids=[f"{page}-{n}" for n, (page, _) in enumerate(PYTHON)]
)
def test_python_on_a_page_imports_what_there_is_and_what_is_typed_in_it_comes_true(
    page: str, text: str
) -> None:
    """Its imports are made; lines after ``>>>`` give what stands below them.

    The rest needs a job at hand; the pages on how to add are walked through, worked pages are run.
    """
    if ">>>" in text:
        case = doctest.DocTestParser().get_doctest(text, {}, page, page, 0)
        said: list[str] = []
        doctest.DocTestRunner(verbose=False).run(case, out=said.append)
        assert said == []
        return
    imports = [one for one in ast.parse(text).body if isinstance(one, (ast.Import, ast.ImportFrom))]
    exec(compile(ast.Module(imports, []), page, "exec"), {})


CALLS = sorted({(page, line) for page, _, text in BLOCKS for line in _commands(text)})


@pytest.mark.parametrize(("page", "line"), CALLS)
def test_every_command_on_a_page_is_one_with_the_options_it_has(page: str, line: str) -> None:
    words = shlex.split(line, comments=True)
    command: click.Command = main
    while isinstance(command, click.Group) and len(words) > 1 and not words[1].startswith("-"):
        found = (
            COMMANDS.get(f"wainscot {words[1]}")
            if command is main
            else command.commands.get(words[1])
        )
        assert found is not None, f"{page}: no command {words[1]}"
        command, words = found, words[1:]
    options = {name for one in command.params for name in (*one.opts, *one.secondary_opts)}
    for word in words[1:]:
        if re.match(r"--?[a-z]", word):
            assert word.split("=")[0] in options | {"--help"}, f"{page}: {line}"


@pytest.mark.parametrize(
    ("page", "text"), [(page, text) for page, language, text in BLOCKS if language == "json"]
)
def test_json_on_a_page_is_json(page: str, text: str) -> None:
    json.loads(text if text.lstrip().startswith(("{", "[")) else f"{{{text.rstrip().rstrip(',')}}}")


@pytest.mark.parametrize(
    ("page", "text"), [(page, text) for page, language, text in BLOCKS if language == "toml"]
)
def test_toml_on_a_page_is_toml(page: str, text: str) -> None:
    assert tomllib.loads(text)


def test_every_target_of_make_on_a_page_is_there() -> None:
    makefile = (ROOT / "Makefile").read_text("utf-8")
    targets = set(re.findall(r"^([\w-]+):", makefile, re.M))
    named = {one for whole in PAGES.values() for one in re.findall(r"`make ([\w-]+)`", whole)}
    assert {"docs", "sbom", "test"} <= named <= targets
