"""Skinfold equations for young women, built on underwater weighing.

Density in g/cm³ or fat in percent from folds [mm], some with girths and breadths [cm].
"""

from __future__ import annotations

import numpy as np

from foldspan.catalogue.card import Array, Checked, Equation, Sum

_NOT_FOR = ("men", "women outside the ages of the sample")


# Sloan, Burt & Blyth (1962) [sloan_burt_blyth1962]. suprailiac, triceps: skinfolds [mm]
def sloan_burt_blyth1962_women(suprailiac: Array, triceps: Array) -> Array:
    """Body density [g/cm³] of young women from two skinfolds."""
    return 1.0764 - 0.00081 * suprailiac - 0.00088 * triceps


SLOAN_BURT_BLYTH1962_FEMALE = Equation(
    key="sloan_burt_blyth1962_female",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="female",
    inputs=("suprailiac_midaxillary_mm", "triceps_mm"),
    formula=sloan_burt_blyth1962_women,
    see=0.0082,
    see_unit="density",
    limits={"age_years": (17, 25)},
    n=50,
    population="young women, United States",
    criterion="underwater weighing, two compartments",
    lineage="sloan_burt_blyth1962_female",
    source="sloan_burt_blyth1962",
    where="regression equation (page not seen)",
    status="disputed",
    checked=Checked.FROM_MEMORY,
    not_for=_NOT_FOR,
    note=(
        "An educational page quotes the same equation with 0.0008 for the skinfold at the iliac crest;"
        " the fuller 0.00081 is used, and the skinfold in the midaxillary line. The fifth decimal"
        " remains uncertain: about 0.1 points at 25 mm."
    ),
)


# Wilmore & Behnke (1970) [wilmore_behnke1970]. subscapular, triceps, thigh: skinfolds [mm]
def wilmore_behnke1970_women(subscapular: Array, triceps: Array, thigh: Array) -> Array:
    """Body density [g/cm³] of young women from three skinfolds."""
    return 1.06234 - 0.00068 * subscapular - 0.00039 * triceps - 0.00025 * thigh


WILMORE_BEHNKE1970_FEMALE = Equation(
    key="wilmore_behnke1970_female",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="female",
    inputs=("subscapular_mm", "triceps_mm", "thigh_mm"),
    formula=wilmore_behnke1970_women,
    see=0.0071,
    see_unit="density",
    limits={"age_years": (18, 48)},
    n=128,
    population="young women, mean 21.4 years (not verified in print)",
    criterion="underwater weighing, two compartments",
    lineage="wilmore_behnke1970_female",
    source="wilmore_behnke1970",
    where="regression equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    not_for=_NOT_FOR,
)


# Katch & McArdle (1973) [katch_mcardle1973]. subscapular, suprailiac: skinfolds [mm];
# elbow: breadth [cm]; thigh: upper thigh girth [cm]
def katch_mcardle1973_women(
    subscapular: Array, suprailiac: Array, elbow: Array, thigh: Array
) -> Array:
    """Body density [g/cm³] of college women from two skinfolds, elbow breadth and thigh girth."""
    folds = 0.00049 * subscapular + 0.00075 * suprailiac
    return 1.09246 - folds + 0.0071 * elbow - 0.00121 * thigh


KATCH_MCARDLE1973_FEMALE = Equation(
    key="katch_mcardle1973_female",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="female",
    inputs=(
        "subscapular_mm",
        "suprailiac_midaxillary_mm",
        "elbow_breadth_cm",
        "thigh_upper_girth_cm",
    ),
    formula=katch_mcardle1973_women,
    see=0.0086,
    see_unit="density",
    limits={"age_years": (17, 26)},
    n=69,
    population="college women, mean 20.3 years (not verified in print)",
    criterion="underwater weighing, two compartments",
    lineage="katch_mcardle1973_female",
    source="katch_mcardle1973",
    where="regression equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    not_for=_NOT_FOR,
)


# Textbook form [katch_mcardle_textbook]. triceps, subscapular: skinfolds [mm]
def katch_mcardle_textbook_women(triceps: Array, subscapular: Array) -> Array:
    """Body fat [%] of young women from two skinfolds."""
    return 0.55 * triceps + 0.31 * subscapular + 6.13


KATCH_MCARDLE_TEXTBOOK_FEMALE_PCT = Equation(
    key="katch_mcardle_textbook_female_pct",
    method="skinfold",
    predicts="fat_percent",
    reference_method="density",
    sex="female",
    inputs=("triceps_mm", "subscapular_mm"),
    formula=katch_mcardle_textbook_women,
    see=None,
    limits={"age_years": (17, 26)},
    n=None,
    population="young women",
    criterion="underwater weighing, two compartments",
    lineage="katch_mcardle1973_female",
    source="katch_mcardle_textbook",
    where="textbook equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    not_for=_NOT_FOR,
    note="Assumed to be based on the people of the 1973 paper: same authors, same age range."
    " Returns 24.4%, as in a recalled textbook example (triceps 22.5, subscapular 19 mm).",
)


