"""Equations on the logarithm of a fold sum: Durnin & Rahaman 1967, Durnin & Womersley 1974.

The forms of 1974 exist for each combination of four folds, once by age band and once pooled; all
forms of one sex were fitted to the same people. Their numbers stand in durnin_womersley_table.py.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import Literal

import numpy as np

from foldspan.catalogue.card import AgeBands, Array, Checked, Equation, Input, Sum
from foldspan.catalogue.skinfold.durnin_womersley_table import (
    MEN_BANDS,
    MEN_LAST_YEARS,
    MEN_POOLED,
    WOMEN_BANDS,
    WOMEN_LAST_YEARS,
    WOMEN_POOLED,
)

FOLDS = {
    "b": "biceps_mm",
    "t": "triceps_mm",
    "s": "subscapular_mm",
    "i": "suprailiac_midaxillary_mm",
}
SITES = {"biceps_mm": "level", "triceps_mm": "olecranon", "subscapular_mm": "below_tip"}
LABELS = {"b": "biceps", "t": "triceps", "s": "subscapular", "i": "suprailiac"}

Sex = Literal["female", "male"]
LAST_YEARS: Mapping[Sex, tuple[int, ...]] = {"male": MEN_LAST_YEARS, "female": WOMEN_LAST_YEARS}
AGES: Mapping[Sex, tuple[float, float]] = {"male": (17, 72), "female": (16, 68)}
AGES_WITHOUT_OLDEST = (17, 49)

BIAS: Mapping[Sex, tuple[str, ...]] = {
    "male": (
        "underestimates by 2.8 points in white men against a four-compartment model, more at high"
        " fatness (Peterson 2003)",
        "overestimates by 2.4 points in African American men against DXA (Davidson 2011)",
        "seven forms overestimate by 3.9 to 5.9 points in 265 male athletes against"
        " underwater weighing (Sinning 1985)",
        (
            "overestimates by about 4 points in 45 rugby players against underwater weighing"
            " (Bell 1995)"
        ),
        "agreed with DXA in 45 Japanese men aged 18 to 40 in Australia; the form is not in the abstract"
        " (Kagawa 2004)",
    ),
    "female": (
        "underestimates by 1.8 points in white women against a four-compartment model, more at high"
        " fatness (Peterson 2003)",
        "overestimates by 3.3 points in Asian women against DXA (Davidson 2011)",
        "median 24.9%, DXA mean 23.9%, in 24 professional women footballers (Gomez 2024)",
        "gives 35.8%, underwater weighing 31.5%, in Latin American women aged 18"
        " to 59; the form is not in the abstract (Aristizábal 2018)",
    ),
}
BAND_NOTE = (
    "The table jumps at the edges of its age bands; for the range, neighbouring rows are blended"
    " over three years on either side."
)
FOUR_NOTE = (
    "Reproduces the printed fat table at 20, 30, 40 and 50 mm within 0.2 points (0.4 in its first"
    " column, which pools the two youngest bands)."
)

glasgow = partial(
    Equation,
    method="skinfold",
    predicts="density",
    reference_method="density",
    criterion="underwater weighing, two compartments",
    source="durnin_womersley1974",
    see_unit="fat_percent",
    see_note="independent figure for the logarithm of the four skinfolds with age (Lean 1996); the"
    " authors put it near 5 points in men and 3.5 in women",
)


# Durnin & Womersley (1974) [durnin_womersley1974]. bands: c and m by age; folds [mm], age [years]
def by_age(folds: Array, age: Array, bands: AgeBands) -> Array:
    """Body density [g/cm³] with the coefficients of the age band."""
    c, m = bands.pick(age)
    density: Array = c - m * np.log10(folds)
    return density


# The same with neighbouring rows blended: what the range uses.
def by_blended_age(folds: Array, age: Array, bands: AgeBands) -> Array:
    """Body density [g/cm³] without a jump on a birthday."""
    c, m = bands.blend(age)
    density: Array = c - m * np.log10(folds)
    return density


# Durnin & Womersley (1974) [durnin_womersley1974]. c, m: pooled over all ages; folds [mm]
def at_all_ages(folds: Array, c: float, m: float) -> Array:
    """Body density [g/cm³] without age."""
    return c - m * np.log10(folds)


def _folds(letters: str) -> Input:
    """Input of one row: a single fold or a sum."""
    names = tuple(FOLDS[letter] for letter in letters)
    return names[0] if len(names) == 1 else Sum(*names)


def _stem(sex: Sex, letters: str) -> str:
    """Start of the key of one row."""
    sites = "4site" if len(letters) == 4 else "_".join(LABELS[letter] for letter in letters)
    return f"durnin_womersley1974_{sex}_{sites}"


def _row_card(
    sex: Sex,
    letters: str,
    *,
    key: str,
    inputs: tuple[Input, ...],
    formula: Callable[..., Array],
    table: Callable[..., Array] | None = None,
    ages: tuple[float, float],
    printed: bool,
    note: str,
) -> Equation:
    """Card of one row; ``printed`` marks a row that reproduces a printed table."""
    four = len(letters) == 4
    return glasgow(
        key=key,
        sex=sex,
        inputs=inputs,
        formula=formula,
        table=table,
        see=3.8 if sex == "male" else 4.6,
        limits={"age_years": ages} | ({"sum": (15, 150)} if four else {}),
        sites={FOLDS[site]: SITES[FOLDS[site]] for site in letters if FOLDS[site] in SITES},
        n=209 if sex == "male" else 272,
        population="Glasgow men of deliberately varied build, 5 to 50% fat"
        if sex == "male"
        else "Glasgow women of deliberately varied build, 10 to 61% fat",
        lineage=f"durnin_womersley_{sex}",
        where="youngest rows in tables of later papers, the others borne out by a reprint of the"
        " fat table (page of the paper not seen)"
        if printed
        else "rows of coefficients (page not seen)",
        status="read in a secondary text" if printed else "not verified in print",
        checked=Checked.WORKED_EXAMPLE if printed else Checked.FROM_MEMORY,
        known_bias=BIAS[sex],
        not_for=("people under 17", "women") if sex == "male" else ("people under 16", "men"),
        note=note,
    )


def _banded_card(sex: Sex, letters: str, row: tuple[float, ...]) -> Equation:
    """Card of one row of the age-banded table."""
    pairs = tuple(zip(row[0::2], row[1::2], strict=True))
    complete = len(pairs) == len(LAST_YEARS[sex]) + 1
    bands = AgeBands(last_years=LAST_YEARS[sex][: len(pairs) - 1], rows=pairs)
    four = len(letters) == 4
    return _row_card(
        sex,
        letters,
        key=_stem(sex, letters),
        inputs=(_folds(letters), "age_years"),
        formula=partial(by_blended_age, bands=bands),
        table=partial(by_age, bands=bands),
        ages=AGES[sex] if complete else AGES_WITHOUT_OLDEST,
        printed=four,
        note=f"{FOUR_NOTE} {BAND_NOTE}" if four else BAND_NOTE,
    )


def _pooled_card(sex: Sex, letters: str, c: float, m: float) -> Equation:
    """Card of one row of the pooled table."""
    return _row_card(
        sex,
        letters,
        key=f"{_stem(sex, letters)}_all_ages",
        inputs=(_folds(letters),),
        formula=partial(at_all_ages, c=c, m=m),
        ages=AGES[sex],
        printed=False,
        note="Pooled over all ages: if age is known, the form by age group is used first.",
    )


def _most_folds_first(table: Mapping[str, tuple[float, ...]]) -> list[str]:
    """Rows with four skinfolds, then three, two and one; otherwise in table order."""
    return sorted(table, key=len, reverse=True)


DURNIN_WOMERSLEY1974_MEN = (
    *(_banded_card("male", key, MEN_BANDS[key]) for key in _most_folds_first(MEN_BANDS)),
    *(_pooled_card("male", key, *MEN_POOLED[key]) for key in _most_folds_first(MEN_POOLED)),
)
DURNIN_WOMERSLEY1974_WOMEN = (
    *(_banded_card("female", key, WOMEN_BANDS[key]) for key in _most_folds_first(WOMEN_BANDS)),
    *(_pooled_card("female", key, *WOMEN_POOLED[key]) for key in _most_folds_first(WOMEN_POOLED)),
)

four_folds = partial(
    Equation,
    method="skinfold",
    predicts="density",
    reference_method="density",
    inputs=(_folds("btsi"),),
    criterion="underwater weighing, two compartments",
    sites=SITES,
    source="durnin_rahaman1967",
    where="regression equation (page not seen)",
    see=0.0082,
    see_unit="density",
    see_note="recalled for adults as 0.0069 to 0.0082 (not verified in print); the larger one is taken",
)


# Durnin & Rahaman (1967) [durnin_rahaman1967]. folds: biceps + triceps + subscapular +
# suprailiac [mm]
def durnin_rahaman1967_men(folds: Array) -> Array:
    """Body density [g/cm³] from four skinfolds."""
    return 1.161 - 0.0632 * np.log10(folds)


DURNIN_RAHAMAN1967_MALE = four_folds(
    key="durnin_rahaman1967_male",
    sex="male",
    formula=durnin_rahaman1967_men,
    limits={"age_years": (18, 34)},
    n=60,
    population="young men, mean age 22 years",
    lineage="durnin_rahaman1967_male",
    where="equation in a table of a later paper (paper not seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    not_for=("women", "people under 18", "men over 34"),
)


# Durnin & Rahaman (1967) [durnin_rahaman1967]. folds: biceps + triceps + subscapular +
# suprailiac [mm]
def durnin_rahaman1967_women(folds: Array) -> Array:
    """Body density [g/cm³] from four skinfolds."""
    return 1.1581 - 0.072 * np.log10(folds)


DURNIN_RAHAMAN1967_FEMALE = four_folds(
    key="durnin_rahaman1967_female",
    sex="female",
    formula=durnin_rahaman1967_women,
    limits={"age_years": (18, 29)},
    n=45,
    population="young women",
    lineage="durnin_rahaman1967_female",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    known_bias=("median 25.6%, DXA mean 23.9%, in 24 professional women footballers (Gomez 2024)",),
    not_for=("men", "people under 18", "women over 29"),
)

CARDS: tuple[Equation, ...] = (
    *DURNIN_WOMERSLEY1974_MEN,
    *DURNIN_WOMERSLEY1974_WOMEN,
    DURNIN_RAHAMAN1967_MALE,
    DURNIN_RAHAMAN1967_FEMALE,
)
