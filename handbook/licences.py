"""The licences of everything that wainscot brings along, from what is installed.

python -m handbook.licences                     # writes docs/licences.md
python -m handbook.licences build/sbom.json     # adds the app's packages to a bill of materials

The app's packages come from ``web/package-lock.json``, Python's from their own metadata.
"""

from __future__ import annotations

import base64
import json
import re
import sys
import tomllib
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path
from typing import Any

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parent.parent
PAGE = ROOT / "docs" / "licences.md"
BUNDLED = ("svelte", "three", "idb")
"""Packages of the app whose code is in what is shipped; the others only build and test it."""
FOR_WORK = ("dev", "fuzz")
"""Extras that only developing needs."""
HEAD = """# Licences of what comes along

Made by `python -m handbook.licences` from what is installed; a test says so where a package is new.
wainscot itself: Apache-2.0. The typeface in the papers: see `src/wainscot/papers/fonts/LICENSE`.
What is said here is what each package says of itself, and no legal advice. `psycopg`, of the extra
`postgres`, is under the LGPL: it is used as it is, installed by who wants it, in no wheel of ours.
`atheris`, of the extra `fuzz`, is under Apache-2.0; it is not listed where it is not installed.
"""


def needed(extras: tuple[str, ...]) -> dict[str, str]:
    """Return the licence of every package that wainscot and some extras need, by its name.

    Parameters
    ----------
    extras : tuple of str
        Names of extras in ``pyproject.toml``; without any, what the command line needs.
    """
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    wanted = list(project["dependencies"])
    for extra in extras:
        wanted += project["optional-dependencies"][extra]
    found: dict[str, str] = {}
    seen: set[tuple[str, frozenset[str]]] = set()
    waiting = [Requirement(line) for line in wanted]
    while waiting:
        one = waiting.pop()
        name = canonicalize_name(one.name)
        if name == "wainscot" or (one.marker and not one.marker.evaluate({"extra": ""})):
            continue
        try:
            held = distribution(one.name)
        except PackageNotFoundError:
            continue
        found[name] = found.get(name) or licence(held)
        # One package may be asked for twice, with other extras each time.
        if (asked := (name, frozenset(one.extras))) not in seen:
            seen.add(asked)
            waiting += _requirements(held, one.extras)
    return dict(sorted(found.items()))


def licence(held: Distribution) -> str:
    """Return what an installed package says of its licence.

    Parameters
    ----------
    held : Distribution
        The package.
    """
    meta = held.metadata
    said = meta.get("License-Expression") or ""
    named = [line.rsplit(" :: ", 1)[-1] for line in meta.get_all("Classifier") or ()
             if line.startswith("License ::")]  # fmt: skip
    short = (meta.get("License") or "").strip().splitlines()
    plain = short[0] if short and len(short[0]) < 60 else ""
    return said or ", ".join(named) or plain or _first_line(held)


def bundled() -> dict[str, str]:
    """Return the licence of each package whose code is in the app."""
    return {name: said["license"] for name, said in _locked().items()}


def components() -> list[dict[str, Any]]:
    """Return each package whose code is in the app as a component of a CycloneDX bill."""
    return [
        {
            "type": "library",
            "bom-ref": f"{name}@{said['version']}",
            "name": name,
            "version": said["version"],
            "purl": f"pkg:npm/{name}@{said['version']}",
            "licenses": [{"license": {"id": said["license"]}}],
            "hashes": [{"alg": "SHA-512", "content": _hexadecimal(said["integrity"])}],
        }
        for name, said in _locked().items()
    ]


def add_components(file: Path) -> None:
    """Add the app's packages to a bill of materials, which knows only Python's; once.

    Parameters
    ----------
    file : Path
        A CycloneDX bill in JSON.
    """
    bill = json.loads(file.read_text("utf-8"))
    held = {one["bom-ref"] for one in bill["components"]}
    bill["components"] += [one for one in components() if one["bom-ref"] not in held]
    file.write_text(json.dumps(bill, indent=2) + "\n", "utf-8")


def _locked() -> dict[str, dict[str, str]]:
    lock = json.loads((ROOT / "web" / "package-lock.json").read_text("utf-8"))["packages"]
    return {name: lock[f"node_modules/{name}"] for name in BUNDLED}


def _hexadecimal(integrity: str) -> str:
    """A digest as npm writes it (Subresource Integrity, W3C: base64) as CycloneDX does."""
    kind, _, digest = integrity.partition("-")
    if kind != "sha512":
        raise ValueError(f"a digest of another kind than sha512: {kind}")
    return base64.b64decode(digest).hex()


def page() -> str:
    """Return docs/licences.md."""
    extras = tuple(tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
                   ["optional-dependencies"])  # fmt: skip
    running = needed(tuple(one for one in extras if one not in FOR_WORK))
    working = {name: said for name, said in needed(extras).items() if name not in running}
    parts = (
        ("What runs", running), ("What is in the app", bundled()),
        ("What only building and testing needs", working),
    )  # fmt: skip
    return HEAD + "".join(_table(title, rows) for title, rows in parts)


def _table(title: str, rows: dict[str, str]) -> str:
    lines = [f"| {name} | {said} |" for name, said in rows.items()]
    return f"\n## {title}\n\n| package | licence |\n|---|---|\n" + "\n".join(lines) + "\n"


def _requirements(held: Distribution, extras: set[str]) -> list[Requirement]:
    """Return what a package needs here, with the extras that were asked of it."""
    lines = [Requirement(line) for line in held.requires or ()]
    wanted = [
        one for one in lines
        if not one.marker or any(one.marker.evaluate({"extra": e}) for e in ("", *extras))
    ]  # fmt: skip
    for one in wanted:
        one.marker = None  # it was looked at, with the extras that whoever asks does not know
    return wanted


def _first_line(held: Distribution) -> str:
    """Return the first line of its licence file; "not said" where there is none."""
    for path in held.files or ():
        if re.search(r"licen[sc]e", path.name, re.IGNORECASE) and path.suffix != ".py":
            text = path.read_text("utf-8").strip()
            first = text.splitlines()[0].strip() if text else "not said"
            return "see its licence file" if first.startswith("Copyright") else first
    return "not said"


if __name__ == "__main__":
    if sys.argv[1:]:
        add_components(Path(sys.argv[1]))
    else:
        PAGE.write_text(page(), "utf-8")
