"""Skinfold equations that give the body density of adolescents, 1967 and 1984."""

from __future__ import annotations

from functools import partial

import numpy as np

from foldspan.catalogue.card import Array, Checked, Equation, Sum

FOUR = Sum("biceps_mm", "triceps_mm", "subscapular_mm", "suprailiac_midaxillary_mm")
FOUR_SITES = {"biceps_mm": "level", "triceps_mm": "olecranon", "subscapular_mm": "below_tip"}
UNDERWATER = "underwater weighing, two compartments"

youth_form = partial(Equation, method="skinfold", reference_method="density", audience="youth")

adolescents = partial(
    youth_form,
    predicts="density",
    inputs=(FOUR,),
    sites=FOUR_SITES,
    criterion=UNDERWATER,
    source="durnin_rahaman1967",
    where="equation in a table of a later paper (paper not seen)",
    see=None,
    see_note="a standard error is recalled for the adults of the paper only",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    note="Often listed as a youngest row of Durnin & Womersley 1974, where it does not belong.",
)


# Durnin & Rahaman (1967) [durnin_rahaman1967]. folds: biceps + triceps + subscapular +
# suprailiac [mm]
def durnin_rahaman1967_boys(folds: Array) -> Array:
    """Body density [g/cm³] from four skinfolds."""
    return 1.1533 - 0.0643 * np.log10(folds)


DURNIN_RAHAMAN1967_MALE_YOUTH = adolescents(
    key="durnin_rahaman1967_male_youth",
    sex="male",
    formula=durnin_rahaman1967_boys,
    limits={"age_years": (12.7, 15.7)},
    n=48,
    population="adolescent boys",
    lineage="durnin_rahaman1967_male_youth",
    not_for=("adults", "girls"),
)


# Durnin & Rahaman (1967) [durnin_rahaman1967]. folds: biceps + triceps + subscapular +
# suprailiac [mm]
def durnin_rahaman1967_girls(folds: Array) -> Array:
    """Body density [g/cm³] from four skinfolds."""
    return 1.1369 - 0.0598 * np.log10(folds)


DURNIN_RAHAMAN1967_FEMALE_YOUTH = adolescents(
    key="durnin_rahaman1967_female_youth",
    sex="female",
    formula=durnin_rahaman1967_girls,
    limits={"age_years": (13.2, 16.4)},
    n=38,
    population="adolescent girls",
    lineage="durnin_rahaman1967_female_youth",
    not_for=("adults", "boys"),
)

young_athletes = partial(
    youth_form,
    predicts="density",
    criterion=UNDERWATER,
    source="thorland1984",
    where="equation (page not seen)",
    see_unit="density",
)
THORLAND_SEVEN = Sum(
    "triceps_mm",
    "subscapular_mm",
    "midaxillary_mm",
    "suprailiac_midaxillary_mm",
    "abdominal_mm",
    "thigh_mm",
    "calf_mm",
)


# Thorland et al. (1984) [thorland1984]. folds: sum of seven skinfolds [mm]
def thorland1984_boys_7site(folds: Array) -> Array:
    """Body density [g/cm³] from seven skinfolds."""
    return 1.1091 - 0.00052 * folds + 0.00000032 * folds**2


THORLAND1984_MALE_7SITE = young_athletes(
    key="thorland1984_male_7site",
    sex="male",
    inputs=(THORLAND_SEVEN,),
    formula=thorland1984_boys_7site,
    see=0.0055,
    see_note="not verified in print",
    limits={"age_years": (14, 19)},
    n=141,
    population="adolescent male athletes",
    lineage="thorland1984_male",
    where="equation in a table of a later paper (of this one, the abstract was seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    not_for=("boys who are not athletes", "girls", "adults"),
)


# Thorland et al. (1984) [thorland1984]. folds: triceps + subscapular + midaxillary [mm]
def thorland1984_boys_3site(folds: Array) -> Array:
    """Body density [g/cm³] from three skinfolds."""
    return 1.1136 - 0.00154 * folds + 0.00000516 * folds**2


THORLAND1984_MALE_3SITE = young_athletes(
    key="thorland1984_male_3site",
    sex="male",
    inputs=(Sum("triceps_mm", "subscapular_mm", "midaxillary_mm"),),
    formula=thorland1984_boys_3site,
    see=0.0056,
    limits={"age_years": (14, 19)},
    n=141,
    population="adolescent male athletes",
    lineage="thorland1984_male",
    where="equation in a table of a later paper (of this one, the abstract was seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    not_for=("boys who are not athletes", "girls", "adults"),
)


# Thorland et al. (1984) [thorland1984]. folds: sum of seven skinfolds [mm]
def thorland1984_girls_7site(folds: Array) -> Array:
    """Body density [g/cm³] from seven skinfolds."""
    return 1.1046 - 0.00059 * folds + 0.0000006 * folds**2


THORLAND1984_FEMALE_7SITE = young_athletes(
    key="thorland1984_female_7site",
    sex="female",
    inputs=(THORLAND_SEVEN,),
    formula=thorland1984_girls_7site,
    see=0.006,
    limits={"age_years": (11, 19)},
    n=133,
    population="adolescent female athletes",
    lineage="thorland1984_female",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    not_for=("girls who are not athletes", "boys", "adults"),
)


# Thorland et al. (1984) [thorland1984]. folds: triceps + subscapular + suprailiac [mm]
def thorland1984_girls_3site(folds: Array) -> Array:
    """Body density [g/cm³] from three skinfolds."""
    return 1.0987 - 0.00122 * folds + 0.00000263 * folds**2


THORLAND1984_FEMALE_3SITE = young_athletes(
    key="thorland1984_female_3site",
    sex="female",
    inputs=(Sum("triceps_mm", "subscapular_mm", "suprailiac_midaxillary_mm"),),
    formula=thorland1984_girls_3site,
    see=0.006,
    limits={"age_years": (11, 19)},
    n=133,
    population="adolescent female athletes",
    lineage="thorland1984_female",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    not_for=("girls who are not athletes", "boys", "adults"),
)

CARDS: tuple[Equation, ...] = (
    THORLAND1984_MALE_7SITE,
    THORLAND1984_MALE_3SITE,
    THORLAND1984_FEMALE_7SITE,
    THORLAND1984_FEMALE_3SITE,
    DURNIN_RAHAMAN1967_MALE_YOUTH,
    DURNIN_RAHAMAN1967_FEMALE_YOUTH,
)
