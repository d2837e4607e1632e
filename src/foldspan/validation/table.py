"""Calibrating a table: its people, their references, and how each way of stating ranges did."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from foldspan.catalogue.card import (
    FAMILIES,
    REFERENCE_METHODS,
    Array,
    FloatArray,
    IntArray,
    ReferenceMethod,
)
from foldspan.estimation.applicability import LEAVES_OUT, Fit
from foldspan.estimation.error_model import reference_shifts
from foldspan.estimation.families.combine import CEILING_PERCENT, FLOOR_PERCENT, verdicts
from foldspan.estimation.local_correction import LocalCorrection, by_family
from foldspan.estimation.pipeline import Reconciled
from foldspan.estimation.settings import settings_for
from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import SEXES, Sex
from foldspan.results.result import SCHEMA_VERSION
from foldspan.tables.clients import Clients
from foldspan.tables.rows import Rows
from foldspan.validation.cautions import CalibrationCaution
from foldspan.validation.references import ReferencedTable, referenced
from foldspan.validation.scores import Judgement, judge

if TYPE_CHECKING:
    import pandas as pd

CUT = (FLOOR_PERCENT, CEILING_PERCENT)
LEAST_PEOPLE = 10
AGE_BANDS = ((18, 40), (40, 60), (60, 121))
BMI_CLASSES = ((0.0, 18.5), (18.5, 25.0), (25.0, 30.0), (30.0, 35.0), (35.0, 200.0))


@dataclass(frozen=True, slots=True)
class Answered:
    """Some rows of one sex and one reference method: their answers and references [% fat]."""

    sex: Sex
    reference_method: ReferenceMethod
    rows: IntArray
    truth: FloatArray
    answer: Reconciled


@dataclass(frozen=True, slots=True)
class Calibration:
    """An evaluation of the ranges on a table with reference values."""

    counts: Mapping[str, int]
    """Number of rows: all, evaluated, and why the others were not."""
    overall: Judgement
    """Everybody who was judged."""
    groups: Mapping[str, Mapping[str, Judgement]]
    """Kind of group (sex, age, bmi, measured, reference_method) → group → evaluation."""
    ways: Mapping[str, Judgement]
    """The range, independent weights, and the best single equation."""
    equations: Mapping[str, Judgement]
    """Every single equation with its published error, by key."""
    verdicts: Mapping[str, float]
    """Share of each verdict [0 to 1]."""
    coded_cautions: tuple[CalibrationCaution, ...] = ()
    """What to know before relying on it, as codes with their parameters."""
    problems: tuple[Problem, ...] = ()
    """Rows of a file in which nothing could be used."""

    @property
    def cautions(self) -> tuple[str, ...]:
        """What to know before relying on it, in English."""
        return tuple(caution.text for caution in self.coded_cautions)

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON tree of ``calibrate --json`` (schema version 2)."""
        return {
            "schema_version": SCHEMA_VERSION,
            "counts": dict(self.counts),
            "all": self.overall.to_dict(),
            "groups": {
                kind: {name: member.to_dict() for name, member in members.items()}
                for kind, members in self.groups.items()
            },
            "ways": {name: method.to_dict() for name, method in self.ways.items()},
            "equations": {key: equation.to_dict() for key, equation in self.equations.items()},
            "verdicts": {word: round(share, 4) for word, share in self.verdicts.items()},
            "cautions": list(self.cautions),
        }


@dataclass(slots=True)
class _Gathered:
    """The table after answering: parts, counts and cautions."""

    parts: list[Answered]
    counts: dict[str, int]
    cautions: tuple[CalibrationCaution, ...] = ()


