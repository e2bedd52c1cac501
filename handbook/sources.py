"""The page of sources: where every number comes from, and which source nobody here has read.

Found by going through what the modules hold (:class:`~wainscot.sources.Cited` and whatever else
carries a source and a standing) and through the tables beside them.
"""

from __future__ import annotations

import ast
import csv
import importlib
import pkgutil
import tomllib
from collections import defaultdict
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from types import ModuleType
from typing import Any, NamedTuple

import msgspec

import wainscot

PACKAGE = Path(wainscot.__file__).parent
NOT_READ = ("second-hand", "memory")
STANDINGS = {
    "read": "Read: seen in the source itself",
    "second-hand": "Not read: taken from somebody else's copy or digest",
    "memory": "Not read: from memory",
    "derived": "Derived: arithmetic from other rows",
    "common practice": "Common practice: known in the trade, no source",
    "judgement": "Judgement: ours, nobody published it",
}
HEAD = """# Sources

Made at each build from the numbers themselves. Each carries where it comes from and how well that
is known. **What was not read** stands under two headings of its own; who wants to rely on such a
number reads the source first. Judgements are counted by the file that holds them, with one example:
the reasons stand beside the numbers.
"""
NO_NUMBERS = ("wainscot.api", "wainscot.cli", "wainscot.store", "wainscot.demos")


class Use(NamedTuple):
    """One number's source."""

    source: str
    standing: str
    where: str
    module: str


@cache
def uses() -> tuple[Use, ...]:
    """Return every number's source, the modules' own and those of the tables."""
    return tuple(sorted({*_of_modules(), *_of_tables()}))


def pages() -> dict[str, str]:
    """Return the page by its file name."""
    found = uses()
    parts = [HEAD]
    for standing, title in STANDINGS.items():
        mine = [use for use in found if use.standing == standing]
        parts.append(f"\n## {title}\n")
        parts.append(_judgements(mine) if standing == "judgement" else _table(mine))
    return {"sources.md": "\n".join(parts)}


def _table(mine: list[Use]) -> str:
    by_source: dict[str, list[Use]] = defaultdict(list)
    for use in mine:
        by_source[use.source].append(use)
    lines = ["| source | where, what for | used in |", "|---|---|---|"]
    for source, group in sorted(by_source.items(), key=lambda pair: pair[0].lower()):
        where = "; ".join(sorted({use.where for use in group if use.where}))
        used = ", ".join(f"`{name}`" for name in sorted({use.module for use in group}))
        lines.append(f"| {_cell(source)} | {_cell(where)} | {used} |")
    return "\n".join(lines) + "\n"


def _judgements(mine: list[Use]) -> str:
    by_module: dict[str, list[Use]] = defaultdict(list)
    for use in mine:
        by_module[use.module].append(use)
    lines = ["| file | judgements | for example |", "|---|---|---|"]
    for module, group in sorted(by_module.items()):
        lines.append(f"| `{module}` | {len(group)} | {_cell(group[0].source)} |")
    return "\n".join(lines) + "\n"


def _of_modules() -> Iterator[Use]:
    for one in pkgutil.walk_packages(wainscot.__path__, "wainscot."):
        # What is called __main__ does something when it is imported.
        if one.name.startswith(NO_NUMBERS) or one.name.endswith("__main__"):
            continue
        module = importlib.import_module(one.name)
        for name in _made_in(module):
            yield from _in(getattr(module, name, None), one.name.removeprefix("wainscot."), 6)


def _made_in(module: ModuleType) -> Iterator[str]:
    """Yield the names that a module assigns itself; what it imports is told where it was made."""
    path = Path(module.__file__ or "")
    for node in ast.parse(path.read_text("utf-8") if path.suffix == ".py" else "").body:
        targets = node.targets if isinstance(node, ast.Assign) else [getattr(node, "target", None)]
        yield from (one.id for one in targets if isinstance(one, ast.Name))


def _in(value: Any, module: str, depth: int) -> Iterator[Use]:
    """Yield the sources that a value holds, at any depth down to the one given."""
    if depth == 0:
        return
    if isinstance(value, msgspec.Struct):
        source, status = (getattr(value, name, None) for name in ("source", "status"))
        if isinstance(source, str) and isinstance(status, str) and source:
            yield Use(source, status, getattr(value, "where", "") or "", module)
            return
        for name in value.__struct_fields__:
            yield from _in(getattr(value, name), module, depth - 1)
    elif isinstance(value, dict):
        for one in value.values():
            yield from _in(one, module, depth - 1)
    elif isinstance(value, (tuple, list, frozenset)):
        for one in value:
            yield from _in(one, module, depth - 1)


def _of_tables() -> Iterator[Use]:
    for path in sorted(PACKAGE.rglob("*.csv")):
        with path.open(encoding="utf-8", newline="") as file:
            lines = (line for line in file if not line.startswith("#"))
            for row in csv.DictReader(lines):
                source = row.get("source") or row.get("why") or ""
                if row.get("status") and source:
                    yield Use(source, row["status"], row.get("name") or "", _short(path))
    for path in sorted(PACKAGE.rglob("tables/*.toml")):
        for name, section in tomllib.loads(path.read_text("utf-8")).items():
            if isinstance(section, dict) and "source" in section and "standing" in section:
                yield Use(section["source"], section["standing"], name, _short(path))


def _short(path: Path) -> str:
    return path.relative_to(PACKAGE).as_posix()


def _cell(text: str) -> str:
    return " ".join(text.split()).replace("|", "\\|").replace("<", "&lt;").replace("*", "\\*")
