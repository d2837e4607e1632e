"""Skinfold equations that give the fat of children and adolescents, 1985 to 1999.

Forms by stage of maturity keep one card per stage; the stage is a matter of assessment, not of age.
"""

from __future__ import annotations

from functools import partial
from typing import Literal

import numpy as np

from foldspan.catalogue.card import Array, Checked, Equation, Sum

FOUR = Sum("biceps_mm", "triceps_mm", "subscapular_mm", "suprailiac_midaxillary_mm")
FOUR_SITES = {"biceps_mm": "level", "triceps_mm": "olecranon", "subscapular_mm": "below_tip"}
TWO = Sum("triceps_mm", "subscapular_mm")
TWO_SITES = {"triceps_mm": "olecranon", "subscapular_mm": "below_tip"}

youth_form = partial(Equation, method="skinfold", reference_method="density", audience="youth")

slaughter = partial(
    youth_form,
    predicts="fat_percent",
    limits={"age_years": (8, 18)},
    n=310,
    population="310 young people of both sexes, 8 to 29 years: 66 prepubescent, 59 pubescent, 117"
    " postpubescent, 68 adult",
    criterion="density, body water and bone mineral combined",
    source="slaughter1988",
    where="equation (page not seen)",
    see_unit="fat_percent",
)
JANZ = "standard error 3.5 to 4.6, total error 3.6 to 4.6 points at 8 to 17 years (Janz 1993)"
TRUESDALE = "eight youth equations share 50 to 74% of their variance with DXA (Truesdale 2016)"
HIGH_SUMS = "gives {} points more than DXA in {} with a sum of 50 mm or more (Freedman 2013)"


# Slaughter et al. (1988) [slaughter1988]. folds: triceps + calf [mm]
def slaughter1988_boys_tri_calf(folds: Array) -> Array:
    """Body fat [%] from two skinfolds."""
    return 0.735 * folds + 1.0


SLAUGHTER1988_MALE_TRI_CALF = slaughter(
    key="slaughter1988_male_tri_calf",
    sex="male",
    inputs=(Sum("triceps_mm", "calf_mm"),),
    formula=slaughter1988_boys_tri_calf,
    see=3.8,
    sites={"triceps_mm": "olecranon"},
    lineage="slaughter1988_male",
    where="equation in a table of a later paper (paper not seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(JANZ, TRUESDALE),
    not_for=("adults", "girls"),
)


# Slaughter et al. (1988) [slaughter1988]. folds: triceps + calf [mm]
def slaughter1988_girls_tri_calf(folds: Array) -> Array:
    """Body fat [%] from two skinfolds."""
    return 0.61 * folds + 5.1


SLAUGHTER1988_FEMALE_TRI_CALF = slaughter(
    key="slaughter1988_female_tri_calf",
    sex="female",
    inputs=(Sum("triceps_mm", "calf_mm"),),
    formula=slaughter1988_girls_tri_calf,
    see=3.8,
    sites={"triceps_mm": "olecranon"},
    lineage="slaughter1988_female",
    where="equation in a table of a later paper (paper not seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(JANZ, "found biased in girls, size not recorded (Janz 1993)", TRUESDALE),
    not_for=("adults", "boys"),
    note="The constant is also quoted as 5.0; 5.1 was read in a table.",
)

# Constant by ancestry and stage of maturity, for a sum up to 35 mm.
SLAUGHTER_BOYS: tuple[tuple[str, str, float], ...] = (
    ("white", "prepubescent", 1.7),
    ("white", "pubescent", 3.4),
    ("white", "postpubescent", 5.5),
    ("black", "prepubescent", 3.2),
    ("black", "pubescent", 5.2),
    ("black", "postpubescent", 6.8),
)


# Slaughter et al. (1988) [slaughter1988]. folds: triceps + subscapular [mm], constant: see above
def slaughter1988_boys_tri_sub(folds: Array, constant: float) -> Array:
    """Body fat [%] from two skinfolds, with one branch up to 35 mm and one above."""
    up_to_35 = 1.21 * folds - 0.008 * folds**2 - constant
    above_35 = 0.783 * folds + 1.6
    return np.where(np.real(folds) <= 35, up_to_35, above_35)