def gather(
    given: pd.DataFrame | ReferencedTable,
    reference_method: str = "",
    local: LocalCorrection | None = None,
    *,
    as_printed: bool = False,
    least: int = LEAST_PEOPLE,
) -> _Gathered:
    """Answer every row that has a reference, each on its own reference's scale.

    Parameters
    ----------
    given : DataFrame or ReferencedTable
        As for ``reconcile_table``, with ``reference_fat_percent`` and, row by row or for all rows by
        ``scale``, the reference's scale.
    reference_method : str
        ``density`` or ``dxa`` where the table has no column ``reference_method``.
    local : LocalCorrection, optional
        Used for rows on its scale; how many rows it does not reach is among the cautions.
    as_printed : bool
        Take every equation as its source prints it; as in ``reconcile``. A caution says so.

    Raises
    ------
    FoldspanError
        E401 without a reference or its scale, E405 with fewer than ten people, and as for tables.
    """
    table = referenced(given)
    rows = table.rows()
    if not rows.has("reference_fat_percent"):
        remedy = "Add it: fat [% of weight] by the reference method."
        raise FoldspanError([Problem("E401", "column reference_fat_percent", "missing", remedy)])
    clients = Clients.read(rows)
    truth = rows.number("reference_fat_percent", "")
    is_given = ~rows.words("reference_fat_percent").are("")
    usable = (truth >= FLOOR_PERCENT) & (truth <= CEILING_PERCENT)
    references = _reference_methods(rows, reference_method)
    usable &= np.isin(references.astype(str), REFERENCE_METHODS)
    parts: list[Answered] = []
    judged = 0
    for wanted_reference in REFERENCE_METHODS:
        chosen = replace(clients, able=clients.able & usable & (references == wanted_reference))
        correction = (
            local if local is not None and local.reference_method == wanted_reference else None
        )
        settings = settings_for(
            wanted_reference, "siri1961", local=correction, as_printed=as_printed
        )
        for some, _, answer in chosen.answers(settings, every=True):
            sex = SEXES[clients.sexes[some[0]]]
            parts.append(Answered(sex, settings.reference_method, some, truth[some], answer))
            judged += int(np.isfinite(answer.combined.estimate).sum())
    counts = {
        "rows": rows.length,
        "judged": judged,
        "without_reference": int((~is_given).sum()),
        "reference_unusable": int((is_given & ~usable).sum()),
        "without_range": int((is_given & usable).sum()) - judged,
    }
    if judged < least:
        what = f"{judged} of {rows.length} rows can be used; at least {least} are needed"
        raise FoldspanError(
            [Problem("E405", "table", what, ("Add people, or correct their rows."))]
        )
    return _Gathered(parts, counts, _cautions(table, parts, local, as_printed=as_printed))


def _reference_methods(rows: Rows, reference_method: str) -> Array:
    if rows.has("reference_method"):
        return rows.words("reference_method").each()
    if not reference_method:
        remedy = "Add the column, or give --reference-method density or dxa for all rows."
        raise FoldspanError([Problem("E401", "column reference_method", "missing", remedy)])
    return np.full(
        rows.length, settings_for(reference_method, "siri1961").reference_method, dtype=object
    )


def _cautions(
    table: ReferencedTable,
    parts: list[Answered],
    local: LocalCorrection | None,
    *,
    as_printed: bool,
) -> tuple[CalibrationCaution, ...]:
    references = sorted({part.reference_method for part in parts}) if as_printed else []
    found = [
        CalibrationCaution("as_printed", reference_method=reference_method)
        for reference_method in references
    ]
    if len({part.sex for part in parts}) == 1:
        found.append(CalibrationCaution("one_sex"))
    if table.repeats:
        found.append(CalibrationCaution("given_twice", rows=table.repeats))
    still = table.unvaried()
    if still:
        found.append(CalibrationCaution("one_value", names=tuple(still)))
    bare = 0 if local is None else sum(_without_correction(part, local) for part in parts)
    if local is not None and bare:
        sexes = tuple(local.by_sex)
        found.append(CalibrationCaution("without_correction", local.reference_method, bare, sexes))
    return tuple(found)


def _without_correction(part: Answered, local: LocalCorrection) -> int:
    """How many of these answers owe nothing to a correction: another scale, sex or family."""
    spoke = np.isfinite(part.answer.families)
    known = by_family(local, part.sex).known & (part.reference_method == local.reference_method)
    is_judged = np.isfinite(part.answer.combined.estimate)
    return int(np.count_nonzero(is_judged & ~(spoke & known[:, None]).any(axis=0)))


def judge_ranges(
    given: pd.DataFrame | ReferencedTable,
    reference_method: str = "",
    local: LocalCorrection | None = None,
    *,
    as_printed: bool = False,
) -> Calibration:
    """Judge the agreement ranges of a table against its references; see ``gather`` for errors."""
    table = referenced(given)
    return judge_parts(table, gather(table, reference_method, local, as_printed=as_printed))


def judge_parts(table: ReferencedTable, gathered: _Gathered) -> Calibration:
    """Judge answered rows: all, by group, by way of combining, and equation by equation."""
    parts = gathered.parts

    def together(pieces: list[Array]) -> Array:
        return np.concatenate(pieces)

    rows = together([part.rows for part in parts])
    truth = together([part.truth for part in parts])
    estimate = together([part.answer.combined.estimate for part in parts])
    se = together([part.answer.combined.se for part in parts])
    known = np.isfinite(estimate)
    labels = _labels(table, parts, rows)
    groups: dict[str, dict[str, Judgement]] = {}
    for kind, names in labels.items():
        members = {
            str(name): judge(estimate[here], se[here], truth[here], cut=CUT)
            for name in sorted(set(names[known]))
            if (here := known & (names == name)).sum() >= LEAST_PEOPLE
        }
        groups[kind] = members
    overall = judge(estimate[known], se[known], truth[known], cut=CUT)
    independent = [_independent(part) for part in parts]
    other, other_se = (together([pair[i] for pair in independent]) for i in (0, 1))
    sound = known & np.isfinite(other)
    equations = _single_equations(parts)
    ways = {
        "combined range": overall,
        "independent weights": judge(other[sound], other_se[sound], truth[sound], cut=CUT),
    }
    everybody = {key: scores for key, scores in equations.items() if scores.n >= 0.9 * overall.n}
    if everybody:
        best = min(everybody, key=lambda key: everybody[key].crps)
        ways[f"best single: {best}"] = everybody[best]
    words = np.concatenate([_verdict_words(part) for part in parts])[known]
    shares = {str(word): float(np.mean(words == word)) for word in np.unique(words)}
    return Calibration(gathered.counts, overall, groups, ways, equations, shares, gathered.cautions)


