"""Every package that comes along is on the page of licences, with one that allows it to."""

from __future__ import annotations

import base64
import json
import re
from pathlib import Path

import pytest
from handbook import licences

PAGE = licences.PAGE.read_text("utf-8")
EXTRAS = ("server", "proof", "sqlite", "postgres", "hosts", "dev")


def _listed(title: str) -> set[str]:
    part = PAGE.split(f"## {title}\n", 1)[1].split("\n## ", 1)[0]
    return set(re.findall(r"^\| ([\w.-]+) \|", part, re.M)) - {"package"}


def test_every_package_that_is_needed_is_on_the_page() -> None:
    runs, works = _listed("What runs"), _listed("What only building and testing needs")
    missing = set(licences.needed(EXTRAS)) - runs - works
    assert missing == set(), "new packages: look at them, then run `python -m handbook.licences`"
    assert set(licences.needed(EXTRAS[:2])) <= runs
    assert set(licences.bundled()) == _listed("What is in the app")


@pytest.mark.parametrize("name", sorted(licences.needed(EXTRAS[:2])))
def test_no_licence_of_what_runs_asks_for_our_own_source(name: str) -> None:
    said = licences.needed(EXTRAS[:2])[name]
    assert said not in ("", "not said")
    # The Mozilla licence asks for changes of its own files only, and none is changed.
    assert not re.search(r"\b[AL]?GPL|General Public", said)


def test_what_is_lent_by_the_lesser_licence_is_a_library_of_its_own_and_left_as_it_is() -> None:
    # LGPL-3.0, section 4: a work may use the library under its own terms where it can be replaced.
    of_hosts = licences.needed(("postgres", "hosts"))
    lesser = {name for name, said in of_hosts.items() if re.search(r"\b[AL]?GPL|General Pub", said)}
    assert lesser == {"psycopg", "psycopg-binary", "psycopg-pool"}


def test_the_walk_over_requirements_goes_through_to_the_end() -> None:
    found = licences.needed(())
    assert {"numpy", "sqlalchemy", "typing-extensions"} <= set(found)  # the last by the second
    assert "litestar" not in found
    assert "litestar" in licences.needed(("server",))


def test_a_bill_of_materials_gets_the_packages_of_the_app_once(tmp_path: Path) -> None:
    # Outside: CycloneDX 1.6, component with purl (ECMA-427) and hashes in hexadecimal.
    bill = tmp_path / "sbom.json"
    other = {"bom-ref": "numpy", "name": "numpy"}
    bill.write_text(json.dumps({"bomFormat": "CycloneDX", "components": [other]}))
    for _ in range(2):
        licences.add_components(bill)
    found = json.loads(bill.read_text())["components"]
    assert [one["name"] for one in found] == ["numpy", "svelte", "three", "idb"]
    lock = json.loads((licences.ROOT / "web" / "package-lock.json").read_text())["packages"]
    for one in found[1:]:
        held = lock[f"node_modules/{one['name']}"]
        assert one["purl"] == f"pkg:npm/{one['name']}@{held['version']}"
        digest = bytes.fromhex(one["hashes"][0]["content"])
        assert len(digest) == 64
        assert "sha512-" + base64.b64encode(digest).decode() == held["integrity"]


def test_a_digest_of_another_kind_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    package = {"version": "1", "license": "MIT", "integrity": "sha1-AAAA"}
    monkeypatch.setattr(licences, "_locked", lambda: {"old": package})
    with pytest.raises(ValueError, match="another kind than sha512: sha1"):
        licences.components()
