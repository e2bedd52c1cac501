"""Start-up: a new process to its first answer."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from bench.table import Row, median_seconds


def rows() -> list[Row]:
    wainscot = str(Path(sys.executable).with_name("wainscot"))
    python = median_seconds(lambda: subprocess.run([sys.executable, "-c", "pass"], check=True))
    help_ = median_seconds(
        lambda: subprocess.run([wainscot, "--help"], check=True, capture_output=True)
    )
    demo = median_seconds(
        lambda: subprocess.run([wainscot, "demo"], check=True, capture_output=True), runs=3
    )
    return [
        Row("an empty Python process", python, None, "for comparison"),
        Row("`wainscot --help`", help_, 0.150, f"{help_ / python:.1f} times an empty process"),
        Row("`wainscot demo`, whole walk, new process", demo, 8.0),
    ]
