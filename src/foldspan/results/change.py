"""Change: the frozen answer of ``change``, and its JSON form (schema version 2)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from foldspan.explanation.correction_used import LocalUsed, local_tree
from foldspan.followup.difference import Change, Difference, Trend
from foldspan.quantities import Sex
from foldspan.results.result import SCHEMA_VERSION
from foldspan.results.spoken import SpokenFlag, rounded


@dataclass(frozen=True, slots=True, repr=False)
class ChangeResult:
    """What changed between visits of one client, for the stated reference method."""

    reference_method: str
    """The reference method of the result: ``density`` or ``dxa``."""
    change: Change
    """From the first visit to the last; without body fat if ``by_sex`` has the results."""
    step: Change | None = None
    """From the previous visit to the last; None with two visits."""
    trend: Trend | None = None
    """The trend over all visits; None with two visits."""
    days: tuple[date | None, ...] = ()
    """Dates of the visits, None if not recorded."""
    flags: tuple[SpokenFlag, ...] = ()
    """Flags for weight loss."""
    is_careful: bool = False
    """Whether eating is a worry, so that numbers could do harm."""
    measure_all_again: bool = False
    """Whether the methods of the last visit disagree, so that every site should be measured
    again."""
    local: LocalUsed | None = None
    """The local correction applied to all visits, None without one."""
    as_printed: bool = False
    """Whether equations were used as published."""
    by_sex: tuple[tuple[str, ChangeResult], ...] = ()
    """With sex ``both``: the result with the equations for each sex."""

    @property
    def has_fat(self) -> bool:
        """Whether a change in body fat could be judged, with the equations for at least one sex."""
        answers = [answer for _, answer in self.by_sex] or [self]
        return any(answer.change.percent is not None for answer in answers)

    def __repr__(self) -> str:
        """Return a line without any value of the client."""
        return f"ChangeResult(reference_method={self.reference_method!r})"

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON tree: percentage points, masses in kg, skinfolds in mm, girths in cm."""
        change = self.change
        both = {sex: answer.to_dict() for sex, answer in self.by_sex}
        return {
            "schema_version": SCHEMA_VERSION,
            "reference_method": self.reference_method,
            "local_correction": local_tree(self.local),
            "as_printed": self.as_printed,
            "weeks": rounded(change.weeks, 1),
            "fat_percent": _tree(change.percent, 2),
            "fat_mass_kg": _tree(change.fat_mass, 2),
            "fat_free_mass_kg": _rest(
                change.weight, change.fat_mass, _tree(change.fat_free_mass, 2)
            ),
            "weight_kg": _tree(change.weight, 2),
            "sum_of_folds_mm": _tree(change.folds, 1),
            "girths_cm": {name: _tree(girth, 1) for name, girth in change.girths.items()},
            "measured_at_both": list(change.used),
            "measured_once": list(change.once),
            "breaks": list(change.breaks),
            "cancelled": rounded(change.cancelled, 2),
            "se_by_stability": {
                f"{r:.2f}": rounded(se, 3) for r, se in change.by_stability.items()
            },
            "flags": [flag.to_dict() for flag in self.flags],
            "careful_words": self.is_careful,
            "measure_all_again": self.measure_all_again,
            "since_last": None if self.step is None else _step_tree(self.step),
            "trend": None if self.trend is None else _trend_tree(self.trend),
            **({"by_sex": both} if both else {}),
        }


def of_both_sexes(answers: Mapping[Sex, ChangeResult]) -> ChangeResult:
    """Return one result of the answers by the equations for each sex: no single change of body fat.

    Weight, folds and girths need no equation, and stand on both alike.
    """
    first, *others = answers.values()
    every = (first, *others)
    return replace(
        first,
        change=_without_fat([answer.change for answer in every]),
        step=None
        if first.step is None
        else _without_fat([answer.step for answer in every if answer.step]),
        trend=None,
        measure_all_again=any(answer.measure_all_again for answer in every),
        by_sex=tuple(answers.items()),
    )


def _without_fat(changes: Sequence[Change]) -> Change:
    breaks = dict.fromkeys(code for change in changes for code in change.breaks)
    return replace(
        changes[0], percent=None, fat_mass=None, fat_free_mass=None, cancelled=0.0, by_stability={},
        breaks=tuple(breaks),
    )  # fmt: skip


def _step_tree(change: Change) -> dict[str, Any]:
    return {
        "weeks": rounded(change.weeks, 1),
        "fat_percent": _tree(change.percent, 2),
        "fat_mass_kg": _tree(change.fat_mass, 2),
        "fat_free_mass_kg": _rest(change.weight, change.fat_mass, _tree(change.fat_free_mass, 2)),
        "weight_kg": _tree(change.weight, 2),
        "breaks": list(change.breaks),
    }


def _trend_tree(trend: Trend) -> dict[str, Any]:
    whole = trend.whole
    return {
        "percentage_points_a_month": rounded(trend.a_month, 3),
        "se": rounded(trend.se, 3),
        "visits": trend.visits,
        "breaks": list(trend.breaks),
        "change": rounded(whole.amount, 2),
        "range_80": [rounded(end, 2) for end in whole.range_80],
        "range_95": [rounded(end, 2) for end in whole.range_95],
        "minimal_detectable_change": rounded(whole.minimal_detectable_change, 2),
        "is_real": trend.is_real,
        "chance_of_fall": rounded(trend.chance_of_fall, 3),
    }


def _rest(
    weight: Difference | None, fat: Difference | None, lean: dict[str, Any] | None
) -> dict[str, Any] | None:
    """Lean mass as the rest of the printed weight, so that the two add up to the printed digit."""
    if weight is None or fat is None or lean is None:
        return lean
    ends = {
        "earlier": round(round(weight.earlier, 2) - round(fat.earlier, 2), 2),
        "later": round(round(weight.later, 2) - round(fat.later, 2), 2),
        "change": round(round(weight.amount, 2) - round(fat.amount, 2), 2),
    }
    return lean | ends


def _tree(difference: Difference | None, digits: int) -> dict[str, Any] | None:
    if difference is None:
        return None
    return {
        "earlier": rounded(difference.earlier, digits),
        "later": rounded(difference.later, digits),
        "change": rounded(difference.amount, digits),
        "se": rounded(difference.se, 3),
        "range_80": [rounded(end, digits) for end in difference.range_80],
        "range_95": [rounded(end, digits) for end in difference.range_95],
        "minimal_detectable_change": rounded(difference.minimal_detectable_change, digits),
        "is_real": difference.is_real,
        "chance_of_fall": rounded(difference.chance_of_fall, 3),
        "chance_of_rise": rounded(1.0 - difference.chance_of_fall, 3),
    }
