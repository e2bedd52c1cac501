"""How far reweighted draws may be trusted: Pareto-smoothed importance weights.

The largest importance weights are fitted by a generalised Pareto distribution.  Its shape k says
whether the weighted mean can be trusted: below 0.7 it can (with a few thousand draws).  The largest
weights are then replaced by quantiles of the fit.

Sources: Zhang & Stephens 2009, Technometrics 51:316 (the fit); Vehtari, Simpson, Gelman, Yao &
Gabry, "Pareto smoothed importance sampling" (the smoothing, the bound 0.7, the weak prior on k).
All from memory.

Limits: draws count as independent.
"""

from __future__ import annotations

import numpy as np

from wainscot.arrays import Floats

TRUSTED = 0.7
EFFECTIVE = 400.0
"""Fewer effective draws than this are not trusted either: neighbours are alike, so that they are
worth less than they count. [1]"""


def fit(tail: Floats) -> tuple[float, float]:
    """Return shape k and scale of a generalised Pareto distribution of exceedances. [1]

    Parameters
    ----------
    tail : Floats
        Exceedances above the threshold, ascending, positive. [1]
    """
    n = len(tail)
    grid = 30 + int(n**0.5)
    quarter = tail[int(n / 4 + 0.5) - 1]
    theta = 1.0 / tail[-1] + (1.0 - np.sqrt(grid / (np.arange(grid) + 0.5))) / (3.0 * quarter)
    shape = np.log1p(-theta[:, None] * tail[None, :]).mean(axis=1)
    log_likelihood = n * (np.log(-theta / shape) - shape - 1.0)
    weight = np.exp(log_likelihood - log_likelihood.max())
    best = float((theta * weight).sum() / weight.sum())
    k = float(np.log1p(-best * tail).mean())
    scale = -k / best
    return (n * k + 10 * 0.5) / (n + 10), scale


def smooth(log_ratio: Floats) -> tuple[Floats, float]:
    """Return smoothed log ratios and the shape k of their tail.

    Parameters
    ----------
    log_ratio : Floats
        [K] log importance ratios of draws. [nat]

    Returns
    -------
    tuple
        Log ratios [K], up to a constant [nat], and k; 0 where the ratios do not differ.
    """
    logs = log_ratio - log_ratio.max()
    count = len(logs)
    size = int(min(0.2 * count, 3.0 * np.sqrt(count)))
    if size < 5 or np.ptp(logs) < 1e-9:
        return logs, 0.0
    order = np.argsort(logs, kind="stable")
    tail = order[-size:]
    cut = logs[order[-size - 1]]
    exceed = np.exp(logs[tail]) - np.exp(cut)
    # Few distinct values (a sign seen by one void) make ties; a tail without spread is bounded.
    if exceed[0] <= 0.0 or np.ptp(exceed) < 1e-12:
        return logs, _bounded(logs)
    k, scale = fit(exceed)
    if not np.isfinite(k):
        return logs, np.inf
    probability = (np.arange(size) + 0.5) / size
    if abs(k) < 1e-9:
        quantile = -scale * np.log1p(-probability)
    else:
        quantile = scale / k * np.expm1(-k * np.log1p(-probability))
    smoothed = logs.copy()
    smoothed[tail] = np.minimum(np.log(np.exp(cut) + quantile), 0.0)
    return smoothed, float(k)


def effective(log_weight: Floats) -> float:
    """Return how many evenly weighted draws the weights are worth. [1]

    Parameters
    ----------
    log_weight : Floats
        [K] log weights, up to a constant. [nat]
    """
    weight = np.exp(log_weight - log_weight.max())
    return float(weight.sum() ** 2 / (weight**2).sum())


def _bounded(logs: Floats) -> float:
    """Shape for ratios of few distinct values: bounded, but only trusted if enough draws hold them.

    The effective number of draws stands in for the fit: 100 are enough for a chance to 0.05.
    """
    return 0.0 if effective(logs) >= 100.0 else np.inf
