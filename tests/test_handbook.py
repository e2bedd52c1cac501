"""The handbook holds every page, command, kind and public name; a broken link stops the build."""

from __future__ import annotations

import re
from pathlib import Path
from types import ModuleType

import pytest
from handbook import commands, contents, reference, sources
from handbook.site import ROOT, turned

from wainscot.cli import main
from wainscot.job import KINDS
from wainscot.papers.kinds import papers
from wainscot.plan import kinds as fixtures
from wainscot.signs import KINDS as SIGNS

README = (ROOT / "README.md").read_text("utf-8")
DOCS = ROOT / "docs"


def _page(name: str) -> str:
    return (DOCS / name).read_text("utf-8")


def test_the_contents_name_every_page_and_no_other() -> None:
    contents.check(contents.chapters(README), DOCS)


def test_a_page_in_no_list_and_a_line_without_a_page_are_told_by_name(tmp_path: Path) -> None:
    (tmp_path / "new.md").write_text("# New\n", "utf-8")
    with pytest.raises(contents.ContentsError) as told:
        contents.check({"Start": ("gone.md",)}, tmp_path)
    assert "docs/new.md is in no list" in str(told.value)
    assert "lists docs/gone.md, which is not there" in str(told.value)


def test_a_readme_without_a_list_is_told() -> None:
    with pytest.raises(contents.ContentsError, match="has no"):
        contents.chapters("# wainscot\n")


def test_every_command_has_its_heading_its_help_and_its_options() -> None:
    page = commands.pages()["commands.md"]
    headings = set(re.findall(r"^## (.+)$", page, re.M))
    found = dict(commands.every(main))
    assert headings == set(found)
    assert {"wainscot walk", "wainscot calc purge", "wainscot user add"} <= headings
    for name, command in found.items():
        section = page.split(f"\n## {name}\n", 1)[1].split("\n## ", 1)[0]
        assert (command.help or "").split(".")[0].split()[0] in section, name
        for one in command.params:
            for option in one.opts if one.param_type_name == "option" else ():
                assert option in section, (name, option)


def test_every_command_is_named_on_the_written_page() -> None:
    page = _page("command-line.md") + _page("server.md") + _page("record.md") + _page("proof.md")
    missing = [name for name in main.commands if not re.search(rf"`(wainscot )?{name}\b", page)]
    assert missing == []


@pytest.mark.parametrize("module", list(reference.modules()), ids=lambda one: one.__name__)
def test_every_public_name_has_its_heading_and_its_words(module: ModuleType) -> None:
    page = reference.page(module)
    for name in reference.names(module):
        section = page.split(f"\n## {name}\n", 1)[1].split("\n## ", 1)[0]
        assert len(section.split()) > 3, name


def test_every_module_of_the_package_is_in_the_reference() -> None:
    there = {path.stem for path in (ROOT / "src" / "wainscot").glob("*") if path.suffix != ".typed"}
    there -= {"__init__", "__pycache__", "static", *reference.NOT_SHOWN}
    assert {module.__name__.split(".")[1] for module in reference.modules()} == there


@pytest.mark.parametrize(
    ("page", "names"),
    [
        ("job-file.md", {f"`{name}`" for name in KINDS}),
        ("fixtures.md", {f"`type`: `{name}`" for name in fixtures()}),
        ("sign-kinds.md", {f"## {name}\n" for name in SIGNS}),
        ("papers.md", {f"`{name}`" for name in papers()}),
    ],
)
def test_every_kind_has_its_entry(page: str, names: set[str]) -> None:
    text = _page(page)
    assert [name for name in sorted(names) if name.lower() not in text.lower()] == []


def test_sources_tell_what_was_not_read() -> None:
    found = sources.uses()
    assert {use.standing for use in found} == set(sources.STANDINGS)
    page = sources.pages()["sources.md"]
    parts = {title: page.split(f"## {title}\n")[1].split("\n## ")[0] for title in
             sources.STANDINGS.values()}  # fmt: skip
    unread = [part for title, part in parts.items() if title.startswith("Not read")]
    assert len(unread) == len(sources.NOT_READ)
    # One known row of each standing, from the files that hold them.
    assert "American Softwood Lumber Standard" in unread[1]
    assert "US Navy NAVFAC MO-310" in parts["Read: seen in the source itself"]
    for use in found:
        if use.standing != "judgement":
            assert " ".join(use.source.split()).replace("|", "\\|")[:20] in page


def test_links_are_turned_outside_code_only(tmp_path: Path) -> None:
    text = "[a](limits.md#x) [b](../CHANGELOG.md) [c](../LICENSE) `[d](e.md)`\n"
    assert turned(text, DOCS / "one.md", tmp_path) == (
        "[a](limits.md#x) [b](changelog.md) [c](files/LICENSE.txt) `[d](e.md)`\n"
    )
    assert (tmp_path / "files" / "LICENSE.txt").exists()
    assert turned("[a](../limits.md)", DOCS / "decisions" / "x.md", tmp_path) == "[a](../limits.md)"


# The one library says of the other that it will have to change.
@pytest.mark.filterwarnings("ignore:.*is deprecated")
@pytest.mark.parametrize(
    ("text", "code"), [("# A\n\n[b](#c)\n", 1), ("# A\n\n[b](c.md)\n", 1), ("# A\n\n[b](#a)\n", 0)]
)
def test_a_link_that_leads_nowhere_stops_the_build(tmp_path: Path, text: str, code: int) -> None:
    from handbook.site import make

    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "index.md").write_text(text, "utf-8")
    assert make(tmp_path / "in", tmp_path / "out") == code
