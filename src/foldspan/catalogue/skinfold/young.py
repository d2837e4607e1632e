"""Skinfold equations for young men: students, soldiers and the like.

Density in g/cm³ or fat in percent from folds [mm], most of them against underwater weighing.
"""

from __future__ import annotations

import numpy as np

from foldspan.catalogue.card import Array, Checked, Equation, Sum

_NOT_FOR = ("women", "men outside the ages of the sample")


# Sloan (1967) [sloan1967]. thigh, subscapular: skinfolds [mm]
def sloan1967_men(thigh: Array, subscapular: Array) -> Array:
    """Body density [g/cm³] of young men from two skinfolds."""
    return 1.1043 - 0.001327 * thigh - 0.00131 * subscapular


SLOAN1967_MALE = Equation(
    key="sloan1967_male",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="male",
    inputs=("thigh_mm", "subscapular_mm"),
    formula=sloan1967_men,
    see=0.0067,
    see_unit="density",
    limits={"age_years": (18, 26)},
    n=50,
    population="young white men, South Africa",
    criterion="underwater weighing, two compartments",
    lineage="sloan1967_male",
    source="sloan1967",
    where="quoted on an educational page on sports testing (paper not seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(
        "overestimates by 0.5 points in 265 male athletes against underwater weighing"
        " (Sinning 1985)",
        "held up in 304 Brazilian men against underwater weighing (Petroski and Pires-Neto 1996)",
    ),
    not_for=_NOT_FOR,
    note="The thigh coefficient also circulates rounded to 0.00133.",
)


# Wilmore & Behnke (1969) [wilmore_behnke1969]. abdominal, thigh: skinfolds [mm]
def wilmore_behnke1969_men(abdominal: Array, thigh: Array) -> Array:
    """Body density [g/cm³] of young men from two skinfolds."""
    return 1.08543 - 0.000886 * abdominal - 0.0004 * thigh


WILMORE_BEHNKE1969_MALE = Equation(
    key="wilmore_behnke1969_male",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="male",
    inputs=("abdominal_mm", "thigh_mm"),
    formula=wilmore_behnke1969_men,
    see=0.0076,
    see_unit="density",
    limits={"age_years": (16, 36)},
    n=133,
    population="college men, mean 22 years (not verified in print)",
    criterion="underwater weighing, two compartments",
    lineage="wilmore_behnke1969_male",
    source="wilmore_behnke1969",
    where="regression equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    known_bias=(
        "95% limits of -3.9 to +3.0 points against DXA in 131 male soccer players"
        " (Lopez-Taylor 2018)",
    ),
    not_for=_NOT_FOR,
)


# Katch & McArdle (1973) [katch_mcardle1973]. triceps, subscapular, abdominal: skinfolds [mm]
def katch_mcardle1973_men(triceps: Array, subscapular: Array, abdominal: Array) -> Array:
    """Body density [g/cm³] of college men from three skinfolds."""
    return 1.09665 - 0.00103 * triceps - 0.00056 * subscapular - 0.00054 * abdominal


KATCH_MCARDLE1973_MALE = Equation(
    key="katch_mcardle1973_male",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="male",
    inputs=("triceps_mm", "subscapular_mm", "abdominal_mm"),
    formula=katch_mcardle1973_men,
    see=0.0072,
    see_unit="density",
    limits={"age_years": (17, 26)},
    n=53,
    population="college men, mean 19.3 years (not verified in print)",
    criterion="underwater weighing, two compartments",
    lineage="katch_mcardle1973_male",
    source="katch_mcardle1973",
    where="regression equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    known_bias=(
        "overestimates by 1.3 points in 265 male athletes against underwater weighing"
        " (Sinning 1985)",
    ),
    not_for=_NOT_FOR,
)


# Textbook form [katch_mcardle_textbook]. triceps, subscapular: skinfolds [mm]
def katch_mcardle_textbook_men(triceps: Array, subscapular: Array) -> Array:
    """Body fat [%] of young men from two skinfolds."""
    return 0.43 * triceps + 0.58 * subscapular + 1.47


