"""Build the handbook: ``python -m handbook [FOLDER]``."""

from __future__ import annotations

import sys
from pathlib import Path

from handbook.site import ROOT, build

if __name__ == "__main__":
    target = Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "build" / "handbook"
    sys.exit(build(target))
