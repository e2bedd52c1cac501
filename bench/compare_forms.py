"""Standard against waste-free form at about equal numbers of sweeps, by error against exact sums.

    python bench/compare_forms.py [seeds]

The cases are the far ladders of the tests.  What it prints stands in
docs/decisions/0002-waste-free-or-standard.md.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests" / "independent"))
from test_kernel_exact import FAR, exact_ladder

from wainscot.diagnosis.kernel import WASTE_FREE, combine, run

FORMS = {
    "standard, 448 x 1 sweep, ESS 0.7": (448, 1, 0, 0.7),
    "standard, 224 x 2 sweeps, ESS 0.7": (224, 2, 0, 0.7),
    "waste-free, 64 x 7 sweeps, ESS 0.7": (512, 7, WASTE_FREE, 0.7),
    "waste-free, 149 x 3 sweeps, ESS 0.7": (596, 3, WASTE_FREE, 0.7),
    "standard, 512 x 1 sweep, ESS 0.5": (512, 1, 0, 0.5),
}


def main(seeds: int) -> None:
    cases = [(name, columns) for name in FAR for columns in (6, 12, 24)]
    for label, (draws, sweeps, flags, share) in FORMS.items():
        squares, worst, evidence, settled, done = [], [], [], [], 0
        start = time.process_time()
        for name, columns in cases:
            true = exact_ladder(name, columns)
            for seed in range(1000, 1000 + seeds):
                found = run(
                    FAR[name](columns),
                    seed=seed,
                    chains=draws,
                    length=1,
                    sweeps=sweeps,
                    flags=flags,
                    ess_fraction=share,
                )
                mixed = combine(found)
                off = np.concatenate([mixed.ever - true.ever, mixed.now - true.now])
                squares.append(float((off**2).mean()))
                worst.append(float(np.abs(off).max()))
                evidence.append((mixed.log_evidence - true.log_evidence) ** 2)
                settled.append(mixed.settled)
                done += sum(len(p.temperatures) * p.chains * sweeps for p in found)
        print(
            f"{label:38s} rms {np.sqrt(np.mean(squares)):.4f}  mean worst {np.mean(worst):.4f}  "
            f"99 % worst {np.quantile(worst, 0.99):.3f}  "
            f"log evidence {np.mean(evidence) ** 0.5:.3f}  settled {np.mean(settled):.3f}  "
            f"{done / 1e6:.1f} M sweeps  {time.process_time() - start:.0f} s CPU",
            flush=True,
        )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 30)
