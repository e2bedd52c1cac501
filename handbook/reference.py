"""A page for each package: every public name with its signature and docstring.

What is public is what a package names in ``__all__``; a module of its own without one shows what it
defines without an underscore.  Docstrings are numpydoc; what they say is shown as it stands.
"""

from __future__ import annotations

import ast
import importlib
import inspect
import pkgutil
import re
from collections.abc import Iterator
from functools import cache
from itertools import pairwise
from types import ModuleType
from typing import Any

import wainscot

NOT_SHOWN = {"__main__", "cli", "demos", "schema"}
"""Packages without a name to import: commands have a page of their own, the rest is data."""
SECTION = re.compile(r"^(\w[\w ]*)\n-{3,}\n", re.M)


def modules() -> Iterator[ModuleType]:
    """Yield every package and module that the reference shows, by name."""
    for one in pkgutil.iter_modules(wainscot.__path__):
        if one.name not in NOT_SHOWN:
            yield importlib.import_module(f"wainscot.{one.name}")


def names(module: ModuleType) -> list[str]:
    """Return the public names of a module.

    Parameters
    ----------
    module : module
        A package of the river or a module of the ground.
    """
    said = getattr(module, "__all__", None)
    if said is not None:
        return sorted(said, key=str.lower)
    own = [
        name
        for name, value in vars(module).items()
        if not name.startswith("_")
        and (inspect.isfunction(value) or inspect.isclass(value))
        and value.__module__ == module.__name__
    ]
    return sorted(own, key=str.lower)


def pages() -> dict[str, str]:
    """Return each page by its file name."""
    return {f"{module.__name__}.md": page(module) for module in modules()}


def page(module: ModuleType) -> str:
    """Return the page of one module.

    Parameters
    ----------
    module : module
        The module.
    """
    words = shown(inspect.getdoc(module) or "")
    parts = [f"# {module.__name__}\n\n{words}\n"]
    parts += [_entry(name, getattr(module, name)) for name in names(module)]
    return "\n".join(parts)


def shown(docstring: str) -> str:
    """Return a docstring as Markdown.

    Parameters
    ----------
    docstring : str
        Numpydoc, without its common indent.
    """
    first, *rest = SECTION.split(docstring)
    parts = [_text(first)]
    for title, body in zip(rest[::2], rest[1::2], strict=True):
        entries = title in ("Parameters", "Returns", "Raises", "Yields", "Attributes")
        parts.append(f"**{title}**\n\n{_entries(body) if entries else _text(body)}")
    return "\n\n".join(part for part in parts if part)


def _entry(name: str, value: Any) -> str:
    heading = f"\n## {name}\n"
    if inspect.isclass(value):
        return "\n".join([heading, _class(value)])
    if inspect.isroutine(value):
        return "\n".join([heading, _signature(name, value), shown(inspect.getdoc(value) or "")])
    return f"{heading}\nA value of the type `{type(value).__name__}`.\n"


def _class(value: type) -> str:
    lines = [f"A class of the module `{value.__module__}`.\n", shown(_own_docstring(value))]
    fields = getattr(value, "__struct_fields__", ())
    kinds = inspect.get_annotations(value)
    words = _field_words(value)
    lines += [
        f"- **`{one}`**: `{_kind(kinds[one])}` {_inline(words.get(one, ''))}".rstrip()
        for one in fields
        if one in kinds and not one.startswith("_")
    ]
    for name, member in vars(value).items():
        plain = member.__func__ if isinstance(member, (classmethod, staticmethod)) else member
        if name.startswith("_") or not (inspect.isfunction(plain) or isinstance(plain, property)):
            continue
        call = "" if isinstance(plain, property) else _call(plain)
        lines.append(f"\n`.{name}{call}`\n\n{shown(inspect.getdoc(plain) or '')}")
    return "\n".join(lines) + "\n"


def _field_words(value: type) -> dict[str, str]:
    """Return what stands under each field of a class."""
    tree = _parsed(value.__module__)
    body = next(
        (
            node.body
            for node in tree.body
            if isinstance(node, ast.ClassDef) and node.name == value.__name__
        ),
        [],
    )
    return {
        node.target.id: " ".join(str(below.value.value).split())
        for node, below in pairwise(body)
        if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name)
        and isinstance(below, ast.Expr) and isinstance(below.value, ast.Constant)
    }  # fmt: skip


@cache
def _parsed(module: str) -> ast.Module:
    return ast.parse(inspect.getsource(importlib.import_module(module)))


def _own_docstring(value: type) -> str:
    return inspect.cleandoc(value.__dict__.get("__doc__") or "")


def _kind(annotation: Any) -> str:
    text = annotation if isinstance(annotation, str) else inspect.formatannotation(annotation)
    return re.sub(r"\bwainscot\.(\w+\.)*", "", text).replace("|", "or").replace("`", "'")


def _call(value: Any) -> str:
    try:
        text = str(inspect.signature(value))
    except (TypeError, ValueError):
        return "(...)"
    # Annotations come as quoted text; an empty default keeps its quotes.
    return text.replace("= ''", '= ""').replace("'", "").replace("`", "")


def _signature(name: str, value: Any) -> str:
    return f"```text\n{name}{_call(value)}\n```\n"


def _entries(body: str) -> str:
    """Return the entries of a section as a list."""
    found: list[str] = []
    for line in body.splitlines():
        if line and not line.startswith(" "):
            found.append(f"- `{line.strip()}`:")
        elif line.strip() and found:
            found[-1] += f" {_inline(line.strip())}"
    return "\n".join(found)


def _text(body: str) -> str:
    """Return prose with its indented examples fenced."""
    parts: list[str] = []
    for part in re.split(r"\n\s*\n", body.strip("\n")):
        if re.match(r"(    |>>> )", part):
            parts.append(f"```text\n{inspect.cleandoc(part)}\n```")
        else:
            parts.append(_inline(part))
    return "\n\n".join(parts)


def _inline(text: str) -> str:
    """Return prose with its marks turned; nothing in it is taken for a tag, a link or a heading."""
    text = re.sub(r":\w+:`~?([^`]+)`", r"`\1`", text.replace("::\n", ":\n")).replace("``", "`")
    parts = re.split(r"(`[^`]*`)", text)
    return "".join(
        part if n % 2 else re.sub(r"([<\[\]*_#$])", r"\\\1", part) for n, part in enumerate(parts)
    )
