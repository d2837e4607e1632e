"""Explanation: the frozen answer of ``explain``, and its JSON form (schema version 2)."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from foldspan.explanation.correction_used import local_tree
from foldspan.explanation.decomposition import Pair
from foldspan.explanation.next_measurement import NextMeasurement
from foldspan.explanation.sensitivity import LeftOutAnswer, WouldAgree
from foldspan.external.combine import Placed
from foldspan.external.consistency import SheetCheck
from foldspan.measurement.outlier_search import Suspect
from foldspan.results.result import (
    SCHEMA_VERSION,
    Result,
    Spread,
    problem_list,
)
from foldspan.results.spoken import SpokenFinding, rounded

# odds are told up to here; beyond, the pattern of bodies is not known well enough
MOST_ODDS = 1000.0


def are_apart(headline: Pair | None, result: Result) -> bool:
    """Whether two methods differ by more than is ordinary, and so much that they do not agree."""
    return headline is not None and not headline.is_ordinary and result.verdict != "agree"


@dataclass(frozen=True, slots=True, repr=False)
class Explanation:
    """Why the methods differ, what would make them agree, and what to measure next."""

    result: Result
    """The result that is explained."""
    pairs: tuple[Pair, ...] = ()
    """Differences between two methods, the furthest apart first."""
    headline: Pair | None = None
    """The pair that the page opens with; None if no two methods differ."""
    slips: tuple[Suspect, ...] = ()
    """Readings to measure again first, each with the value it probably should have been."""
    typed: Mapping[str, float] = field(default_factory=dict)
    """Accepted values by quantity name [unit of the quantity]."""
    units: Mapping[str, str] = field(default_factory=dict)
    """Quantity name → unit in which it was typed, if not the usual one."""
    would_agree: tuple[WouldAgree, ...] = ()
    """Values at which the two methods of ``headline`` would agree."""
    leave_one_out: tuple[LeftOutAnswer, ...] = ()
    """Results without one method group or one measurement."""
    outside: tuple[Placed, ...] = ()
    """Results from elsewhere compared with the range."""
    included: tuple[bool, ...] = ()
    """Whether each of ``outside`` is included in the range."""
    own_width: float | None = None
    """Width of the 80% range from the visit's own methods [points], without results from
    elsewhere."""
    own_estimate: float | None = None
    """Best estimate of that range [% of weight]."""
    next_measurements: tuple[NextMeasurement, ...] = ()
    """What to measure next, the most useful first."""
    best_repeat: NextMeasurement | None = None
    """The repeat that would narrow the range most; None if none would."""

    def __repr__(self) -> str:
        """Return a line without any value of the client."""
        return f"Explanation(pairs={len(self.pairs)}, verdict={self.result.verdict!r})"

    @property
    def findings(self) -> tuple[SpokenFinding, ...]:
        """The findings of the result, which come from the same breakdown."""
        return self.result.findings

    @property
    def is_apart(self) -> bool:
        """Whether it is told what would make the two methods of ``headline`` agree."""
        return are_apart(self.headline, self.result)

    @property
    def fat_percent(self) -> Spread:
        """The range that is explained."""
        return self.result.fat_percent

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON tree; percentages in points, values in canonical units."""
        tree: dict[str, Any] = {
            "schema_version": SCHEMA_VERSION,
            "reference_method": self.result.reference_method,
            "fat_percent": self.fat_percent.to_dict(),
            "local_correction": local_tree(self.result.local),
            "as_printed": self.result.as_printed,
            "verdict": self.result.verdict,
            "findings": [finding.to_dict() for finding in self.findings],
            "pairs": [pair_tree(pair) for pair in self.pairs],
            "measure_again": [self._slip(slip) for slip in self.slips],
            "measure_all_again": self.result.verdict == "disagree",
            "would_agree": [
                {
                    "quantity": suspect.quantity,
                    "value": rounded(suspect.value, 2),
                    "needed": rounded(suspect.needed, 2),
                    "standard_errors_away": rounded(suspect.standard_errors_away, 2),
                }
                for suspect in self.would_agree
            ],
            "leave_one_out": [
                {
                    "without": placed.without,
                    "estimate": rounded(placed.estimate, 2),
                    "range_80": None
                    if placed.range_80 is None
                    else [rounded(v, 2) for v in placed.range_80],
                }
                for placed in self.leave_one_out
            ],
            "outside_results": [
                placed_tree(placed) | {"included": joined}
                for placed, joined in zip(self.outside, self.included, strict=True)
            ],
            "next_measurements": [_next(measurement) for measurement in self.next_measurements],
            "best_repeat": None if self.best_repeat is None else _next(self.best_repeat),
            "cautions": list(self.result.cautions),
        }
        if not self.result.has_range:
            tree["problems"] = problem_list(self.result.problems)
        return tree

    def _slip(self, suspect: Suspect) -> dict[str, Any]:
        return {
            "quantities": list(suspect.names),
            "kind": suspect.kind,
            "reading": suspect.reading or None,
            "values": [rounded(self.typed.get(name), 2) for name in suspect.names],
            "would_be": [rounded(value, 2) for value in suspect.values],
            "odds": round(odds(suspect), 1),
        }


