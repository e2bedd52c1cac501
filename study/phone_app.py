"""A phone for studies and tests: the app's own modules, bundled, run by node, fed with pockets."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import resources
from pathlib import Path
from typing import Any

import msgspec

from wainscot.job import Job
from wainscot.pocket import PhoneResult, Pocket, written

ROOT = Path(__file__).resolve().parents[1]


def node() -> str:
    """Return where node is."""
    sys.path.insert(0, str(ROOT / "scripts"))
    try:
        from build_kernel import find_node
    finally:
        sys.path.pop(0)
    return str(find_node()[0])


class Phone:
    """One running node with the app's modules in it."""

    def __init__(self, folder: Path, process: subprocess.Popen[str]) -> None:
        self.folder = folder
        self.process = process

    def ask(self, pocket: Pocket, job: Job, *, full: bool = True) -> dict[str, Any]:
        """Return what the phone says of a job with a pocket of before."""
        paths = {"pocket": self.folder / "pocket.json", "entities": self.folder / "entities.json"}
        paths["pocket"].write_bytes(written(pocket))
        paths["entities"].write_bytes(msgspec.json.encode(job.entities))
        line = json.dumps({name: str(path) for name, path in paths.items()} | {"full": full})
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self.process.stdin.write(line + "\n")
        self.process.stdin.flush()
        told = self.process.stdout.readline()
        if not told:
            raise AssertionError(f"the phone's node ended with {self.process.wait()}")
        said: dict[str, Any] = json.loads(told)
        return said


def result_of(said: dict[str, Any]) -> PhoneResult:
    """Return a phone's receipt as the office reads it."""
    return msgspec.convert(said["receipt"], PhoneResult)


@contextmanager
def phone(folder: Path) -> Iterator[Phone]:
    """Bundle the app's modules into a folder and keep them running."""
    web = ROOT / "web"
    command = [node(), "node_modules/vite/bin/vite.js", "build", "--config", "test/phone.config.ts"]
    subprocess.run([*command, "--outDir", str(folder)], cwd=web, check=True)
    module = resources.files("wainscot.diagnosis").joinpath("kernel.wasm")
    command = [node(), str(folder / "phone_host.js"), str(module)]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as process:
        yield Phone(folder, process)
