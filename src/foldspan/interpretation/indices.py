"""Indices: the measures that health standards are about, each with its standard error.

Body mass index and ratios carry the error of their readings. Fat mass and lean mass over height
squared carry that of the range besides; the two are taken as independent, because the error of a
weight is small beside that of a fat percentage.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.interpretation.measured import Measured
from foldspan.measurement.waist_conversion import NUMBER, bridge_waists
from foldspan.quantities import WAISTS, Sex
from foldspan.standards.card import Standard


@dataclass(frozen=True, slots=True, repr=False)
class Indices:
    """What N people of one sex were measured at, by measure and scale or waist level.

    ``sex`` is "" where it is not known: what goes by sex then has no limit.

    What several rules and standards ask for is worked out once and kept for as long as the batch.
    """

    sex: Sex | Literal[""]
    age: Array
    background: Array
    columns: Mapping[str, Array]
    reading_se: Mapping[str, Array]
    bmi: Measured
    fat: Mapping[str, Measured]
    waists: Mapping[str, Measured]
    _measures: dict[tuple[str, ...], Measured] = field(default_factory=dict, init=False)
    _among: dict[tuple[str, ...], Array] = field(default_factory=dict, init=False)

    @property
    def count(self) -> int:
        """How many people."""
        return int(self.age.shape[0])

    def of(self, standard: Standard) -> Measured:
        """Return the measure of a standard, on its scale and at its waist level.

        On a scale on which no range can be stated every value is NaN.
        """
        measure_key = (standard.measure, standard.reference_method, *standard.waist_sites)
        if measure_key not in self._measures:
            self._measures[measure_key] = self._of(standard)
        return self._measures[measure_key]

    def _of(self, standard: Standard) -> Measured:
        measure = standard.measure
        if measure == "bmi":
            return self.bmi
        if measure in ("fat_percent", "fat_mass_index", "fat_free_mass_index"):
            fat = self.fat.get(standard.reference_method)
            if fat is None:
                return Measured(np.full(self.count, np.nan), np.full(self.count, np.nan))
            return fat if measure == "fat_percent" else self.mass_index(measure, fat)
        waist = self.waist(standard.waist_sites)
        if measure == "waist_cm":
            return waist
        other = self.measured("hip_cm" if measure == "waist_to_hip" else "height_cm")
        value = waist.value / other.value
        se = value * np.hypot(waist.se / waist.value, other.se / other.value)
        return Measured(value, se, waist.level)

    def is_among(self, names: tuple[str, ...]) -> Array:
        """Return who has one of some family backgrounds, bool (N,)."""
        if names not in self._among:
            self._among[names] = is_among(self.background, names)
        return self._among[names]

    def measured(self, name: str) -> Measured:
        """Return a quantity as it was measured, in its canonical unit."""
        unknown = np.full(self.count, np.nan)
        return Measured(self.columns.get(name, unknown), self.reading_se.get(name, unknown))

    def mass_index(self, measure: str, fat: Measured) -> Measured:
        """Return ``fat_mass_index`` or ``fat_free_mass_index``: mass over height squared [kg/m²]."""
        share = fat.value / 100.0 if measure == "fat_mass_index" else 1.0 - fat.value / 100.0
        se = np.hypot(self.bmi.value * fat.se / 100.0, share * self.bmi.se)
        return Measured(self.bmi.value * share, se)

    def waist(self, sites: tuple[str, ...]) -> Measured:
        """Return the waist at the first of the levels that was measured.

        Where none of them was, the first level is filled from a neighbour with the published
        difference, whose spread joins the error.
        """
        first = self.waists[sites[0]]
        value, se, level = first.value, first.se, first.level
        assert level is not None
        for site in sites[1:]:
            other = self.waists[site]
            assert other.level is not None
            use = (other.level == 0) & ~np.isnan(other.value)
            use &= (level != 0) | np.isnan(value)
            if use.any():
                value, se = np.where(use, other.value, value), np.where(use, other.se, se)
                level = np.where(use, np.int8(0), level)
        return Measured(value, se, level)


def indices_of(
    sex: Sex | Literal[""],
    columns: Mapping[str, Array],
    reading_se: Mapping[str, Array],
    background: Array,
    fat: Mapping[str, Measured],
) -> Indices:
    """Return the indices of N people of one sex.

    Parameters
    ----------
    sex : str
        ``female`` or ``male``, "" where it is not known.
    columns, reading_se : mapping
        Accepted values and their standard errors by quantity, canonical units; NaN where not taken.
    background : array
        Family backgrounds, "" where not stated.
    fat : mapping
        Scale → fat [% of weight] and its standard error.
    """
    unknown = np.full(columns["age_years"].shape[0], np.nan)
    bridged = bridge_waists(columns, sex)
    waists = {}
    for name in WAISTS:
        se = reading_se.get(name, unknown)
        level = bridged.numbers.get(name)
        if level is None:
            waists[name] = Measured(columns[name], se, np.zeros(unknown.shape, dtype=np.int8))
            continue
        for site in WAISTS:
            here = level == NUMBER[site]
            if here.any():
                other = np.hypot(reading_se.get(site, unknown), bridged.spread[name])
                se = np.where(here, other, se)
        waists[name] = Measured(bridged.columns[name], se, level)
    return Indices(
        sex=sex,
        age=columns["age_years"],
        background=background,
        columns=columns,
        reading_se=reading_se,
        bmi=body_mass_index(
            columns.get("weight_kg", unknown),
            reading_se.get("weight_kg", unknown),
            columns.get("height_cm", unknown),
            reading_se.get("height_cm", unknown),
        ),
        fat=fat,
        waists=waists,
    )


def unknown_fat(
    sex: Sex | Literal[""],
    columns: Mapping[str, Array],
    reading_se: Mapping[str, Array],
    background: Array,
) -> Indices:
    """Return the indices of N people of whom no range is known; the rest as in ``indices_of``."""
    unknown = np.full(background.shape[0], np.nan)
    fat = {"density": Measured(unknown, unknown)}
    return indices_of(sex, columns, reading_se, background, fat)


def is_among(backgrounds: Array, names: Collection[str]) -> Array:
    """Return who of N people has one of some family backgrounds, bool (N,)."""
    stated = np.flatnonzero(backgrounds != "")  # few state one, and only those are compared
    found = np.zeros(backgrounds.shape[0], dtype=bool)
    if stated.size and names:
        found[stated] = np.isin(backgrounds[stated].astype(str), list(names))
    return found


def body_mass_index(weight: Array, weight_se: Array, height: Array, height_se: Array) -> Measured:
    """Return weight [kg] over height squared [m²] with its standard error, for N people."""
    bmi = weight / (height / 100.0) ** 2
    return Measured(bmi, bmi * np.hypot(weight_se / weight, 2.0 * height_se / height))
