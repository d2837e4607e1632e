"""Scores: hold ranges against measured reference values.

A range is judged by how often it holds the reference (coverage, with binomial bounds), by how wide
it had to be for that (interval score), and by both at once (continuous ranked probability score).
Lower scores are better; all are in points of fat.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from scipy.special import betaincinv, ndtr, ndtri

from foldspan.catalogue.card import Array, FloatArray

LEVELS = (0.50, 0.80, 0.95)
BOUND = 0.95


@dataclass(frozen=True, slots=True)
class Judgement:
    """How one way of stating ranges did on a group of people."""

    n: int
    """Number of people evaluated."""
    bias: float
    """Mean of estimate minus reference [percentage points]."""
    sd: float
    """Standard deviation around that mean [percentage points]."""
    claimed_se: float
    """Root mean square of the stated standard errors [percentage points]."""
    coverage: Mapping[float, tuple[float, float, float]]
    """Level [0 to 1] → share of reference values covered, with exact 95% limits [0 to 1]."""
    crps: float
    """Continuous ranked probability score [percentage points]; lower is better."""
    interval_score: Mapping[float, float]
    """Level [0 to 1] → interval score [percentage points]; lower is better."""

    def to_dict(self) -> dict[str, object]:
        """Return the judgement as a JSON tree; levels become texts such as ``"0.80"``."""
        return {
            "n": self.n,
            "bias": round(self.bias, 3),
            "sd": round(self.sd, 3),
            "claimed_se": round(self.claimed_se, 3),
            "coverage": {
                f"{level:.2f}": {"held": round(held, 4), "bounds": [round(low, 4), round(high, 4)]}
                for level, (held, low, high) in self.coverage.items()
            },
            "crps": round(self.crps, 4),
            "interval_score": {
                f"{level:.2f}": round(score, 3) for level, score in self.interval_score.items()
            },
        }


def binomial_bounds(held: int, n: int) -> tuple[float, float]:
    """Exact (Clopper-Pearson) 95 % bounds for a share of ``held`` in ``n``."""
    tail = (1.0 - BOUND) / 2.0
    low = 0.0 if held == 0 else float(betaincinv(held, n - held + 1, tail))
    high = 1.0 if held == n else float(betaincinv(held + 1, n - held, 1.0 - tail))
    return low, high


def crps_gaussian(estimate: FloatArray, se: FloatArray, truth: FloatArray) -> Array:
    """Continuous ranked probability score of normal forecasts, shape (N,) (Gneiting & Raftery 2007)."""
    z = (truth - estimate) / se
    density = np.exp(-0.5 * z**2) / np.sqrt(2.0 * np.pi)
    return np.asarray(se * (z * (2.0 * ndtr(z) - 1.0) + 2.0 * density - 1.0 / np.sqrt(np.pi)))


def interval_score(low: FloatArray, high: FloatArray, truth: FloatArray, level: float) -> Array:
    """Width of an interval plus a fine for each miss, shape (N,) (Gneiting & Raftery 2007)."""
    fine = 2.0 / (1.0 - level)
    below, above = np.maximum(low - truth, 0.0), np.maximum(truth - high, 0.0)
    return np.asarray((high - low) + fine * (below + above))


def judge(
    estimate: FloatArray, se: FloatArray, truth: FloatArray, *, cut: tuple[float, float]
) -> Judgement:
    """Judge normal ranges ``estimate ± z se``, cut to ``cut``, against reference values.

    Parameters
    ----------
    estimate, se, truth : array of shape (N,)
        Points of fat, without gaps; N at least 1.
    cut : tuple of float
        Ends at which ranges are cut.

    Raises
    ------
    ValueError
        If N is zero.
    """
    n = truth.size
    if n == 0:
        raise ValueError("nobody to evaluate")
    error = estimate - truth
    coverage, scores = {}, {}
    for level in LEVELS:
        z = float(ndtri(0.5 + level / 2.0))
        low = np.clip(estimate - z * se, *cut)
        high = np.clip(estimate + z * se, *cut)
        held = int(np.sum((low <= truth) & (truth <= high)))
        coverage[level] = (held / n, *binomial_bounds(held, n))
        scores[level] = float(interval_score(low, high, truth, level).mean())
    return Judgement(
        n=n,
        bias=float(error.mean()),
        sd=float(error.std(ddof=1)) if n > 1 else 0.0,
        claimed_se=float(np.sqrt(np.mean(se**2))),
        coverage=coverage,
        crps=float(crps_gaussian(estimate, se, truth).mean()),
        interval_score=scores,
    )
