"""Cross checks: pairs of measurements of one body that rarely lie beyond these bounds.

Asked back while the client is still there, a warning where they come from a file or a table, never
refused. Bounds: our choice,
outside the 0.1 to 99.9 % of 6,068 soldiers (2012), the NHANES adults of 2017-18 and 507 active adults.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from foldspan.quantities import SEXES, Sex

Array = NDArray[Any]

Bounds = tuple[float, float]


@dataclass(frozen=True, slots=True)
class CrossCheck:
    """``first`` over ``second``, or less it where ``is_difference`` [cm or mm]."""

    first: str
    second: str
    female: Bounds
    male: Bounds
    is_difference: bool = False

    def holds(self, first: float, second: float, sex: Sex | None) -> bool:
        """Whether two values, in canonical units, lie within the bounds."""
        place = -1 if sex is None else SEXES.index(sex)
        return not self.breaks(np.array([first]), np.array([second]), np.array([place]))[0]

    def breaks(self, first: Array, second: Array, sexes: Array) -> Array:
        """Which of N people lie beyond the bounds, bool (N,); nobody with an unknown value.

        ``sexes`` are places in ``SEXES``; -1, not known, allows what either sex may have.
        """
        with np.errstate(invalid="ignore", divide="ignore"):
            compared = first - second if self.is_difference else first / second
            low, high = (self._ends(end, sexes) for end in (0, 1))
            return np.asarray((compared < low) | (compared > high))

    def _ends(self, end: int, sexes: Array) -> Array:
        """Lower (0) or upper (1) bound for every person; one number where the sexes share it."""
        female, male = self.female[end], self.male[end]
        if female == male:
            return np.asarray(female)
        either = (min, max)[end](female, male)
        return np.array([female, male, either])[sexes]


def _both(first: str, second: str, low: float, high: float) -> CrossCheck:
    return CrossCheck(first, second, (low, high), (low, high))


def _apart(first: str, second: str, low: float, high: float) -> CrossCheck:
    return CrossCheck(first, second, (low, high), (low, high), is_difference=True)


_ANY = 1e9
CROSS_CHECKS: tuple[CrossCheck, ...] = (
    *(
        CrossCheck(waist, "hip_cm", (0.60, 1.10), (0.72, 1.15))
        for waist in (
            "waist_narrowest_cm",
            "waist_midpoint_cm",
            "waist_iliac_cm",
            "abdomen_navel_cm",
        )
    ),
    *(
        check
        for waist in (
            "waist_midpoint_cm",
            "waist_iliac_cm",
            "abdomen_navel_cm",
            "waist_narrowest_cm",
        )
        for check in (
            _both(waist, "height_cm", 0.35, 1.05),
            _both("neck_cm", waist, 0.25, 0.60),
            _apart(waist, "neck_cm", 20.0, _ANY),
        )
    ),
    _both("neck_cm", "wrist_girth_cm", 1.7, 3.0),
    _both("chest_girth_cm", "waist_midpoint_cm", 0.80, 1.50),
    _both("chest_girth_cm", "abdomen_navel_cm", 0.80, 1.50),
    _both("thigh_upper_girth_cm", "hip_cm", 0.48, 0.75),
    _both("calf_girth_cm", "thigh_upper_girth_cm", 0.45, 0.80),
    _both("arm_flexed_girth_cm", "thigh_upper_girth_cm", 0.35, 0.78),
    _both("forearm_girth_cm", "arm_flexed_girth_cm", 0.65, 1.08),
    _both("wrist_girth_cm", "forearm_girth_cm", 0.42, 0.75),
    _apart("abdomen_navel_cm", "waist_narrowest_cm", -5.0, 30.0),
    _apart("waist_iliac_cm", "waist_midpoint_cm", -4.0, 12.0),
    _apart("triceps_mm", "biceps_mm", 0.0, _ANY),
    _both("suprailiac_anterior_mm", "abdominal_mm", 0.0, 1.3),
    _both("suprailiac_midaxillary_mm", "abdominal_mm", 0.0, 1.3),
)
