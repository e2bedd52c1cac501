"""Each page on how to add a kind is walked through: its blocks make the files, then what is tested
for every kind is tested for the new one, in a copy of the package.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import wainscot

ROOT = Path(__file__).resolve().parent.parent
BLOCK = re.compile(r"^(Add to |Change )?`(src/wainscot/[^`]+)`\n\n```\w*\n(.*?)^```", re.S | re.M)
PAGES = {
    "fixture": ("aquarium", "tests/test_every_kind.py"),
    "sign": ("hoard", "tests/test_every_sign_kind.py"),
    "product": ("detergent", "tests/cleaning/test_every_product.py"),
    "paper": ("keys", "tests/test_every_paper.py"),
}
"""What is added on each page, and the test that runs over every one of its sort."""


def walk_through(page: str, copy: Path) -> int:
    """Do what a page says in a copy of the package; return how many files that touched."""
    blocks = BLOCK.findall(page)
    for how, name, text in blocks:
        path = copy / name.removeprefix("src/")
        if how == "Add to ":
            with path.open("a", encoding="utf-8") as file:
                file.write(f"\n{text}")
        elif how == "Change ":
            old, new = (line[1:] for line in text.splitlines())
            now = path.read_text("utf-8")
            assert now.count(old) == 1, old
            path.write_text(now.replace(old, new), "utf-8")
        else:
            assert not path.exists(), f"{name} is there already"
            path.parent.mkdir(exist_ok=True)
            path.write_text(text, "utf-8")
    return len(blocks)


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> str:
    """What the conformance tests say of the four new kinds, in one run."""
    copy = tmp_path_factory.mktemp("package")
    shutil.copytree(
        Path(wainscot.__file__).parent, copy / "wainscot",
        ignore=shutil.ignore_patterns("static"),
    )  # fmt: skip
    for sort in PAGES:
        page = (ROOT / "docs" / f"add-a-{sort}.md").read_text("utf-8")
        assert walk_through(page, copy) >= 1
    names = " or ".join(name for name, _ in PAGES.values())
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-p", "no:cacheprovider", "-vv", "-k",
         f"({names} or share_a_letter)", *(test for _, test in PAGES.values())],
        cwd=ROOT, capture_output=True, text=True, check=False,
        env={**os.environ, "PYTHONPATH": str(copy), "PYTHONDONTWRITEBYTECODE": "1"},
    )  # fmt: skip
    assert done.returncode == 0, done.stdout[-3000:] + done.stderr[-1000:]
    return done.stdout


@pytest.mark.parametrize("sort", sorted(PAGES))
def test_what_a_page_says_to_add_keeps_the_contract_of_every_kind(sort: str, told: str) -> None:
    name, test = PAGES[sort]
    passed = re.findall(rf"^{re.escape(test)}::\w+\[[^\]]*\b{name}\b[^\]]*\] PASSED", told, re.M)
    # Fewer would mean that the conformance test did not see the new kind.
    assert len(passed) >= {"fixture": 11, "sign": 10, "product": 2, "paper": 10}[sort]
