"""Recalibration: learnt from a table, tried on people left out, written as TOML.

They are read in ``correction_file``, which needs no table library.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

import numpy as np
import tomli_w

from foldspan.catalogue.card import Array, ReferenceMethod
from foldspan.estimation.local_correction import LEAST_PEOPLE, LocalCorrection, SiteOffsets, learn
from foldspan.files.output import write_private
from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import SEXES, Sex
from foldspan.validation.correction_file import SCHEMA_VERSION, read
from foldspan.validation.references import ReferencedTable, referenced
from foldspan.validation.scores import Judgement, judge
from foldspan.validation.table import Answered, gather

if TYPE_CHECKING:
    import pandas as pd

FOLDS = 5
# Held-out coverage may fall short of both the promise and the uncorrected range by two binomial
# standard errors, or by this much, before a correction is refused.
SHORTFALL = 0.015
CUT = (2.0, 70.0)
__all__ = ["LearntCorrection", "learn_from", "read", "write"]


@dataclass(frozen=True, slots=True)
class LearntCorrection:
    """A local correction, and how the ranges performed in people left out of the fit."""

    correction: LocalCorrection
    """The correction, for ``local`` in ``reconcile`` and the other functions."""
    without: Judgement
    """How the ranges performed without it."""
    held_out: Judgement
    """How the corrected ranges performed in people left out of the fit."""

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON tree: the correction as in its file, and the results with and without it."""
        return {
            **_correction_tree(self),
            "made": date.today().isoformat(),
            "without": self.without.to_dict(),
            "held_out": self.held_out.to_dict(),
        }


def learn_from(
    given: pd.DataFrame | ReferencedTable, reference_method: str = ""
) -> LearntCorrection:
    """Learn a local correction and try it on people left out, five parts in turn.

    Raises
    ------
    FoldspanError
        E405 with fewer than 30 people of either sex; E602 where ranges would hold less often than
        they say and less often than without it; E113 where references stand on both scales; and as
        ``table.gather``.
    """
    table = referenced(given)
    parts = gather(table, reference_method).parts
    references = {part.reference_method for part in parts if part.truth.size}
    if len(references) > 1:
        remedy = "Fit one reference method at a time: keep the rows of one."
        raise FoldspanError(
            [
                Problem(
                    "E113", "column reference_method", "two reference methods in one table", remedy
                )
            ]
        )
    (only,) = references
    correction = _learn(parts, only, None)
    if not correction.by_sex:
        what = f"fewer than {LEAST_PEOPLE} people of either sex with a reference value and a range"
        raise FoldspanError([Problem("E405", "table", what, "Measure more people first.")])
    without = _judged(parts)
    held_out = _held_out(table, parts, only, reference_method)
    for level in (0.80, 0.95):
        held = held_out.coverage[level][0]
        noise = max(SHORTFALL, 2.0 * np.sqrt(level * (1.0 - level) / held_out.n))
        if held < min(level, without.coverage[level][0]) - noise:
            what = (
                f"in people left out of the fit, the {100 * level:.0f}% range covered only"
                f" {100 * held:.0f}%"
            )
            raise FoldspanError([Problem("E602", "table", what, "Measure more people first.")])
    return LearntCorrection(correction, without, held_out)


def _fold_of(rows: Array) -> Array:
    """Part of each row, from its number alone, so that a rerun gives the same answer."""
    return np.asarray((rows * 2654435761 % 2**32) % FOLDS)


def _learn(
    parts: list[Answered], reference_method: ReferenceMethod, left_out: int | None
) -> LocalCorrection:
    by_sex: dict[Sex, SiteOffsets] = {}
    people = 0
    for sex in SEXES:
        mine = [part for part in parts if part.sex == sex]
        if not mine:
            continue
        keep = np.concatenate([part.rows for part in mine])
        keep = np.ones(keep.shape, bool) if left_out is None else _fold_of(keep) != left_out
        errors = np.concatenate([part.answer.families.T - part.truth[:, None] for part in mine])
        blocks = {
            name: np.concatenate([part.answer.blocks[name] for part in mine])[keep]
            for name in mine[0].answer.blocks
        }
        learnt = learn(errors[keep], blocks, reference_method)
        if learnt is not None:
            by_sex[sex] = learnt
            people += learnt.n
    return LocalCorrection(reference_method, people, by_sex)


def _judged(parts: list[Answered]) -> Judgement:
    """Judge the ranges as they are."""
    estimate = np.concatenate([part.answer.combined.estimate for part in parts])
    se = np.concatenate([part.answer.combined.se for part in parts])
    truth = np.concatenate([part.truth for part in parts])
    known = np.isfinite(estimate)
    return judge(estimate[known], se[known], truth[known], cut=CUT)


def _held_out(
    table: ReferencedTable, parts: list[Answered], reference_method: ReferenceMethod, given: str
) -> Judgement:
    """Judge ranges corrected by what the other four fifths taught."""
    pieces: list[tuple[Array, Array, Array]] = []
    for left_out in range(FOLDS):
        taught = _learn(parts, reference_method, left_out)
        rows = np.concatenate([part.rows for part in parts])
        mine = np.sort(rows[_fold_of(rows) == left_out])
        if mine.size == 0:
            continue
        for part in gather(table.take(mine), given, taught, least=1).parts:
            combined = part.answer.combined
            known = np.isfinite(combined.estimate)
            pieces.append((combined.estimate[known], combined.se[known], part.truth[known]))
    estimate, se, truth = (np.concatenate([piece[i] for piece in pieces]) for i in range(3))
    return judge(estimate, se, truth, cut=CUT)


_HEAD = """\
# Local correction of foldspan: reconcile VISIT --local THIS_FILE
# Offsets [percentage points] are subtracted from the estimate of each method group; spread is the
# factor on its own errors; uncertainty is the covariance of the offsets [points²].
"""


def write(path: str, learnt: LearntCorrection, *, replace: bool = False) -> None:
    """Write a correction as TOML, with how it did on people left out; see ``read``.

    It is written whole or not at all, and only its owner can read it.

    Raises
    ------
    FoldspanError
        As ``files.output.write_private``.
    """
    tree = _correction_tree(learnt)
    write_private(path, _HEAD + tomli_w.dumps(tree), replace=replace)


def _correction_tree(learnt: LearntCorrection) -> dict[str, Any]:
    """Return a correction as its file holds it."""
    correction, held = learnt.correction, learnt.held_out.coverage
    tree: dict[str, Any] = {
        "schema_version": SCHEMA_VERSION,
        "reference_method": correction.reference_method,
        "made": date.today(),
        "people": correction.people,
        "held_out_80": _rounded(held[0.80][0]),
        "held_out_95": _rounded(held[0.95][0]),
    }
    for sex, part in correction.by_sex.items():
        tree[sex] = {
            "n": part.n,
            "methods": list(part.families),
            "offset": [_rounded(value) for value in part.offset],
            "spread": [_rounded(value) for value in part.spread],
            "uncertainty": [[_rounded(value, 4) for value in row] for row in part.uncertainty],
        }
    return tree


def _rounded(value: float, places: int = 3) -> float:
    return round(float(value), places) + 0.0  # no minus before a nought
