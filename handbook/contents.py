"""Which page stands where: read from the list in the README, so that there is one list only."""

from __future__ import annotations

import re
from pathlib import Path

LINK = re.compile(r"\]\((docs/[\w./-]+\.md)\)")


class ContentsError(Exception):
    """A page is in no list, or the list names a page that is not there."""


def chapters(readme: str) -> dict[str, tuple[str, ...]]:
    """Return the pages under each heading of the README's list, in its order.

    Parameters
    ----------
    readme : str
        Text of the README; its list stands under "## Pages".

    Raises
    ------
    ContentsError
        There is no such list.
    """
    match = re.search(r"^## Pages\n(.*?)(?=^## |\Z)", readme, re.S | re.M)
    if match is None:
        raise ContentsError('README.md has no "## Pages"')
    parts = re.split(r"^### (.+)\n", match.group(1), flags=re.M)[1:]
    return {
        title: tuple(dict.fromkeys(link.removeprefix("docs/") for link in LINK.findall(text)))
        for title, text in zip(parts[::2], parts[1::2], strict=True)
    }


def check(listed: dict[str, tuple[str, ...]], docs: Path) -> None:
    """Raise where list and folder differ, naming each page.

    Parameters
    ----------
    listed : dict
        Pages by heading.
    docs : Path
        Folder of the pages; its subfolders list their own.

    Raises
    ------
    ContentsError
        With one line a page.
    """
    named = {page for pages in listed.values() for page in pages}
    there = {path.name for path in docs.glob("*.md")}
    there |= {page for page in named if "/" in page and (docs / page).exists()}
    wrong = [
        f"docs/{page} is in no list: add a line for it under a heading of README.md's Pages"
        for page in sorted(there - named)
    ]
    wrong += [f"README.md lists docs/{page}, which is not there" for page in sorted(named - there)]
    if wrong:
        raise ContentsError("\n".join(wrong))
