"""Lay the pages out in one folder and have Sphinx make the web pages of them."""

from __future__ import annotations

import re
import shutil
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from handbook import commands, contents, reference, sources

ROOT = Path(__file__).resolve().parent.parent
DOCS = ROOT / "docs"
TARGET = re.compile(r"(?<=\]\()(?!\w+:|#)([^)\s#]+)(#[\w-]+)?(?=\))")
PICTURE = re.compile(r'(\[)?<img src="([^"]+)"[^>]* alt="([^"]+)">(?(1)\]\([^)]+\))')
"""A picture with a width of its own, linked to itself or not; here the page gives it its width."""
FRONT = {
    "README.md": "index.md", "CONTRIBUTING.md": "contributing.md", "CHANGELOG.md": "changelog.md",
}  # fmt: skip
"""Pages that stand outside ``docs`` and where they go."""
MADE = "made"
"""Folder of the pages that are made at each build: commands, and a page for each package."""


def build(target: Path) -> int:
    """Make the web pages; return the exit code, 1 where anything is wrong.

    Parameters
    ----------
    target : Path
        Folder to write to.
    """
    with tempfile.TemporaryDirectory() as folder:
        source = Path(folder)
        try:
            lay_out(source)
        except contents.ContentsError as wrong:
            print(wrong, file=sys.stderr)
            return 1
        return make(source, target)


def make(source: Path, target: Path) -> int:
    """Have Sphinx make web pages of a folder; return 1 where it warns of anything.

    Parameters
    ----------
    source : Path
        Folder of pages with an ``index.md``.
    target : Path
        Folder to write to.
    """
    from sphinx.cmd.build import main as sphinx

    return sphinx(
        ["-q", "-W", "--keep-going", "-b", "html", "-c", str(ROOT / "handbook"),
         "-d", str(source / "_kept"), str(source), str(target)]
    )  # fmt: skip


def lay_out(source: Path) -> None:
    """Write every page into one folder, links turned to where things now lie.

    Parameters
    ----------
    source : Path
        An empty folder.
    """
    readme = (ROOT / "README.md").read_text("utf-8")
    listed = contents.chapters(readme)
    contents.check(listed, DOCS)
    for path in sorted(DOCS.rglob("*")):
        to = source / path.relative_to(DOCS)
        if path.suffix == ".md":
            _write(to, turned(path.read_text("utf-8"), path, source))
        elif path.is_file():
            to.parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(path, to)
    for name, to in FRONT.items():
        path = ROOT / name
        _write(source / to, turned(path.read_text("utf-8"), path, source))
    made = commands.pages() | sources.pages() | reference.pages()
    for name, text in made.items():
        _write(source / MADE / name, text)
    with (source / "index.md").open("a", encoding="utf-8") as index:
        index.write(navigation(listed, sorted(made)))


def navigation(listed: dict[str, tuple[str, ...]], made: list[str]) -> str:
    """Return the lists at the side: the README's, then what is made, then decisions.

    Parameters
    ----------
    listed : dict
        Pages by heading.
    made : list of str
        File names of the pages that are made.
    """
    trees = [_tree(title, pages) for title, pages in listed.items()]
    trees.append(_tree("Reference, made at each build", [f"{MADE}/{name}" for name in made]))
    trees.append(_tree("About", ["decisions/*", "contributing.md", "changelog.md"]))
    return "".join(trees)


def _tree(title: str, pages: list[str] | tuple[str, ...]) -> str:
    entries = "\n".join(page.removesuffix(".md") for page in pages)
    return (
        f"\n```{{toctree}}\n:hidden:\n:glob:\n:titlesonly:\n:caption: {title}\n\n{entries}\n```\n"
    )


def turned(text: str, path: Path, source: Path) -> str:
    """Return a page's text with its links turned: what lies outside ``docs`` is copied beside.

    Parameters
    ----------
    text : str
        The page.
    path : Path
        Where it lies in the project.
    source : Path
        Folder that the pages are laid out in.
    """
    inside = path.is_relative_to(DOCS)
    depth = len(path.relative_to(DOCS).parts) - 1 if inside else 0

    def link(match: re.Match[str]) -> str:
        aim = (path.parent / match[1]).resolve()
        return "../" * depth + _place(aim, source) + (match[2] or "")

    text = PICTURE.sub(r"![\3](\2)", text)
    return _outside_code(text, lambda part: TARGET.sub(link, part))


def _outside_code(text: str, change: Callable[[str], str]) -> str:
    """Change what stands outside fenced blocks and outside `code`."""
    parts = re.split(r"(^```.*?^```$|`[^`\n]+`)", text, flags=re.S | re.M)
    return "".join(part if n % 2 else change(part) for n, part in enumerate(parts))


def _place(aim: Path, source: Path) -> str:
    """Return where a target lies below the folder of pages."""
    if aim == DOCS / "decisions":
        return "decisions/0001-the-shape.md"
    if aim.is_relative_to(DOCS):
        return aim.relative_to(DOCS).as_posix()
    if aim.is_relative_to(ROOT) and aim.relative_to(ROOT).as_posix() in FRONT:
        return FRONT[aim.relative_to(ROOT).as_posix()]
    if aim.is_relative_to(ROOT) and aim.is_file():
        to = Path("files") / aim.relative_to(ROOT)
        # A page elsewhere in the project is a file to fetch here, not a page of the handbook.
        to = to.with_name(f"{to.name}.txt") if to.suffix in ("", ".md") else to
        (source / to).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(aim, source / to)
        return to.as_posix()
    return str(aim)


def _write(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