def odds(suspect: Suspect) -> float:
    """How many times better the visit fits with the reading put right, at most ``MOST_ODDS``."""
    return min(math.exp(min(suspect.gain, 50.0)), MOST_ODDS)


def pair_tree(pair: Pair) -> dict[str, Any]:
    """Return a pair as a mapping; reasons and the rest add up to the difference to the last digit."""
    points = [round(reason.points, 2) for reason in pair.reasons]
    difference = round(pair.difference, 2)
    return {
        "between": list(pair.between),
        "difference": difference,
        "difference_on_reference_method": rounded(pair.on_reference_method, 2),
        "expected_by_chance": rounded(pair.by_chance, 2),
        "ordinary": pair.is_ordinary,
        "reads_off": [rounded(points, 2) for points in pair.reads_off],
        "levelled": pair.is_levelled,
        "reasons": [
            {"code": reason.code, "points": size}
            for reason, size in zip(pair.reasons, points, strict=True)
        ],
        "unexplained": round(difference - sum(points), 2),
    }


def placed_tree(placed: Placed) -> dict[str, Any]:
    """Return an outside result as a mapping."""
    return {
        "method": placed.method,
        "fat_percent": rounded(placed.fat_percent, 2),
        "on_reference_method": rounded(placed.on_reference_method, 2),
        "error": rounded(placed.error, 2),
        "consistent": placed.consistent,
        "adds_up": placed.check.adds_up,
        "points_outside": rounded(placed.points_outside, 2),
        "out": placed.check.out or None,
        "should_be": rounded(placed.check.should_be, 2),
        "may_be_bone": placed.check.may_be_bone,
        "remarks": list(placed.remarks),
    }


def sheet_tree(check: SheetCheck) -> dict[str, Any]:
    """Return the check of a sheet as a mapping."""
    filled = check.filled
    return {
        "schema_version": SCHEMA_VERSION,
        "adds_up": check.adds_up,
        "out": check.out or None,
        "should_be": rounded(check.should_be, 2),
        "corrections": [
            {"number": name, "value": rounded(value, 2)} for name, value in check.corrections
        ],
        "exchanged": check.exchanged,
        "missing_kg": rounded(check.missing_kg, 2),
        "may_be_bone": check.may_be_bone,
        "in_other_unit": list(check.in_other_unit),
        "other_unit": check.other_unit or None,
        "fat_percent": rounded(filled.fat_percent, 2),
        "fat_mass_kg": rounded(filled.fat_mass, 2),
        "fat_free_mass_kg": rounded(filled.fat_free_mass, 2),
        "weight_kg": rounded(filled.weight, 2),
    }


def _next(measurement: NextMeasurement) -> dict[str, Any]:
    return {
        "quantity": measurement.names[0],
        "together_with": list(measurement.names[1:]),
        "range_80_width_now": rounded(measurement.width_now, 2),
        "range_80_width_expected": rounded(measurement.width_expected, 2),
        "minutes": measurement.minutes,
        "bared": list(measurement.bared),
        "verdicts": {word: round(chance, 2) for word, chance in measurement.verdicts.items()},
        "is_repeat": measurement.is_repeat,
    }
