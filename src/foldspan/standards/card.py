"""Standard: the record that carries one published set of health bands, as printed.

A standard cuts the line of one measure into bands with no gap and no overlap: its limits in rising
order, what each limit belongs to, and one label more than there are limits. Nothing here computes
a result: see ``health.py``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

Measure = Literal[
    "fat_percent",
    "bmi",
    "waist_cm",
    "waist_to_height",
    "waist_to_hip",
    "fat_mass_index",
    "fat_free_mass_index",
]
MEASURE_UNITS: dict[str, str] = {
    "fat_percent": "%",
    "bmi": "kg/m²",
    "waist_cm": "cm",
    "waist_to_height": "",
    "waist_to_hip": "",
    "fat_mass_index": "kg/m²",
    "fat_free_mass_index": "kg/m²",
}
# The first three hold for fat and what follows from it; a directly measured index has no scale.
StandardScale = Literal["density", "dxa", "bioimpedance", ""]
Status = Literal[
    "verified, primary",
    "verified, secondary",
    "not verified in print",
    "disputed",
    "expert judgement",
    "computed from open data",
    "common practice, no source",
]
Side = Literal["above", "below"]
Kind = Literal["female", "male", "both"]

# What a band leaves open, so that standards can be held against each other: b below the usual, u usual,
# a above it. "No case seen below" says nothing about too little, so it leaves two open.
REACH: dict[str, str] = {
    "severely_low": "b",
    "clearly_low": "b",
    "low": "b",
    "usual": "u",
    "above": "a",
    "well_above": "a",
    "far_above": "a",
    "very_far_above": "a",
    "light_for_age": "b",
    "usual_for_age": "ua",
    "heavy_for_age": "a",
    "small_for_height": "b",
    "under_half": "u",
    "half_or_more": "a",
    "six_tenths_or_more": "a",
    "below_raised": "bu",
    "raised": "a",
    "high": "a",
    "below_central": "bu",
    "central": "a",
    "below_high_for_class": "bua",
    "high_for_class": "a",
    "lighter_match": "b",
    "healthy_match": "u",
    "above_match": "a",
    "well_above_match": "a",
    "no_case_seen": "bu",
    "few_cases": "ua",
    "risk_clusters": "a",
    "risk_common": "a",
    "below_bmi_30_match": "bua",
    "bmi_30_match_or_more": "a",
    "below_span": "b",
    "in_span": "u",
    "above_span": "a",
    "below_minimum": "b",
    "at_or_above_minimum": "bua",
    "severe_shortage": "b",
    "moderate_shortage": "b",
    "mild_shortage": "b",
    "usual_fat": "u",
    "excess": "a",
    "class_1": "a",
    "class_2": "a",
    "class_3": "a",
    "low_lean": "bua",
    "not_low_lean": "bua",
}


@dataclass(frozen=True, slots=True)
class Standard:
    """One set of bands for one group of people.

    Parameters
    ----------
    key : str
        Standard, year, sex, ages, group; never reused.
    name, year : str, int
        As people cite it.
    measure : str
        See ``Measure``; units in ``MEASURE_UNITS``.
    limits : tuple of float
        In rising order, in the unit of the measure.
    labels : tuple of str
        Codes of the bands from low to high, one more than limits; words in ``text/en/health.py``.
    limit_belongs : str or tuple of str
        ``above`` where a limit itself is in the band above it (printed ``>=``), ``below`` where in
        the one below (printed ``>``); one word for all, or one a limit.
    reference_method : str
        Criterion of fat measures; "" for measures taken directly.
    sex : str
        ``female``, ``male`` or ``both``.
    ages : tuple of int or None
        First and last completed year of age that it covers, None for no end.
    backgrounds : tuple of str
        Self-described family backgrounds it is for; empty for everybody.
    not_for : tuple of str
        Family backgrounds for which it says nothing.
    bmi : tuple of float or None
        Body mass index it holds for, the first included, the last not [kg/m²].
    waist_sites : tuple of str
        Quantities at which the waist may be taken for it, the best first.
    is_shown : bool
        False for what is kept to be compared, but is no answer for a client.
    is_averaged : bool
        True where it has columns by family background and none for everybody: who states none, or one
        it has no column for, gets the mean of its columns (our choice).
    """

    key: str
    name: str
    year: int
    measure: Measure
    limits: tuple[float, ...]
    labels: tuple[str, ...]
    source: str
    status: Status
    population: str
    sex: Kind = "both"
    ages: tuple[int, int | None] = (18, None)
    reference_method: StandardScale = ""
    limit_belongs: Side | tuple[Side, ...] = "above"
    backgrounds: tuple[str, ...] = ()
    not_for: tuple[str, ...] = ()
    bmi: tuple[float | None, float | None] = (None, None)
    waist_sites: tuple[str, ...] = ()
    is_shown: bool = True
    is_averaged: bool = False
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse limits that are out of order, or do not match the labels."""
        if list(self.limits) != sorted(set(self.limits)):
            raise ValueError(f"{self.key}: limits must rise")
        if len(self.labels) != len(self.limits) + 1:
            raise ValueError(f"{self.key}: one label more than limits")
        if unknown := set(self.labels) - set(REACH):
            raise ValueError(f"{self.key}: labels not known: {', '.join(sorted(unknown))}")
        if isinstance(self.limit_belongs, tuple) and len(self.limit_belongs) != len(self.limits):
            raise ValueError(f"{self.key}: one side a limit")

    def sides(self) -> tuple[Side, ...]:
        """For each limit, the band it belongs to."""
        if isinstance(self.limit_belongs, tuple):
            return self.limit_belongs
        return (self.limit_belongs,) * len(self.limits)

    def place(self, values: npt.NDArray[np.float64]) -> npt.NDArray[np.int64]:
        """Return for N values the number of the one band that holds each, from 0 on."""
        places = np.zeros(np.shape(values), dtype=np.int64)
        for limit, side in zip(self.limits, self.sides(), strict=True):
            places += np.asarray(values > limit) | (np.asarray(values == limit) & (side == "above"))
        return places

    def band(self, value: float) -> str:
        """Return the label of the one band that holds ``value``."""
        return self.labels[int(self.place(np.array([value]))[0])]

    def covers(self, sex: str, age: float, bmi: float) -> bool:
        """Whether the standard is made for such a person, family background left aside.

        ``sex`` is "" where it is not known: then only standards for both sexes are.

        ``age`` in years; ``bmi`` in kg/m², NaN where it is not known.
        """
        return bool(self.fits(sex, np.array([age]), np.array([bmi]))[0])

    def fits(
        self, sex: str, ages: npt.NDArray[np.float64], bmi: npt.NDArray[np.float64]
    ) -> npt.NDArray[np.bool_]:
        """For which of N people of one sex the standard is made, bool (N,); see ``covers``."""
        first, last = self.ages
        low, high = self.bmi
        fitting = (ages >= first) & (self.sex in (sex, "both"))
        if last is not None:
            fitting &= ages < last + 1
        if low is not None:
            fitting &= bmi >= low
        if high is not None:
            fitting &= bmi < high
        return fitting

    @property
    def system(self) -> str:
        """What its rows for other sexes, ages and groups share: name and year."""
        return f"{self.name} {self.year}" if self.year else self.name