KATCH_MCARDLE_TEXTBOOK_MALE_PCT = Equation(
    key="katch_mcardle_textbook_male_pct",
    method="skinfold",
    predicts="fat_percent",
    reference_method="density",
    sex="male",
    inputs=("triceps_mm", "subscapular_mm"),
    formula=katch_mcardle_textbook_men,
    see=None,
    limits={"age_years": (17, 26)},
    n=None,
    population="young men",
    criterion="underwater weighing, two compartments",
    lineage="katch_mcardle1973_male",
    source="katch_mcardle_textbook",
    where="textbook equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    not_for=_NOT_FOR,
    note="Assumed to be based on the people of the 1973 paper: same authors, same age range.",
)


# Lohman (1981) [lohman1981]. folds: triceps + subscapular + abdominal [mm]
def lohman1981_men(folds: Array) -> Array:
    """Body density [g/cm³] of young men from the sum of three skinfolds."""
    return 1.0982 - 0.000815 * folds + 0.00000084 * folds**2


LOHMAN1981_MALE = Equation(
    key="lohman1981_male",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="male",
    inputs=(Sum("triceps_mm", "subscapular_mm", "abdominal_mm"),),
    formula=lohman1981_men,
    see=None,
    limits={"age_years": (18, 35)},
    n=61,
    population="young men; later adopted for wrestlers",
    criterion="underwater weighing, two compartments",
    lineage="lohman1981_male",
    source="lohman1981",
    where="linear part quoted in another paper's abstract (page not seen)",
    status="disputed",
    checked=Checked.FROM_MEMORY,
    known_bias=(
        "overestimates by 1.7 points in 265 male athletes against underwater weighing"
        " (Sinning 1985)",
        "with the Brozek conversion 0.3 points low on average in 25 wrestlers against underwater"
        " weighing (Pierce 2003)",
        "total error 2.44-2.59 kg of fat-free mass, the span of the four best equations in"
        " 860 wrestlers (Midwest study 1991)",
    ),
    not_for=_NOT_FOR,
    note="One abstract prints ten times the quadratic coefficient; that would cap fat near"
    " 9.6%, while published means with this equation reach 14.2%, so 0.00000084 is used.",
)


# White, Mayhew & Piper (1980) [white_mayhew_piper1980]. suprailiac, thigh: skinfolds [mm]
def white1980_men(suprailiac: Array, thigh: Array) -> Array:
    """Body density [g/cm³] of college football players from two skinfolds."""
    return 1.0958 - 0.00088 * suprailiac - 0.0006 * thigh


WHITE1980_MALE = Equation(
    key="white1980_male",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="male",
    inputs=("suprailiac_anterior_mm", "thigh_mm"),
    formula=white1980_men,
    see=None,
    limits={"age_years": (18, 23)},
    n=58,
    population="college football players",
    criterion="underwater weighing, two compartments",
    lineage="white1980_male",
    audience="athlete",
    source="white_mayhew_piper1980",
    where="equation quoted in a secondary source (page not seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    not_for=_NOT_FOR,
)


# Pascale (1956) [pascale1956]. midaxillary, chest, triceps: skinfolds [mm] (paper: cm)
def pascale1956_men(midaxillary: Array, chest: Array, triceps: Array) -> Array:
    """Body density [g/cm³] of young soldiers from three skinfolds."""
    return 1.088468 - 0.0007123 * midaxillary - 0.0004834 * chest - 0.0005513 * triceps


PASCALE1956_MALE = Equation(
    key="pascale1956_male",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="male",
    inputs=("midaxillary_mm", "chest_mm", "triceps_mm"),
    formula=pascale1956_men,
    see=None,
    limits={"age_years": (17, 25)},
    n=88,
    population="United States soldiers, mean 22 years (not verified in print)",
    criterion="underwater weighing, two compartments",
    lineage="pascale1956_male",
    source="pascale1956",
    where="regression equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    not_for=_NOT_FOR,
    note="The paper has skinfolds in cm and coefficients ten times as large. Intercept, first"
    " coefficient and unit were seen in a later paper's table; the other two are not verified in print.",
)


# Nagamine & Suzuki (1964) [nagamine_suzuki1964]. folds: triceps + subscapular [mm]
def nagamine_suzuki1964_men(folds: Array) -> Array:
    """Body density [g/cm³] of young Japanese men from the sum of two skinfolds."""
    return 1.0913 - 0.00116 * folds


