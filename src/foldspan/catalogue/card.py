"""Card: the record that carries one published equation, and the shapes its inputs can take.

A card stands directly under its formula, so that both can be read beside the paper. Coefficients
stay in the formula exactly as printed; what the paper says about the people, the error and the
limits stays on the card. Nothing here computes a result: see ``estimation/evaluate.py``.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import IntEnum
from itertools import pairwise
from typing import Any, Literal

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[Any]
# where marks, codes and numbers could be mixed up, an array says what it holds
FloatArray = npt.NDArray[np.float64]
BoolArray = npt.NDArray[np.bool_]
IntArray = npt.NDArray[np.integer]

Family = Literal["skinfold", "girth", "mass_height", "waist_height"]
FAMILIES: tuple[Family, ...] = ("skinfold", "girth", "mass_height", "waist_height")

Predicts = Literal["density", "fat_percent", "fat_mass", "fat_free_mass", "adipose_mass"]
"""What the formula returns: density [g/cm³], fat [%], or a mass [kg]."""

ReferenceMethod = Literal["density", "dxa"]
REFERENCE_METHODS: tuple[ReferenceMethod, ...] = ("density", "dxa")
# The reference method that an answer is stated by where nobody says which: there ranges were held
# against people they had not seen (``docs/calibration.md``), and clients can compare with a scan.
DEFAULT_REFERENCE: ReferenceMethod = "dxa"


class Checked(IntEnum):
    """How the coefficients on a card were checked; a higher value is a stronger check."""

    FROM_MEMORY = 1
    """Typed twice from a recalled value; no copy of the paper was seen."""
    DOUBLE_ENTRY = 2
    """Typed twice, by two typists, from a source that was read."""
    WORKED_EXAMPLE = 3
    """Typed twice, and reproduces a number printed in a source that was read."""


Status = Literal["verified", "read in a secondary text", "not verified in print", "disputed"]
STATUSES: tuple[Status, ...] = (
    "verified",
    "read in a secondary text",
    "not verified in print",
    "disputed",
)
"""Where the coefficients come from, most reliable first: read in print; read in a page or book that
quotes the paper; recalled; or disputed, because sources differ."""


@dataclass(frozen=True, slots=True)
class Sum:
    """The sum of several skinfolds [mm], handed to the formula as one argument."""

    names: tuple[str, ...]
    """Names of the skinfolds."""

    def __init__(self, *names: str) -> None:
        object.__setattr__(self, "names", names)


@dataclass(frozen=True, slots=True)
class Bmi:
    """Weight [kg] over height squared [m²], handed to the formula as one argument [kg/m²]."""

    names: tuple[str, ...] = ("weight_kg", "height_cm")
    """Names of the two quantities."""

    def of(self, columns: Mapping[str, Array]) -> Array:
        """Return it for N people, (N,), from their columns by name; NaN where either is unknown."""
        weight, height = (columns[name] for name in self.names)
        return np.asarray(weight / (height / 100.0) ** 2)


Input = str | Sum | Bmi
"""One argument of a formula: a quantity by its name, a sum of folds, or the body mass index.

