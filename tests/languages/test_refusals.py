"""What the server refuses is said in Spanish too."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from importlib.resources import files

import pytest

from wainscot.errors import SERVER
from wainscot.languages import tell


def _refusals() -> Iterator[str]:
    """Give every text that a route says beside the catalogue's, as it stands in the code."""
    for file in files("wainscot.api").iterdir():
        for one in (
            ast.walk(ast.parse(file.read_text("utf-8"))) if file.name.endswith(".py") else ()
        ):
            match one:
                case ast.Call(func=ast.Name("RefusedError"), args=[_, ast.Constant(str(text)), *_]):
                    yield text


@pytest.mark.parametrize("code", SERVER)
def test_every_refusal_of_the_catalogue_is_said_in_spanish(code: str) -> None:
    told = tell(f"{SERVER[code].what}; {SERVER[code].cure}", "es")
    assert told.whole, told.text


@pytest.mark.parametrize(
    "text",
    ["too many requests; try again in 30 seconds", "an account has at most 50 devices; revoke one",
     "a photo has at most 67108864 bytes", "a job has at most 100 links; take one back"],
)  # fmt: skip
def test_numbers_in_a_refusal_are_said_too(text: str) -> None:
    assert tell(text, "es").whole


def test_what_a_route_says_beside_the_catalogue_is_said_in_spanish() -> None:
    found = set(_refusals())
    assert "send it unpacked" in found
    assert {text for text in found if not tell(text, "es").whole} == set()
