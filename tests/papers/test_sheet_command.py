"""``wainscot openings`` writes the sheet, its drawings and the curve."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner
from tests import houses

from wainscot.cli import main


@pytest.fixture
def job(tmp_path: Path) -> str:
    document = houses.bungalow()
    path = tmp_path / "job.json"
    path.write_text(json.dumps(document), encoding="utf-8")
    return str(path)


def _run(*arguments: str):  # type: ignore[no-untyped-def]
    return CliRunner().invoke(main, ["openings", *arguments, "--draws", "256"])


def test_everything_is_written_and_the_words_still_come(job: str, tmp_path: Path) -> None:
    names = ("s.pdf", "p.pdf", "c.svg", "svg", "dxf")
    sheet, phone, curve, svg, dxf = (tmp_path / name for name in names)
    result = _run(job, "--sheet", str(sheet), "--curve-svg", str(curve), "--svg", str(svg),
                  "--dxf", str(dxf), "--set", "all")  # fmt: skip
    assert result.exit_code == 0, result.stderr
    assert "Balanced" in result.stdout
    assert sheet.read_bytes().startswith(b"%PDF")
    assert curve.read_text().startswith("<svg")
    stems = {path.stem for path in svg.iterdir()}
    assert stems == {path.stem for path in dxf.iterdir()}
    assert "overview-1" in stems
    before = sheet.read_bytes()
    again = _run(job, "--sheet", str(sheet), "--set", "all")
    assert again.exit_code == 0
    assert sheet.read_bytes() == before
    other = _run(job, "--sheet", str(phone), "--set", "all", "--phone")
    assert other.exit_code == 0
    assert phone.read_bytes() != before


def test_a_missing_package_is_one_plain_sentence(
    job: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for package, option in (("typst", "--sheet"), ("ezdxf", "--dxf")):
        monkeypatch.setitem(sys.modules, package, None)
        result = _run(job, option, str(tmp_path / "out"), "--set", "all")
        assert result.exit_code == 1
        (line,) = result.stderr.strip().splitlines()
        assert f"pip install {package}" in line


def test_help_loads_neither_package() -> None:
    import subprocess

    code = (
        "import sys; from wainscot.cli import main; main(['openings', '--help'], "
        "standalone_mode=False); assert not {'typst', 'ezdxf', 'numpy'} & set(sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code], check=True, capture_output=True)


def test_drawings_of_an_older_sheet_are_told(job: str, tmp_path: Path) -> None:
    folder = tmp_path / "svg"
    folder.mkdir()
    (folder / "opening-99-elevation.svg").write_text("old")
    (folder / "mine.svg").write_text("mine")
    result = _run(job, "--svg", str(folder), "--set", "all")
    assert "opening-99-elevation.svg" in result.stderr
    assert "do not cut by them" in " ".join(result.stderr.split())
    assert "mine.svg" not in result.stderr
    assert (folder / "mine.svg").read_text() == "mine"
