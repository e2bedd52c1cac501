"""What stands beside the files of a package: how to check it, and what it cannot show."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from importlib import resources

from wainscot.papers.originals import Beside
from wainscot.record import head_of, paper_lines


def read_me(name: str, given: str, language: str, *, originals: bool) -> bytes:
    """Return the text that tells a reader what is here and how to check it.

    Parameters
    ----------
    name : str
        Name of the package's file.
    given : str
        Text of the signed head; empty where there is none.
    language : str
        One of :data:`wainscot.papers.said.LANGUAGES`.
    originals : bool
        Whether the photos as they were taken go along.
    """
    words = _words(language)
    head = head_of(given) if given else None
    parts: list[str] = [words["what"], words["originals" if originals else "no_originals"]]
    if head is None:
        parts.append(words["no_head"])
    else:
        file = name if re.fullmatch(r"[\w.-]+", name) else f'"{name}"'
        command = f"python verify.py {file} {head.size} {head.root}"
        parts += [words["check"], f"    {command}", words["paper_first"], *paper_lines(head), given]
        parts += [words["cannot"]]
    return ("\n\n".join(parts) + "\n").encode()


def photo_list(told: Mapping[str, Beside], missing: Sequence[str], language: str) -> bytes:
    """Return the list of the photos as they were taken: which says where, which with what.

    Parameters
    ----------
    told : mapping of str to Beside
        By SHA-256.
    missing : sequence of str
        SHA-256 of those that are not at hand.
    language : str
        One of :data:`wainscot.papers.said.LANGUAGES`.
    """
    words = _words(language)
    lines = [words["photos"]]
    for digest, one in sorted(told.items()):
        place = words["place" if one.place else "no_place"]
        device = words["device" if one.device else "no_device"]
        lines.append(f"{digest}  {place}, {device}")
    lines += [f"{one}  {words['missing']}" for one in sorted(missing)]
    return ("\n".join(lines) + "\n").encode()


def _words(language: str) -> dict[str, str]:
    file = resources.files("wainscot.papers") / "package_words" / f"{language}.toml"
    return tomllib.loads(file.read_text("utf-8"))