def _slaughter_boys_card(ancestry: str, stage: str, constant: float) -> Equation:
    """Card of one row of the boys' constants."""
    return slaughter(
        key=f"slaughter1988_male_tri_sub_{ancestry}_{stage}",
        sex="male",
        inputs=(TWO,),
        formula=partial(slaughter1988_boys_tri_sub, constant=constant),
        see=3.6,
        sites=TWO_SITES,
        lineage="slaughter1988_male",
        status="not verified in print",
        checked=Checked.FROM_MEMORY,
        known_bias=(HIGH_SUMS.format(12, "boys"), JANZ, TRUESDALE),
        not_for=("adults", "girls", f"boys who are not {ancestry.capitalize()} and {stage}"),
        note="Slopes and the upper branch were read in a later paper's table, the constant"
        " is recalled. The branches do not meet: at 35 mm they give"
        f" {32.55 - constant:.2f} and 29.0%.",
    )


SLAUGHTER1988_MALE_TRI_SUB = tuple(_slaughter_boys_card(*row) for row in SLAUGHTER_BOYS)


# Slaughter et al. (1988) [slaughter1988]. folds: triceps + subscapular [mm]
def slaughter1988_girls_tri_sub(folds: Array) -> Array:
    """Body fat [%] from two skinfolds, with one branch up to 35 mm and one above."""
    up_to_35 = 1.33 * folds - 0.013 * folds**2 - 2.5
    above_35 = 0.546 * folds + 9.7
    return np.where(np.real(folds) <= 35, up_to_35, above_35)


SLAUGHTER1988_FEMALE_TRI_SUB = slaughter(
    key="slaughter1988_female_tri_sub",
    sex="female",
    inputs=(TWO,),
    formula=slaughter1988_girls_tri_sub,
    see=3.6,
    sites=TWO_SITES,
    lineage="slaughter1988_female",
    where="quoted in the equation table of a later paper (paper not seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(HIGH_SUMS.format(6, "girls"), JANZ, TRUESDALE),
    not_for=("adults", "boys"),
    note="The constant is 2.5: one table prints it beside the 2.4 of the girls of Boileau"
    " 1985, with which it was mixed up. The branches do not meet: at 35 mm they give"
    " 28.1 and 28.8%.",
)

boileau = partial(
    youth_form,
    predicts="fat_percent",
    inputs=(TWO,),
    see=None,
    limits={"age_years": (8, 29)},
    sites=TWO_SITES,
    n=273,
    population="children and young people",
    criterion="several compartments combined",
    source="boileau1985",
    where="equation in a table of a later paper (paper not seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
)


# Boileau, Lohman & Slaughter (1985) [boileau1985]. folds: triceps + subscapular [mm]
def boileau1985_boys(folds: Array) -> Array:
    """Body fat [%] from two skinfolds."""
    return 1.35 * folds - 0.012 * folds**2 - 4.4


BOILEAU1985_MALE = boileau(
    key="boileau1985_male",
    sex="male",
    formula=boileau1985_boys,
    lineage="boileau1985_male",
    not_for=("women and girls",),
    note="The parabola turns at 56 mm: no sum gives more than 33.6%.",
)


# Boileau, Lohman & Slaughter (1985) [boileau1985]. folds: triceps + subscapular [mm]
def boileau1985_girls(folds: Array) -> Array:
    """Body fat [%] from two skinfolds."""
    return 1.35 * folds - 0.012 * folds**2 - 2.4


BOILEAU1985_FEMALE = boileau(
    key="boileau1985_female",
    sex="female",
    formula=boileau1985_girls,
    lineage="boileau1985_female",
    not_for=("men and boys",),
    note="The parabola turns at 56 mm: no sum gives more than 35.6%.",
)

Sex = Literal["female", "male"]

# Sex, stage, age span [years], factor, constant, read in a source.
DEURENBERG: tuple[tuple[Sex, str, tuple[int, int], float, float, bool], ...] = (
    ("male", "prepubertal", (7, 12), 26.56, 22.23, False),
    ("male", "pubertal", (11, 16), 18.7, 11.91, False),
    ("male", "postpubertal", (14, 20), 18.88, 15.58, True),
    ("female", "prepubertal", (7, 11), 29.85, 25.87, False),
    ("female", "pubertal", (10, 15), 23.94, 18.89, False),
    ("female", "postpubertal", (13, 20), 39.02, 43.49, True),
)


# Deurenberg, Pieters & Hautvast (1990) [deurenberg1990]. folds: biceps + triceps + subscapular +
# suprailiac [mm], factor and constant: see above
def deurenberg1990(folds: Array, factor: float, constant: float) -> Array:
    """Body fat [%] from four skinfolds."""
    return factor * np.log10(folds) - constant


