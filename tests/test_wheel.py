"""The wheel holds the built app, so that installing it needs no Node."""

from __future__ import annotations

import subprocess
import sys
import zipfile
from email.parser import Parser
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel of this folder; the app in it is that of the last build if nothing changed."""
    folder = tmp_path_factory.mktemp("wheel")
    done = subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-2000:]
    (made,) = folder.glob("*.whl")
    return made


def test_what_is_built_holds_the_app_and_nothing_of_the_tests(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        names = set(archive.namelist())
    static = {name.split("static/", 1)[1] for name in names if "/static/" in name}
    assert {"index.html", "worker.js", "app.webmanifest"} <= static
    assert {f"static/{name}" for name in static} == {
        path.relative_to(ROOT / "src" / "wainscot").as_posix()
        for path in (ROOT / "src" / "wainscot" / "static").rglob("*")
        if path.is_file()
    }
    for needed in ("diagnosis/kernel.wasm", "demos/semi_1930s.json", "py.typed"):
        assert f"wainscot/{needed}" in names
    tops = {name.split("/")[0] for name in names}
    assert {top for top in tops if not top.endswith(".dist-info")} == {"wainscot"}
    assert not [name for name in names if "node_modules" in name or "__pycache__" in name]


def test_what_is_installed_asks_for_no_node_and_runs(wheel: Path, tmp_path: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(tmp_path)
        (meta,) = (name for name in archive.namelist() if name.endswith("/METADATA"))
        wants = Parser().parsestr(archive.read(meta).decode()).get_all("Requires-Dist") or []
    assert not [line for line in wants if "node" in line and "extra == 'dev'" not in line]
    done = subprocess.run(
        [sys.executable, "-P", "-m", "wainscot", "demo", "--list"],
        cwd=tmp_path, capture_output=True, text=True, check=False,
        env={"PYTHONPATH": str(tmp_path), "PATH": ""},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert "semi_1930s" in done.stdout
