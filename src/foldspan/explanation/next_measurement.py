"""Next measurement: how much narrower the range would become, calculated before it is taken.

What a measurement would probably read is drawn from what the others imply for this body
(``reference.body_dimensions``); every draw is reconciled as if it had been taken, and the widths
are averaged. So the widening for a disagreement that it may start, or settle, is part of the
expectation.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.estimation.applicability import LEAVES_OUT, Fit
from foldspan.estimation.evaluate import needed
from foldspan.estimation.families import combine
from foldspan.estimation.pipeline import Reconciled
from foldspan.explanation.what_if import Case, Changes, what_if
from foldspan.measurement.accepted_values import LASTING_SHARE, MEDIAN_OF_THREE, accept
from foldspan.numerics.ordered_sums import product
from foldspan.protocol.effort import BARED, INTIMATE, minutes
from foldspan.protocol.technical_error import technical_error
from foldspan.quantities import BY_NAME, MEASURED
from foldspan.reference.body_dimensions import AGE, conditional
from foldspan.reference.population import quasi_normals

DRAWS = 16
# Largest set that is offered to be taken together, and how many such sets are tried.
LARGEST_SET, MOST_SETS = 4, 24
# A set is worth offering if it narrows the range by this much more than its best member [points].
LEAST_BY_SET = 0.4
# A measurement is worth naming if it narrows the range by this much [points].
LEAST_NAMED = 0.1


@dataclass(frozen=True, slots=True)
class NextMeasurement:
    """One measurement, or a few to be taken together, and what to expect of it."""

    names: tuple[str, ...]
    """Quantities to measure together."""
    width_now: float
    """Width of the 80% range now [points]."""
    width_expected: float
    """Width to expect after measuring them [points]."""
    minutes: float
    """Time it takes [minutes]."""
    bared: tuple[str, ...]
    """Codes of the places to uncover."""
    verdicts: dict[str, float]
    """Probability of each verdict after measuring them [0 to 1]."""
    is_repeat: bool = False
    """Whether it is a repeat of a site."""

    @property
    def narrower_by(self) -> float:
        """Points by which the 80 % range is expected to shrink."""
        return self.width_now - self.width_expected

    @property
    def is_intimate(self) -> bool:
        """Whether it holds a site that many would rather not have measured."""
        return not set(INTIMATE).isdisjoint(self.names)

    @property
    def needs_calliper(self) -> bool:
        """Whether it holds a skinfold."""
        return any(BY_NAME[name].kind == "skinfold" for name in self.names)


@dataclass(frozen=True, slots=True)
class Offers:
    """What could be measured next, worked out in one batch."""

    ranked: tuple[NextMeasurement, ...]
    """What is worth mentioning, starting with the measurement that narrows the range most."""
    best_repeat: NextMeasurement | None
    """The site where a repeat narrows the range most, however little."""


def offers_of(case: Case) -> Offers:
    """Return what has not been taken, and where one more reading helps.

    Single measurements, and small sets that an equation needs together where the set gives clearly
    more than any of its members. One more reading of each site that has fewer than three is ranked
    among them.
    """
    taken, repeats = _options(case)
    narrowing = [option for option in (*taken, *repeats) if option.narrower_by >= LEAST_NAMED]
    best = {
        option.names[0]: option.narrower_by
        for option in narrowing
        if len(option.names) == 1 and not option.is_repeat
    }
    kept = [
        option
        for option in narrowing
        if len(option.names) == 1
        or option.narrower_by >= max(best.get(name, 0.0) for name in option.names) + LEAST_BY_SET
    ]
    return Offers(
        tuple(sorted(kept, key=lambda option: (-round(option.narrower_by, 1), option.minutes))),
        min(repeats, key=lambda repeat: repeat.width_expected, default=None),
    )


def _options(case: Case) -> tuple[list[NextMeasurement], list[NextMeasurement]]:
    """Every measurement to be taken, and one more reading of every site with fewer than three."""
    offered = [
        *((name,) for name in MEASURED if name not in case.values),
        *needed_together(case, MEASURED),
    ]
    repeated = [(name,) for name in case.readings if len(case.readings[name]) < 3]
    changes: list[Changes] = []
    errors: list[Changes] = []
    for names in offered:
        values, error = drawn(case, names)
        changes += values
        errors += error
    changes += [{} for _ in repeated]
    errors += [{name: error_after(case, name)} for (name,) in repeated]
    if not changes:
        return [], []
    answer = what_if(case, changes, errors)
    expected = widths(answer)
    verdicts = combine.verdicts(answer.combined.q, answer.combined.dof)
    now, draws = float(widths(case.answer)[0]), DRAWS * len(offered)

    def option(names: tuple[str, ...], versions: slice, *, is_repeat: bool) -> NextMeasurement:
        return NextMeasurement(
            names=names,
            width_now=now,
            width_expected=float(np.mean(expected[versions])),
            minutes=sum(minutes(name) for name in names) / (2.0 if is_repeat else 1.0),
            bared=tuple(dict.fromkeys(BARED[name] for name in names)),
            verdicts=_shares(verdicts[versions]),
            is_repeat=is_repeat,
        )

    return [
        option(names, slice(DRAWS * k, DRAWS * (k + 1)), is_repeat=False)
        for k, names in enumerate(offered)
    ], [
        option(names, slice(draws + k, draws + k + 1), is_repeat=True)
        for k, names in enumerate(repeated)
    ]


def needed_together(case: Case, among: Collection[str]) -> list[tuple[str, ...]]:
    """Return sets of two to four measurements that an equation still needs, the quickest first."""
    taken = set(case.values)
    blocked = int(LEAVES_OUT & ~(Fit.MISSING_INPUT | Fit.SAME_SAMPLE | Fit.NO_SOUND_VALUE))
    sets: dict[tuple[str, ...], None] = {}
    for row, card in enumerate(case.answer.cards):
        if case.answer.flags[row, 0] & blocked:
            continue
        missing = tuple(name for name in needed(card) if name not in taken and name != AGE)
        if 2 <= len(missing) <= LARGEST_SET and all(name in among for name in missing):
            sets.setdefault(tuple(sorted(missing)))
    return sorted(sets, key=lambda names: (sum(map(minutes, names)), names))[:MOST_SETS]


def drawn(case: Case, names: Sequence[str]) -> tuple[list[Changes], list[Changes]]:
    """Return what measurements would probably read, ``DRAWS`` times over, with their errors."""
    law = conditional(case.people.sex, names, {AGE: case.age} | case.values)
    root = np.linalg.cholesky(law.covariance + 1e-10 * np.eye(len(names)))
    normals = quasi_normals(DRAWS, max(len(names), 2))[:, : len(names)]
    logs = law.mean + product(normals, root.T)
    changes: list[Changes] = []
    errors: list[Changes] = []
    possible = {name: BY_NAME[name].possible(case.people.sex) for name in names}
    for row in np.exp(logs).tolist():
        values = {
            name: min(max(value, low), high)
            for (name, (low, high)), value in zip(possible.items(), row, strict=True)
        }
        changes.append(values)
        errors.append({name: _error_of(name, value, 2) for name, value in values.items()})
    return changes, errors


def error_after(case: Case, name: str) -> float:
    """Return the standard error to be expected after one more reading of a site.

    Readings that stand apart already stay apart: the next one is taken to fall in their middle. What
    the visit's error holds beside its readings (clothing, the tester's own) stays as it is.
    """
    given = case.readings[name]
    now = float(case.people.reading_se[name][0])
    if len(given) == 1:
        after = _error_of(name, case.values[name], 2)
    else:
        after = accept(name, (*given, sum(given) / len(given))).se
    gained = accept(name, given).se ** 2 - after**2
    return math.sqrt(max(now**2 - gained, 0.0))


def _error_of(name: str, value: float, count: int) -> float:
    """Standard error to be expected of an accepted value from so many readings."""
    shrink = MEDIAN_OF_THREE**2 if count == 3 else 1.0 / count
    share = LASTING_SHARE + (1.0 - LASTING_SHARE) * shrink
    return technical_error(name).of(value) * math.sqrt(share)


def widths(answer: Reconciled) -> Array:
    """Return the width of the 80 % range of every person [points]."""
    low, high = combine.interval(answer.combined.estimate, answer.combined.se, combine.Z_LIKELY)
    return np.asarray(high - low)


def _shares(verdict: Array) -> dict[str, float]:
    words, counts = np.unique(verdict, return_counts=True)
    return {
        str(word): float(count / verdict.size) for word, count in zip(words, counts, strict=True)
    }