def _deurenberg_card(
    sex: Sex, stage: str, ages: tuple[int, int], factor: float, constant: float, read: bool
) -> Equation:
    """Card of one row of the table by sex and stage of maturity."""
    return youth_form(
        key=f"deurenberg1990_{sex}_{stage}",
        predicts="fat_percent",
        sex=sex,
        inputs=(FOUR,),
        formula=partial(deurenberg1990, factor=factor, constant=constant),
        see=4.5,
        see_unit="fat_percent",
        see_note="recalled as about 3 to 5 points",
        limits={"age_years": ages},
        sites=FOUR_SITES,
        n=378,
        population=f"Dutch young people of both sexes, 7 to 20 years; this form: {stage}",
        criterion="underwater weighing, conversion adjusted to age",
        lineage=f"deurenberg1990_{sex}",
        source="deurenberg1990",
        where="equation in a table of a later paper (paper not seen)"
        if read
        else "equation (page not seen)",
        status="read in a secondary text" if read else "not verified in print",
        checked=Checked.DOUBLE_ENTRY if read else Checked.FROM_MEMORY,
        not_for=("adults", f"young people who are not {stage}"),
        note="The age span is approximate; the stage of maturity decides.",
    )


DEURENBERG1990 = tuple(_deurenberg_card(*row) for row in DEURENBERG)

dezenberg = partial(
    Equation,
    method="skinfold",
    audience="youth",
    predicts="fat_mass",
    reference_method="dxa",
    inputs=("weight_kg", "triceps_mm", "is_black"),
    see=None,
    see_unit="mass",
    limits={"age_years": (4, 11)},
    n=202,
    population="white and African American children, USA",
    criterion="DXA",
    source="dezenberg1999",
    where="equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    known_bias=("mean bias within 1 point at 8 to 18 years against DXA (Truesdale 2016)",),
    note="The source codes sex as 1 (boys) and 2 (girls), ancestry as 1 (white) and 2 (Black).",
)


# Dezenberg et al. (1999) [dezenberg1999]. weight [kg], triceps [mm], black: 0 or 1
def dezenberg1999_boys(weight: Array, triceps: Array, black: Array) -> Array:
    """Fat mass [kg] from weight and one skinfold."""
    return 0.38 * weight + 0.3 * triceps + 0.87 * 1 + 0.81 * (1 + black) - 9.42


DEZENBERG1999_MALE_TRICEPS_WEIGHT = dezenberg(
    key="dezenberg1999_male_triceps_weight",
    sex="male",
    formula=dezenberg1999_boys,
    lineage="dezenberg1999_male",
    not_for=("adults", "girls"),
)


# Dezenberg et al. (1999) [dezenberg1999]. weight [kg], triceps [mm], black: 0 or 1
def dezenberg1999_girls(weight: Array, triceps: Array, black: Array) -> Array:
    """Fat mass [kg] from weight and one skinfold."""
    return 0.38 * weight + 0.3 * triceps + 0.87 * 2 + 0.81 * (1 + black) - 9.42


DEZENBERG1999_FEMALE_TRICEPS_WEIGHT = dezenberg(
    key="dezenberg1999_female_triceps_weight",
    sex="female",
    formula=dezenberg1999_girls,
    lineage="dezenberg1999_female",
    not_for=("adults", "boys"),
)


# Pereira & Fernandes Filho (2000s) [pereira_fernandes]. folds: thigh + calf [mm]
def pereira_fernandes_boys(folds: Array) -> Array:
    """Body fat [%] of boys in puberty from two skinfolds."""
    return 0.654252 * folds - 0.002009 * folds**2


PEREIRA_FERNANDES_MALE_PUBERTAL = youth_form(
    key="pereira_fernandes_male_pubertal",
    predicts="fat_percent",
    sex="male",
    inputs=(Sum("thigh_mm", "calf_mm"),),
    formula=pereira_fernandes_boys,
    see=3.7,
    limits={"age_years": (10, 17)},
    n=75,
    population="Brazilian boys in puberty; 25 more for cross-validation",
    criterion="underwater weighing, Lohman for youth",
    lineage="pereira_fernandes_male",
    source="pereira_fernandes",
    where="equation in the abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    not_for=("adults", "girls"),
    note="The parabola turns at 163 mm.",
)

CARDS: tuple[Equation, ...] = (
    SLAUGHTER1988_MALE_TRI_CALF,
    *SLAUGHTER1988_MALE_TRI_SUB,
    SLAUGHTER1988_FEMALE_TRI_CALF,
    SLAUGHTER1988_FEMALE_TRI_SUB,
    *DEURENBERG1990,
    BOILEAU1985_MALE,
    BOILEAU1985_FEMALE,
    DEZENBERG1999_MALE_TRICEPS_WEIGHT,
    DEZENBERG1999_FEMALE_TRICEPS_WEIGHT,
    PEREIRA_FERNANDES_MALE_PUBERTAL,
)