NAGAMINE_SUZUKI1964_MALE = Equation(
    key="nagamine_suzuki1964_male",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="male",
    inputs=(Sum("triceps_mm", "subscapular_mm"),),
    formula=nagamine_suzuki1964_men,
    see=None,
    limits={"age_years": (18, 27)},
    n=96,
    population="young Japanese men",
    criterion="underwater weighing, two compartments",
    lineage="nagamine_suzuki1964_male",
    ancestry="japanese",
    source="nagamine_suzuki1964",
    where="quoted on two educational pages, in Chinese, that agree (paper not seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(
        "did not agree with DXA in 45 Japanese men aged 18 to 40 in Australia; the difference was not"
        " read (Kagawa 2004)",
    ),
    not_for=(*_NOT_FOR, "people of other ancestry"),
    note="Printed together with the Brozek conversion (brozek1963), not with Siri's.",
)


# Pollock (1976) [pollock1976]. chest, subscapular, thigh: skinfolds [mm]
def pollock1976_young_men(chest: Array, subscapular: Array, thigh: Array) -> Array:
    """Body density [g/cm³] of young men from three skinfolds."""
    return 1.09716 - 0.00065 * chest - 0.00055 * subscapular - 0.0008 * thigh


POLLOCK1976_MALE_YOUNG = Equation(
    key="pollock1976_male_young",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="male",
    inputs=("chest_mm", "subscapular_mm", "thigh_mm"),
    formula=pollock1976_young_men,
    see=0.007,
    see_unit="density",
    limits={"age_years": (18, 22)},
    sites={"chest_mm": "half", "subscapular_mm": "below_tip", "thigh_mm": "standing"},
    n=95,
    population="young men",
    criterion="underwater weighing, two compartments",
    lineage="pollock1976_male",
    source="pollock1976",
    where="regression equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    not_for=_NOT_FOR,
)


# Guedes (1985) [guedes1985]. folds: triceps + suprailiac + abdominal [mm]
def guedes1985_men(folds: Array) -> Array:
    """Body density [g/cm³] of male students from the logarithm of three skinfolds."""
    return 1.17136 - 0.06706 * np.log10(folds)


GUEDES1985_MALE = Equation(
    key="guedes1985_male",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="male",
    inputs=(Sum("triceps_mm", "suprailiac_midaxillary_mm", "abdominal_mm"),),
    formula=guedes1985_men,
    see=0.0057,
    see_unit="density",
    limits={"age_years": (18, 30)},
    n=110,
    population="Brazilian students",
    criterion="underwater weighing, two compartments",
    lineage="guedes1985_male",
    source="guedes1985",
    where="quoted in a Portuguese textbook of biometry (paper not seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(
        "held up in 304 Brazilian men against underwater weighing (Petroski and Pires-Neto 1996)",
    ),
    not_for=_NOT_FOR,
    note="Printed there with r = 0.89 and logarithms to base 10.",
)


# Civar (2006) [civar2006]. triceps, abdominal, biceps: skinfolds [mm]; weight [kg]
def civar2006_men(triceps: Array, abdominal: Array, biceps: Array, weight: Array) -> Array:
    """Body fat [%] of young men from three skinfolds and weight."""
    return 0.432 * triceps + 0.193 * abdominal + 0.364 * biceps + 0.077 * weight - 0.891


CIVAR2006_MALE = Equation(
    key="civar2006_male",
    method="skinfold",
    predicts="fat_percent",
    reference_method="density",
    sex="male",
    inputs=("triceps_mm", "abdominal_mm", "biceps_mm", "weight_kg"),
    formula=civar2006_men,
    see=None,
    limits={"age_years": (18, 27)},
    n=200,
    population="young men, Turkey",
    criterion="underwater weighing",
    lineage="civar2006_male",
    source="civar2006",
    where="regression equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    known_bias=(
        "95% limits of -4.8 to +1.8 points against DXA in 131 male soccer players"
        " (Lopez-Taylor 2018)",
    ),
    not_for=_NOT_FOR,
    note="Only the first coefficient was seen, in a later paper's table; the details of the citation"
    " are uncertain.",
)


CARDS: tuple[Equation, ...] = (
    SLOAN1967_MALE,
    WILMORE_BEHNKE1969_MALE,
    KATCH_MCARDLE1973_MALE,
    KATCH_MCARDLE_TEXTBOOK_MALE_PCT,
    LOHMAN1981_MALE,
    WHITE1980_MALE,
    PASCALE1956_MALE,
    NAGAMINE_SUZUKI1964_MALE,
    POLLOCK1976_MALE_YOUNG,
    GUEDES1985_MALE,
    CIVAR2006_MALE,
)
