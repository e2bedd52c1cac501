"""How much is drawn of which case, and the draws themselves.

Every case (framing guess x species) is drawn from a little at first; those that may weigh more than
one part in a hundred are then drawn from in full.  Random numbers of a case follow from the seed,
the stage and the case's own names, never from its place in a list.

Limits: a case that a small pilot wrongly weighs under a hundredth is lost; its evidence is
therefore taken two standard errors higher.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable

import msgspec
import numpy as np

from wainscot.diagnosis import kernel
from wainscot.diagnosis.answer import Hypothesis
from wainscot.diagnosis.cases import Case
from wainscot.diagnosis.draws import log_evidence
from wainscot.diagnosis.mapping import source_map, void_map
from wainscot.diagnosis.posterior import Sample, weights
from wainscot.diagnosis.problem import make

Progress = Callable[[float], None]

PILOT_DRAWS = 512
PILOT_POPULATIONS = 2
KEPT_WEIGHT = 0.01
"""Cases below this weight are not drawn from in full. [1]"""
CHAIN_LENGTH = 8
LARGE = 5000
"""Above so many voids, what lies far from every sign is flipped in turns: a judgement of where the
time is worth it; ``study turns`` holds such answers against those of every flip in every sweep."""


class Effort(msgspec.Struct, frozen=True):
    """How much to draw."""

    seed: int
    populations: int
    draws: int
    threads: int | None = None
    in_turns_above: int = LARGE
    """Voids above which far flips are made in turns."""

    @property
    def chains(self) -> int:
        """Chains of one population."""
        return max(4, self.draws // (self.populations * CHAIN_LENGTH))


def _stream(seed: int, *names: str) -> int:
    """Seed of one run of the kernel; does not depend on the order of the cases."""
    text = "\n".join((str(seed), *names))
    return int.from_bytes(hashlib.sha256(text.encode("utf-8")).digest()[:8], "little")


def sample_cases(
    found: tuple[Case, ...], effort: Effort, stage: str, progress: Progress | None
) -> tuple[Sample, ...]:
    """Return each case with its draws.

    Parameters
    ----------
    found : tuple of Case
        The cases; the first one's graph is the answer's.
    effort : Effort
        How much to draw.
    stage : str
        Name of the stage, so that each has random numbers of its own.
    progress : callable or None
        Called with the share of the work that is done. [1]
    """
    samples: list[Sample] = []
    for k, case in enumerate(found):
        problem, merged = make(case.graph, case.evidence)
        populations = kernel.run(
            problem,
            seed=_stream(effort.seed, stage, case.species, case.guess),
            populations=effort.populations,
            chains=effort.chains,
            length=CHAIN_LENGTH,
            threads=effort.threads,
            flags=kernel.IN_TURNS if len(problem.row_of) > effort.in_turns_above else 0,
            progress=_part(progress, k, len(found)),
        )
        samples.append(
            Sample(
                case,
                problem,
                merged,
                tuple(populations),
                void_map(found[0].graph, case.graph),
                source_map(found[0].graph, case.graph),
            )
        )
    return tuple(samples)


def _part(progress: Progress | None, k: int, of: int) -> Progress | None:
    if progress is None:
        return None
    report = progress
    return lambda share: report((k + share) / of)


def worth_drawing(
    found: tuple[Case, ...], effort: Effort, progress: Progress | None
) -> tuple[tuple[Case, ...], tuple[Hypothesis, ...]]:
    """Return the cases that may weigh more than the bound, the likeliest first, and the others.

    Parameters
    ----------
    found : tuple of Case
        The cases, in an order that does not depend on the file.
    effort : Effort
        How much to draw.
    progress : callable or None
        Called with the share of the work that is done. [1]
    """
    if len(found) == 1:
        return found, ()
    pilot = Effort(effort.seed, PILOT_POPULATIONS, min(PILOT_DRAWS, effort.draws), effort.threads)
    samples = sample_cases(found, pilot, "pilot", progress)
    weight = [float(each.sum()) for each in weights(samples)]
    # Two standard errors of doubt about a case's evidence count in its favour.
    doubt = [
        np.exp(2.0 * max(one.log_evidence_se for one in sample.populations)) for sample in samples
    ]
    order = sorted(range(len(found)), key=lambda k: (-round(weight[k], 9), k))
    keep = [k for k in order if weight[k] * doubt[k] > KEPT_WEIGHT]
    dropped = tuple(hypothesis(samples[k], weight[k]) for k in order if k not in keep)
    return tuple(found[k] for k in keep), dropped


def hypothesis(sample: Sample, weight: float) -> Hypothesis:
    """Return a case as it stands in the answer.

    Parameters
    ----------
    sample : Sample
        The case with its draws.
    weight : float
        Its weight among all cases. [1]
    """
    case = sample.case
    return Hypothesis(case.species, case.guess, weight, log_evidence(sample))