Besides the quantities, these indicator names (0 or 1) are known: ``is_male``, ``is_female``,
``is_black``, ``is_asian``, ``is_mexican_american``, ``is_hispanic``, ``is_other_ancestry``.
"""


# Rows of a table of ages are blended within so many years of the age that parts them (ours).
BLENDED_YEARS = 3.0


@dataclass(frozen=True, slots=True)
class AgeBands:
    """Coefficients by age band, in the row order of the printed table.

    ``last_years`` holds the last completed year of each band but the oldest, which is open.
    """

    last_years: tuple[int, ...]
    rows: tuple[tuple[float, ...], ...]

    def pick(self, age: Array) -> tuple[Array, ...]:
        """Return one array per column for ages [years] of any shape."""
        completed = np.floor(np.real(age))
        band = np.searchsorted(np.asarray(self.last_years), completed, side="left")
        table = np.asarray(self.rows)[band]
        return tuple(table[..., column] for column in range(table.shape[-1]))

    def blend(self, age: Array) -> tuple[Array, ...]:
        """Return one array per column, neighbouring rows blended over three years on either side.

        A printed table jumps on a birthday; bodies do not. Ours, no source: within ``BLENDED_YEARS`` of
        the age at which the next row begins the coefficients go in a straight line from one row to the
        other, half way on the birthday itself.
        """
        ages = np.real(age)
        borders = [last + 1.0 for last in self.last_years]
        knots = [border + side for border in borders for side in (-BLENDED_YEARS, BLENDED_YEARS)]
        columns = []
        for column in zip(*self.rows, strict=True):
            ends = [end for low, high in pairwise(column) for end in (low, high)]
            columns.append(
                np.interp(ages, knots, ends) if knots else np.full(ages.shape, column[0])
            )
        return tuple(columns)

    def is_blended(self, age: Array) -> Array:
        """Whether ages [years] lie where rows are blended, bool of the same shape."""
        blended = np.zeros(np.shape(age), dtype=bool)
        for last in self.last_years:
            blended |= np.abs(np.real(age) - (last + 1.0)) < BLENDED_YEARS
        return blended


@dataclass(frozen=True, slots=True)
class Equation:
    """One published equation: its inputs, its sample, its error and its source.

    Parameters
    ----------
    key : str
        Author, year, sex and inputs; never reused.
    method : str
        ``skinfold``, ``girth``, ``mass_height`` or ``waist_height``.
    predicts : str
        What ``formula`` returns; see ``Predicts`` for units.
    reference_method : str
        The reference method it was developed against: ``density`` or ``dxa``.
    sex : str
        ``female``, ``male`` or ``both``.
    inputs : tuple
        Arguments of ``formula`` in order; see ``Input``.
    formula : callable
        Pure function of float or complex arrays, without branches on data and without jumps.
    table : callable or None
        The form as printed, if it jumps: rows by age, which ``formula`` blends.
    see : float or None
        Standard error of estimate [unit of ``see_unit``]; None if no source gives one.
    see_unit : str
        ``density`` [g/cm³], ``fat_percent`` [points] or ``mass`` [kg].
    see_note : str
        Where the error comes from, if it is not simply the paper's own.
    limits : mapping
        Range of the sample for a quantity [its unit], ``"sum"`` (the ``Sum`` argument) [mm] or
        ``"bmi"`` [kg/m²].
    sites : mapping
        The version of the site that the equation uses, for sites that have several.
    lineage : str
        Equations developed on the same people share it, and only one of them counts: the first
        usable card in catalogue order.
    audience : str
        Who it was developed for: ``general``, ``athlete``, ``obese``, ``youth``, ``clinical``.
    athletes_error : float or None
        Total error in athletes in a cross-validation [percentage points], if published.
    ancestry : str
        Set if the equation was developed for one ancestry group only, otherwise "".
    status : str
        Evidence for the coefficients.
    checked : Checked
        How the digits on this card were checked.
    source, where : str
        Where it was published, and the place in it.
    population, criterion : str
        The people it was developed on, and how they were measured.
    n : int or None
        Size of the sample [people].
    known_bias, not_for : tuple of str
        How far it is known to over- or underestimate, and who it is not for.
    note : str
        Other remarks.
    """

    key: str
    method: Family
    predicts: Predicts
    reference_method: ReferenceMethod
    sex: Literal["female", "male", "both"]
    inputs: tuple[Input, ...]
    formula: Callable[..., Array]
    see: float | None
    source: str
    where: str
    status: Status
    checked: Checked
    population: str
    criterion: str
    lineage: str
    limits: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    n: int | None = None
    see_unit: Literal["density", "fat_percent", "mass"] = "fat_percent"
    see_note: str = ""
    sites: Mapping[str, str] = field(default_factory=dict)
    audience: Literal["general", "athlete", "obese", "youth", "clinical"] = "general"
    ancestry: str = ""
    athletes_error: float | None = None
    known_bias: tuple[str, ...] = ()
    not_for: tuple[str, ...] = ()
    note: str = ""
    table: Callable[..., Array] | None = None

    @property
    def printed_formula(self) -> Callable[..., Array]:
        """The formula exactly as printed."""
        return self.table or self.formula

    @property
    def quantities(self) -> tuple[str, ...]:
        """Names of every measured quantity needed, each once, without indicators."""
        names: dict[str, None] = {}
        for given in self.inputs:
            for name in (given,) if isinstance(given, str) else given.names:
                if not name.startswith("is_"):
                    names[name] = None
        return tuple(names)


@dataclass(frozen=True, slots=True)
class Conversion:
    """One published conversion from body density [g/cm³] to fat: ``100 (c1 / D - c2)`` [%].

    ``lean_density`` [g/cm³] is the density of the lean tissue that the source states, where it
    states one; pure fat is taken at 0.9007 (0.900 in Siri), which ties ``c1`` to ``c2``.
    """

    key: str
    c1: float
    c2: float
    sex: Literal["female", "male", "both"]
    ages: tuple[float, float]
    population: str
    source: str
    where: str
    status: Status
    checked: Checked
    lean_density: float | None = None
    ancestry: str = ""
    audience: Literal["general", "athlete", "obese", "youth", "clinical"] = "general"
    note: str = ""

    def fat_percent(self, density: Array) -> Array:
        """Return body fat [%] for densities [g/cm³] of any shape."""
        return 100.0 * (self.c1 / density - self.c2)


@dataclass(frozen=True, slots=True)
class Source:
    """One published source: who, when, where; ``seen`` says what of it was read."""

    key: str
    citation: str
    doi: str = ""
    seen: str = ""
