"""The phone's own figures in Chromium, its processor throttled four times.

A browser slows the thread of a page, not its workers, so the phone's modules run in the page here,
all populations one after the other; a phone shares them out between workers.
"""

from __future__ import annotations

import re
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

import msgspec
from study.phone import tapped
from study.phone_app import node

from bench.bench_app import ROOT, SLOWER
from bench.table import Row
from wainscot import pocket
from wainscot.book import DEFAULT
from wainscot.diagnosis import diagnose
from wainscot.simulate import house, inspect, spread

TIMES = 7
SEED, STOREYS, ROOMS = 5, 2, 10


def rows() -> list[Row]:
    """Measure a house of some 300 voids with looks since."""
    sys.path.insert(0, str(ROOT / "tests" / "app"))
    from hand import STATIC, browser, served

    subprocess.run([sys.executable, str(ROOT / "scripts" / "build_web.py")], check=True)
    job = house(SEED, STOREYS, ROOMS)
    truth = spread(job, SEED)
    job = inspect(job, truth, SEED, visits=2)
    _, drawn = diagnose(job, seed=SEED)
    carried = pocket.make(job, drawn, DEFAULT, seed=SEED)
    assert carried is not None
    later = job.entities | tapped(job, truth, carried.as_of, SEED)
    kernel = next(one.name for one in (STATIC / "assets").iterdir() if one.suffix == ".wasm")
    given = [pocket.written(carried).decode(), msgspec.to_builtins(later), f"./assets/{kernel}"]
    found: list[dict[str, float]] = []
    with browser() as made, served() as url:
        for _ in range(TIMES):
            page = made.new_context(bypass_csp=True).new_page()
            page.goto(url)
            page.add_script_tag(content=_bundle())
            slow = page.context.new_cdp_session(page)
            slow.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
            found.append(page.evaluate("(given) => timed(...given)", given))
            page.close()
    one = found[0]
    what = f"{one['voids']:.0f} voids, {one['news']:.0f} looks since, {len(carried.cases)} case"

    def row(words: str, name: str, target: float | None) -> Row:
        times = [each[name] for each in found]
        note = f"{what}; quickest of {TIMES}: {min(times):.2f} s"
        return Row(f"phone, 4 times slower: {words}", statistics.median(times), target, note)

    return [
        row("pocket unpacked", "unpack", None),
        row("draws weighed anew", "once", 0.5),
        row("full diagnosis, 1,024 draws, one thread", "full", 15.0),
    ]


def _bundle() -> str:
    web = ROOT / "web"
    with tempfile.TemporaryDirectory() as folder:
        command = [node(), "node_modules/vite/bin/vite.js", "build"]
        command += ["--config", "test/phone_page.config.ts", "--outDir", folder]
        subprocess.run(command, cwd=web, check=True)
        text = (Path(folder) / "phone_page.js").read_text(encoding="utf-8")
    return re.sub(r"</script", r"<\\/script", text)
