"""Consistency: do the numbers of a sheet from elsewhere add up, and which one is to be doubted?

A sheet with fat percent, fat mass, fat-free mass and weight holds two sums: percent times weight is fat,
and fat plus the rest is weight. Where they fail, correcting a single number may restore both,
and that number is the one to doubt; or masses are in another unit than the weight.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from foldspan.protocol.outside_methods import (
    BONE_SHARE,
    BONE_SPAN,
    MASS_TOLERANCE,
    PERCENT_TOLERANCE,
)
from foldspan.quantities import KILOGRAMS_PER

MASSES = ("fat_mass", "fat_free_mass", "weight")
# units of mass that sheets mix up, besides the kilogram
OTHER_UNITS = ("lb", "st")


@dataclass(frozen=True, slots=True, repr=False)
class Sheet:
    """Four numbers of a result sheet, each None if not given: fat [%], and masses [kg]."""

    fat_percent: float | None = None
    """Body fat [% of weight]; None if it is not given."""
    fat_mass: float | None = None
    """Fat mass [kg]."""
    fat_free_mass: float | None = None
    """Everything but fat, as on the sheet: with bone, or as lean mass without bone [kg]."""
    weight: float | None = None
    """Body weight [kg]."""


@dataclass(frozen=True, slots=True, repr=False)
class SheetCheck:
    """Whether a sheet adds up."""

    adds_up: bool | None
    """Whether the sheet adds up; None if too few numbers are given to tell."""
    corrections: tuple[tuple[str, float], ...]
    """Single changes that would make the sheet add up, each with its value [% of weight, or kg]."""
    missing_kg: float | None
    """Weight minus fat mass and fat-free mass [kg]."""
    may_be_bone: bool
    """Whether that is about the weight of bone mineral, and everything else adds up."""
    exchanged: bool
    """Whether the sheet would add up with fat mass and fat-free mass swapped."""
    filled: Sheet
    """The sheet, completed with every number that follows from the others."""
    in_other_unit: tuple[str, ...] = ()
    """Masses with which the sheet adds up if they are in ``other_unit``."""
    other_unit: str = ""
    """That unit, "" for none."""

    @property
    def out(self) -> str:
        """The one number to doubt, "" where none or several would do."""
        return self.corrections[0][0] if len(self.corrections) == 1 and not self.exchanged else ""

    @property
    def should_be(self) -> float | None:
        """Value that the doubtful number would need to have."""
        return self.corrections[0][1] if self.out else None


def check_sheet(sheet: Sheet) -> SheetCheck:
    """Hold the numbers of a sheet against each other.

    Parameters
    ----------
    sheet : Sheet
        Any of the four may be missing; three tell whether they agree.

    Returns
    -------
    SheetCheck
        Masses are held to 0.15 kg, percentages to 0.15 points or what that is in kg: what rounding
        makes of numbers printed to one decimal.
    """
    known = [
        name
        for name in ("fat_percent", "fat_mass", "fat_free_mass", "weight")
        if getattr(sheet, name) is not None
    ]
    filled = _filled(sheet)
    heaviest = max(sheet.fat_mass or 0.0, sheet.fat_free_mass or 0.0)
    too_heavy = sheet.weight is not None and heaviest > sheet.weight + MASS_TOLERANCE
    if len(known) < 3:
        return SheetCheck(False if too_heavy else None, (), None, False, False, filled)
    if _holds(sheet):
        return SheetCheck(True, (), None, False, False, filled)
    missing = None
    if sheet.fat_mass is not None and sheet.fat_free_mass is not None and sheet.weight is not None:
        missing = sheet.weight - sheet.fat_mass - sheet.fat_free_mass
    corrections: list[tuple[str, float]] = []
    for name in known:
        values = [getattr(_filled(replace(sheet, **{name: None})), name)]
        if name == "fat_mass" and sheet.fat_free_mass is not None and sheet.weight is not None:
            values.append(
                sheet.weight - sheet.fat_free_mass
            )  # free of the rounding of the percentage
        most = 100.0 if name == "fat_percent" else np.inf
        holding = [
            float(value)
            for value in values
            if value is not None and 0.0 < value < most and _holds(replace(sheet, **{name: value}))
        ]
        corrections += [(name, value) for value in holding[:1]]
    exchanged = len(known) == 4 and _holds(
        replace(sheet, fat_mass=sheet.fat_free_mass, fat_free_mass=sheet.fat_mass)
    )
    is_bone = _is_bone(sheet, missing)
    names, unit = ((), "") if is_bone or exchanged else _other_unit(sheet)
    return SheetCheck(False, tuple(corrections), missing, is_bone, exchanged, filled, names, unit)


def _other_unit(sheet: Sheet) -> tuple[tuple[str, ...], str]:
    """Masses that mend all sums if they are in another unit than the others, with that unit."""
    masses = [name for name in MASSES if getattr(sheet, name) is not None]
    for count in range(1, len(masses)):
        # of two ways that come to the same the tissue masses are named: weight is read off a scale
        for names in sorted(combinations(masses, count), key=lambda name_set: "weight" in name_set):
            for unit in OTHER_UNITS:
                moved = {name: getattr(sheet, name) * KILOGRAMS_PER[unit] for name in names}
                if _holds(replace(sheet, **moved)):
                    return names, unit
    return (), ""


def _is_bone(sheet: Sheet, missing: float | None) -> bool:
    """Whether only bone mineral is missing: the rest holds, and the gap is as large as it weighs."""
    if missing is None or sheet.weight is None or not _holds(replace(sheet, fat_free_mass=None)):
        return False
    share = missing / sheet.weight
    return BONE_SPAN[0] <= missing <= BONE_SPAN[1] and BONE_SHARE[0] <= share <= BONE_SHARE[1]


def _holds(sheet: Sheet) -> bool:
    """Whether every sum that can be formed holds to rounding."""
    percent, fat, lean, weight = (
        sheet.fat_percent,
        sheet.fat_mass,
        sheet.fat_free_mass,
        sheet.weight,
    )
    sums = []
    if fat is not None and lean is not None and weight is not None:
        sums.append((fat + lean, weight, MASS_TOLERANCE))
    total = weight
    if total is None and fat is not None and lean is not None:
        total = fat + lean
    if total is not None and percent is not None:
        allowed = MASS_TOLERANCE / 2.0 + PERCENT_TOLERANCE / 100.0 * total
        if fat is not None:
            sums.append((percent / 100.0 * total, fat, allowed))
        elif lean is not None:
            sums.append(((1.0 - percent / 100.0) * total, lean, allowed))
    return all(abs(formed - expected) <= allowed for formed, expected, allowed in sums)


def _filled(sheet: Sheet) -> Sheet:
    """The sheet with what follows from its numbers; given numbers stay as they are."""
    percent, fat, lean, weight = (
        sheet.fat_percent,
        sheet.fat_mass,
        sheet.fat_free_mass,
        sheet.weight,
    )
    if weight is None and fat is not None:
        if lean is not None:
            weight = fat + lean
        elif percent:
            weight = 100.0 * fat / percent
    if weight is None and lean is not None and percent is not None and percent < 100.0:
        weight = lean / (1.0 - percent / 100.0)
    if weight is not None and weight > 0.0:
        if fat is None and percent is not None:
            fat = percent / 100.0 * weight
        if fat is None and lean is not None:
            fat = weight - lean
        if fat is not None:
            percent = 100.0 * fat / weight if percent is None else percent
            lean = weight - fat if lean is None else lean
    # what follows must be possible; what was given stays for all to see
    lean = lean if lean is None or lean >= 0.0 or sheet.fat_free_mass is not None else None
    fat = fat if fat is None or fat >= 0.0 or sheet.fat_mass is not None else None
    possible = percent is None or 0.0 <= percent <= 100.0 or sheet.fat_percent is not None
    return Sheet(percent if possible else None, fat, lean, weight)