# Nagamine & Suzuki (1964) [nagamine_suzuki1964]. folds: triceps + subscapular [mm]
def nagamine_suzuki1964_women(folds: Array) -> Array:
    """Body density [g/cm³] of young Japanese women from the sum of two skinfolds."""
    return 1.0897 - 0.00133 * folds


NAGAMINE_SUZUKI1964_FEMALE = Equation(
    key="nagamine_suzuki1964_female",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="female",
    inputs=(Sum("triceps_mm", "subscapular_mm"),),
    formula=nagamine_suzuki1964_women,
    see=None,
    limits={"age_years": (18, 23)},
    n=112,
    population="young Japanese women",
    criterion="underwater weighing, two compartments",
    lineage="nagamine_suzuki1964_female",
    ancestry="japanese",
    source="nagamine_suzuki1964",
    where="quoted on two educational pages, in Chinese, that agree (paper not seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(
        "the usual Japanese equations give less than DXA in 139 young women; the difference was"
        " not read (Kagawa 2007)",
    ),
    not_for=(*_NOT_FOR, "people of other ancestry"),
    note="Printed together with the Brozek conversion (brozek1963), not with Siri's.",
)


# Pollock (1975) [pollock1975]. suprailiac, thigh: skinfolds [mm]
def pollock1975_young_women(suprailiac: Array, thigh: Array) -> Array:
    """Body density [g/cm³] of young women from two skinfolds."""
    return 1.0852 - 0.0008 * suprailiac - 0.0011 * thigh


POLLOCK1975_FEMALE_YOUNG = Equation(
    key="pollock1975_female_young",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="female",
    inputs=("suprailiac_anterior_mm", "thigh_mm"),
    formula=pollock1975_young_women,
    see=0.0091,
    see_unit="density",
    limits={"age_years": (18, 22)},
    sites={"thigh_mm": "standing"},
    n=83,
    population="young women, 24.8% fat on average (SD 6.4)",
    criterion="underwater weighing, two compartments",
    lineage="pollock1975_female",
    source="pollock1975",
    where="regression equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    not_for=_NOT_FOR,
)


# Guedes (1985) [guedes1985]. folds: thigh + suprailiac + subscapular [mm]
def guedes1985_women(folds: Array) -> Array:
    """Body density [g/cm³] of female students from the logarithm of three skinfolds."""
    return 1.1665 - 0.07063 * np.log10(folds)


GUEDES1985_FEMALE = Equation(
    key="guedes1985_female",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="female",
    inputs=(Sum("thigh_mm", "suprailiac_midaxillary_mm", "subscapular_mm"),),
    formula=guedes1985_women,
    see=0.0053,
    see_unit="density",
    limits={"age_years": (18, 30)},
    n=96,
    population="Brazilian students",
    criterion="underwater weighing, two compartments",
    lineage="guedes1985_female",
    source="guedes1985",
    where="quoted in a Portuguese textbook of biometry (paper not seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    not_for=_NOT_FOR,
    note="Printed there with r = 0.85 and logarithms to base 10.",
)


# Withers (1987) [withers1987_female_17_35]. folds: triceps + subscapular + supraspinale + thigh
# + abdominal + calf [mm]; hip, forearm: girths [cm]; humerus: elbow breadth [cm]
def withers1987_women_17_35(folds: Array, hip: Array, forearm: Array, humerus: Array) -> Array:
    """Body density [g/cm³] of young women from the logarithm of six skinfolds, girths and elbow."""
    return (
        1.16957 - 0.06447 * np.log10(folds) - 0.00081 * hip + 0.0017 * forearm + 0.00606 * humerus
    )


WITHERS1987_FEMALE_17_35 = Equation(
    key="withers1987_female_17_35",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="female",
    inputs=(
        Sum(
            "triceps_mm",
            "subscapular_mm",
            "supraspinale_mm",
            "thigh_mm",
            "abdominal_mm",
            "calf_mm",
        ),
        "hip_cm",
        "forearm_girth_cm",
        "elbow_breadth_cm",
    ),
    formula=withers1987_women_17_35,
    see=0.00568,
    see_unit="density",
    limits={"age_years": (17, 35)},
    sites={
        "triceps_mm": "radiale",
        "subscapular_mm": "2cm_along",
        "thigh_mm": "seated",
        "abdominal_mm": "vertical_5cm",
    },
    n=135,
    population="South Australian women, a third each sedentary, active and very active;"
    " 10.8-49.2% fat",
    criterion="underwater weighing, two compartments",
    lineage="withers1987_female_17_35",
    source="withers1987_female_17_35",
    where="equation in the abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    not_for=_NOT_FOR,
)


CARDS: tuple[Equation, ...] = (
    SLOAN_BURT_BLYTH1962_FEMALE,
    WILMORE_BEHNKE1970_FEMALE,
    KATCH_MCARDLE1973_FEMALE,
    KATCH_MCARDLE_TEXTBOOK_FEMALE_PCT,
    NAGAMINE_SUZUKI1964_FEMALE,
    POLLOCK1975_FEMALE_YOUNG,
    GUEDES1985_FEMALE,
    WITHERS1987_FEMALE_17_35,
)