def _verdict_words(part: Answered) -> Array:
    return verdicts(part.answer.combined.q, part.answer.combined.dof)


def _labels(table: ReferencedTable, parts: list[Answered], rows: Array) -> dict[str, Array]:
    """Names of the groups that each judged row belongs to, by kind."""
    clients = Clients.read(table.rows())
    age, bmi = clients.age[rows], clients.bmi(rows).value
    present = np.concatenate([np.isfinite(part.answer.families).T for part in parts])
    measured = [" + ".join(np.array(FAMILIES)[here]) or "nothing" for here in present]
    return {
        "sex": np.array(SEXES, dtype=object)[clients.sexes[rows]],
        "age": _banded(age, AGE_BANDS, "{0:g} to {1:g} years"),
        "bmi": _banded(bmi, BMI_CLASSES, "{0:g} to {1:g} kg/m²"),
        "measured": np.array(measured, dtype=object),
        "reference_method": np.concatenate(
            [np.full(len(part.rows), part.reference_method) for part in parts]
        ),
    }


def _banded(values: Array, bands: tuple[tuple[float, float], ...], words: str) -> Array:
    names = np.full(values.shape, "unknown", dtype=object)
    for place, (low, high) in enumerate(bands):
        name = words.format(low, high)
        if place == len(bands) - 1:  # the last band is open
            name = f"{low:g} {words.rsplit(' ', 1)[1]} and over"
        names[(values >= low) & (values < high)] = name
    return names


def _independent(part: Answered) -> tuple[Array, Array]:
    """The way that claims too much: every usable equation weighted by 1/SEE², errors independent."""
    answer = part.answer
    usable = (answer.flags & int(LEAVES_OUT)) == 0
    weights = np.where(usable, 1.0 / np.where(usable, answer.printed_se, 1.0) ** 2, 0.0)
    total = weights.sum(axis=0)
    with np.errstate(divide="ignore", invalid="ignore"):
        estimate = np.sum(weights * np.where(usable, _printed(part), 0.0), axis=0) / total
        return estimate, 1.0 / np.sqrt(total)


def _printed(part: Answered) -> Array:
    """What every card prints, moved to the stated scale and not levelled, (E, N)."""
    moves = reference_shifts(part.answer.cards, part.reference_method)
    return np.asarray(part.answer.as_printed + moves[:, None])


@dataclass(frozen=True, slots=True)
class Alone:
    """One equation on the people it was built for: their rows, and what it says by itself [% fat].

    ``estimate`` is as printed, moved to the stated scale; ``se`` its printed error, the largest of its
    kind where none is printed.
    """

    rows: IntArray
    estimate: FloatArray
    se: FloatArray
    truth: FloatArray


def equations_alone(parts: list[Answered]) -> dict[str, Alone]:
    """Every equation alone at its printed error, moved to the stated scale, by key."""
    pieces: dict[str, list[tuple[Array, Array, Array, Array]]] = {}
    ignore = int(LEAVES_OUT & ~Fit.SAME_SAMPLE)  # judged all the same
    for part in parts:
        usable = (part.answer.flags & ignore) == 0
        percent = _printed(part)
        for row, card in enumerate(part.answer.cards):
            here = usable[row] & np.isfinite(percent[row])
            if here.any():
                found = percent[row][here], part.answer.printed_se[row][here]
                pieces.setdefault(card.key, []).append((part.rows[here], *found, part.truth[here]))
    return {
        key: Alone(*(np.concatenate([piece[i] for piece in some]) for i in range(4)))
        for key, some in pieces.items()
    }


def _single_equations(parts: list[Answered]) -> dict[str, Judgement]:
    return {
        key: judge(scores.estimate, scores.se, scores.truth, cut=CUT)
        for key, scores in equations_alone(parts).items()
        if scores.truth.size >= LEAST_PEOPLE
    }


__all__ = [
    "Alone",
    "Answered",
    "Calibration",
    "equations_alone",
    "gather",
    "judge_parts",
    "judge_ranges",
]
