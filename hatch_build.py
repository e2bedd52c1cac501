"""The wheel's build hook: builds the app first, so that it is part of the package."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class AppHook(BuildHookInterface[Any]):
    """Builds ``web`` into ``src/wainscot/static``; an editable install is left as it is."""

    PLUGIN_NAME = "custom"

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Build the app, unless its sources are those of the last build."""
        if version != "editable":
            script = Path(self.root) / "scripts" / "build_web.py"
            subprocess.run([sys.executable, str(script)], check=True)
