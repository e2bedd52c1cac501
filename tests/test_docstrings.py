"""A number never stands in an interface without its unit.

Rule: a parameter or a return value of a public function, and a field of a public struct, whose
annotation speaks of ``float`` or ``Floats`` carries a unit in square brackets in its docstring
entry: ``[m]``, or ``[1]`` for a pure number.  A struct may give one unit for all its fields in its
own docstring.  Counts, ids and seeds are integers or text and need none; what begins with an
underscore is private.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import wainscot

SOURCE = Path(wainscot.__file__).parent
MODULES = sorted(path.relative_to(SOURCE).as_posix() for path in SOURCE.rglob("*.py"))
NUMERIC = re.compile(r"\b(float|Floats)\b")
UNIT = re.compile(
    r"\[(?:1|m|m2|m3|mm|cm|in|ft|m/s|m3/s|s|h|min|day|nights?|kg|g|K|C|Pa|J|W|px|nats?|bits?|h\^-1|"
    r"1/m|1/s|1/day|1/h|kg/m3|kg/s|kg/m2|mg/h|mg/m3|mg h/m3|m3/h|ppm|L|g/m2|mm/h|unit|"
    r"currency|currency/h|degrees?|rad)\]"
)


def _numeric(annotation: ast.expr | None) -> bool:
    if annotation is None:
        return False
    text = ast.unparse(annotation)
    return bool(NUMERIC.search(text)) and "Callable" not in text


def _entries(docstring: str, section: str) -> dict[str, str]:
    """Return the text of every entry of one numpydoc section by its name."""
    match = re.search(rf"^{section}\n-+\n(.*?)(?=^\w[\w ]*\n-+\n|\Z)", docstring, re.S | re.M)
    found: dict[str, str] = {}
    names: list[str] = []
    for line in (match.group(1) if match else "").splitlines():
        if line and not line.startswith(" "):
            names = [name.strip().lstrip("*") for name in line.split(" : ")[0].split(",")]
            found |= dict.fromkeys(names, line)
        else:
            found |= {name: f"{found[name]}\n{line}" for name in names}
    return found


def _public(body: list[ast.stmt]) -> Iterator[ast.FunctionDef | ast.ClassDef]:
    for node in body:
        if isinstance(node, (ast.FunctionDef, ast.ClassDef)) and not node.name.startswith("_"):
            yield node


def _function_gaps(function: ast.FunctionDef, owner: str) -> Iterator[str]:
    docstring = ast.get_docstring(function) or ""
    parameters = _entries(docstring, "Parameters")
    arguments = function.args
    for one in [*arguments.posonlyargs, *arguments.args, *arguments.kwonlyargs]:
        numeric = _numeric(one.annotation) and not one.arg.startswith("_")
        if numeric and not UNIT.search(parameters.get(one.arg, "")):
            yield f"{owner}{function.name}({one.arg})"
    if _numeric(function.returns):
        told = " ".join(_entries(docstring, "Returns").values())
        if not UNIT.search(told or docstring.split("\n\nParameters", 1)[0]):
            yield f"{owner}{function.name} returns"


def _field_gaps(struct: ast.ClassDef) -> Iterator[str]:
    """Yield numeric fields with no unit in the text below them or in the class docstring."""
    docstring = ast.get_docstring(struct) or ""
    for n, node in enumerate(struct.body):
        if not isinstance(node, ast.AnnAssign) or not isinstance(node.target, ast.Name):
            continue
        name = node.target.id
        if name.startswith("_") or not _numeric(node.annotation):
            continue
        below = ""
        for later in struct.body[n + 1 :]:
            # Fields in a row may share the text under the last of them.
            if isinstance(later, ast.Expr) and isinstance(later.value, ast.Constant):
                below = str(later.value.value)
                break
            if not isinstance(later, ast.AnnAssign):
                break
        if not (UNIT.search(below) or UNIT.search(docstring)):
            yield f"{struct.name}.{name}"


def gaps(tree: ast.Module) -> list[str]:
    """Return every numeric parameter, return value and field of a module that has no unit."""
    found: list[str] = []
    for node in _public(tree.body):
        if isinstance(node, ast.FunctionDef):
            found += _function_gaps(node, "")
        else:
            found += _field_gaps(node)
            for inner in _public(node.body):
                if isinstance(inner, ast.FunctionDef):
                    found += _function_gaps(inner, f"{node.name}.")
    return found


@pytest.mark.parametrize("module", MODULES)
def test_every_number_in_a_public_interface_has_its_unit(module: str) -> None:
    assert gaps(ast.parse((SOURCE / module).read_text(encoding="utf-8"))) == []


@pytest.mark.parametrize("module", MODULES)
def test_every_public_function_and_struct_says_what_it_is(module: str) -> None:
    tree = ast.parse((SOURCE / module).read_text(encoding="utf-8"))
    assert ast.get_docstring(tree) or not tree.body
    assert [node.name for node in _public(tree.body) if not ast.get_docstring(node)] == []


def test_the_check_itself_sees_a_missing_unit() -> None:
    bad = '''
def depth(board: float, *, gaps: Floats | None = None) -> float:
    """Return the depth.

    Parameters
    ----------
    board : float
        Board depth. [m]
    gaps : array
        Gaps.
    """

class Board(Struct):
    """A board."""

    width: float
    """How wide."""
    depth: float
    """How deep. [m]"""
'''
    assert gaps(ast.parse(bad)) == ["depth(gaps)", "depth returns", "Board.width"]
    assert gaps(ast.parse(bad.replace("Gaps.", "Gaps. [m]").replace("wide.", "wide. [m]"))) == [
        "depth returns"
    ]
