"""Skinfold equations for athletes, built on underwater weighing.

Density in g/cm³ from folds [mm], girths [cm], height [cm] and age [years].
"""

from __future__ import annotations

import numpy as np

from foldspan.catalogue.card import Array, Checked, Equation, Sum

_MEN_NOT_FOR = ("women", "men who do not train")
_WOMEN_NOT_FOR = ("men", "women who do not train")
_FORSYTH_SINNING_BIAS = (
    "forms overestimate by 2.4 to 3.8 points in 265 male athletes against underwater"
    " weighing (Sinning 1985)",
)
_DECIMETRES = (
    "The table does not print the unit of height; only decimetres give possible densities, so the"
    " function turns centimetres into decimetres."
)


# Forsyth & Sinning (1973), 2a [forsyth_sinning1973]. subscapular, abdominal: skinfolds [mm]
def forsyth_sinning1973_2site(subscapular: Array, abdominal: Array) -> Array:
    """Body density [g/cm³] of male college athletes from two skinfolds."""
    return 1.103 - 0.00168 * subscapular - 0.00127 * abdominal


FORSYTH_SINNING1973_MALE_2SITE = Equation(
    key="forsyth_sinning1973_male_2site",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="male",
    inputs=("subscapular_mm", "abdominal_mm"),
    formula=forsyth_sinning1973_2site,
    see=0.006,
    see_unit="density",
    limits={"age_years": (19, 22)},
    n=50,
    population="male college athletes",
    criterion="underwater weighing, two compartments",
    lineage="forsyth_sinning_male",
    audience="athlete",
    source="forsyth_sinning1973",
    where="form 2a, quoted in a table of equations (paper page not seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=_FORSYTH_SINNING_BIAS,
    not_for=_MEN_NOT_FOR,
)


# Forsyth & Sinning (1973), 2b [forsyth_sinning1973]. subscapular, abdominal, triceps,
# midaxillary: skinfolds [mm]
def forsyth_sinning1973_4site(
    subscapular: Array, abdominal: Array, triceps: Array, midaxillary: Array
) -> Array:
    """Body density [g/cm³] of male college athletes from four skinfolds."""
    trunk = 1.10647 - 0.00162 * subscapular - 0.00144 * abdominal
    return trunk - 0.00077 * triceps + 0.00071 * midaxillary


FORSYTH_SINNING1973_MALE_4SITE = Equation(
    key="forsyth_sinning1973_male_4site",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="male",
    inputs=("subscapular_mm", "abdominal_mm", "triceps_mm", "midaxillary_mm"),
    formula=forsyth_sinning1973_4site,
    see=0.006,
    see_unit="density",
    limits={"age_years": (19, 22)},
    n=50,
    population="male college athletes",
    criterion="underwater weighing, two compartments",
    lineage="forsyth_sinning_male",
    audience="athlete",
    source="forsyth_sinning1973",
    where="form 2b, quoted in a table of equations (paper page not seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=_FORSYTH_SINNING_BIAS,
    not_for=_MEN_NOT_FOR,
    note=(
        "The plus sign of the midaxillary skinfold is in the source; it offsets the other"
        " skinfolds."
    ),
)


# Forsyth & Sinning (1973), 3a [forsyth_sinning1973]. subscapular, abdominal: skinfolds [mm];
# height [cm], turned into decimetres (0.1 * height), the unit of the paper
def forsyth_sinning1973_2site_ht(subscapular: Array, height: Array, abdominal: Array) -> Array:
    """Body density [g/cm³] of male college athletes from two skinfolds and height."""
    return 1.02415 - 0.00169 * subscapular + 0.00444 * (0.1 * height) - 0.0013 * abdominal


FORSYTH_SINNING1973_MALE_2SITE_HT = Equation(
    key="forsyth_sinning1973_male_2site_ht",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="male",
    inputs=("subscapular_mm", "height_cm", "abdominal_mm"),
    formula=forsyth_sinning1973_2site_ht,
    see=None,
    limits={"age_years": (19, 22)},
    n=50,
    population="male college athletes",
    criterion="underwater weighing, two compartments",
    lineage="forsyth_sinning_male",
    audience="athlete",
    source="forsyth_sinning1973",
    where="form 3a, quoted in a table of equations (paper page not seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=_FORSYTH_SINNING_BIAS,
    not_for=_MEN_NOT_FOR,
    note=_DECIMETRES,
)


# Forsyth & Sinning (1973), 3b [forsyth_sinning1973]. subscapular, abdominal, triceps,
# midaxillary: skinfolds [mm]; height [cm], turned into decimetres (0.1 * height) as above
def forsyth_sinning1973_4site_ht(
    subscapular: Array, height: Array, abdominal: Array, triceps: Array, midaxillary: Array
) -> Array:
    """Body density [g/cm³] of male college athletes from four skinfolds and height."""
    trunk = 1.03316 - 0.00164 * subscapular + 0.0041 * (0.1 * height) - 0.00144 * abdominal
    return trunk - 0.00069 * triceps + 0.00062 * midaxillary


FORSYTH_SINNING1973_MALE_4SITE_HT = Equation(
    key="forsyth_sinning1973_male_4site_ht",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="male",
    inputs=("subscapular_mm", "height_cm", "abdominal_mm", "triceps_mm", "midaxillary_mm"),
    formula=forsyth_sinning1973_4site_ht,
    see=None,
    limits={"age_years": (19, 22)},
    n=50,
    population="male college athletes",
    criterion="underwater weighing, two compartments",
    lineage="forsyth_sinning_male",
    audience="athlete",
    source="forsyth_sinning1973",
    where="form 3b, quoted in a table of equations (paper page not seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=_FORSYTH_SINNING_BIAS,
    not_for=_MEN_NOT_FOR,
    note=_DECIMETRES,
)


# Withers (1987) [withers1987_male_athletes]. folds: abdominal + calf + thigh + chest [mm];
# neck, ankle: girths [cm]; age [years]
def withers1987_male_athletes(folds: Array, neck: Array, age: Array, ankle: Array) -> Array:
    """Body density [g/cm³] of male athletes from four skinfolds, two girths and age."""
    return 1.078865 - 0.000419 * folds + 0.000948 * neck - 0.000266 * age - 0.000564 * ankle


WITHERS1987_MALE_ATHLETES = Equation(
    key="withers1987_male_athletes",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="male",
    inputs=(
        Sum("abdominal_mm", "calf_mm", "thigh_mm", "chest_mm"),
        "neck_cm",
        "age_years",
        "ankle_girth_cm",
    ),
    formula=withers1987_male_athletes,
    see=0.00537,
    see_unit="density",
    limits={"age_years": (15, 40)},
    sites={"abdominal_mm": "vertical_5cm", "thigh_mm": "seated"},
    n=185,
    population="South Australian state-level male athletes, mean 24.2 years and 10.0% fat",
    criterion="underwater weighing, lung volume by helium, two compartments",
    lineage="withers1987_male",
    audience="athlete",
    source="withers1987_male_athletes",
    where="equation in a record of the paper (page not seen)",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(
        "a form from this work had the lowest bias against DXA in 45 male soccer players"
        " (Reilly 2009)",
    ),
    not_for=_MEN_NOT_FOR,
    note="The chest skinfold is taken beside the nipple.",
)


# Withers (1987) data [reilly2009]. folds: triceps + subscapular + biceps + supraspinale
# + abdominal + thigh + calf [mm]
def withers1987_male_7site(folds: Array) -> Array:
    """Body density [g/cm³] of male athletes from the sum of seven skinfolds."""
    return 1.0988 - 0.0004 * folds


WITHERS1987_MALE_7SITE = Equation(
    key="withers1987_male_7site",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="male",
    inputs=(
        Sum(
            "triceps_mm",
            "subscapular_mm",
            "biceps_mm",
            "supraspinale_mm",
            "abdominal_mm",
            "thigh_mm",
            "calf_mm",
        ),
    ),
    formula=withers1987_male_7site,
    see=0.0058,
    see_unit="density",
    see_note="not verified in print",
    limits={"age_years": (15, 40)},
    sites={
        "triceps_mm": "radiale",
        "subscapular_mm": "2cm_along",
        "biceps_mm": "level",
        "abdominal_mm": "vertical_5cm",
        "thigh_mm": "seated",
    },
    n=207,
    population="South Australian male athletes",
    criterion="underwater weighing, two compartments",
    lineage="withers1987_male",
    audience="athlete",
    source="reilly2009",
    where="equation quoted there from the 1987 data (page not seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(
        "a form from this work had the lowest bias against DXA in 45 male soccer players"
        " (Reilly 2009)",
    ),
    not_for=_MEN_NOT_FOR,
)


# Withers (1987) [withers1987_female_athletes]. folds: triceps + subscapular + supraspinale
# + calf [mm]; age [years]; waist (narrowest), hip, breast: girths [cm]; height [cm]
def withers1987_female_athletes(
    folds: Array, age: Array, waist: Array, height: Array, hip: Array, breast: Array
) -> Array:
    """Body density [g/cm³] of female athletes from skinfolds, girths, height and age."""
    start = 1.14075 - 0.04959 * np.log10(folds) + 0.00044 * age
    return start - 0.000612 * waist + 0.000284 * height - 0.000505 * hip + 0.000331 * breast


WITHERS1987_FEMALE_ATHLETES = Equation(
    key="withers1987_female_athletes",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="female",
    inputs=(
        Sum("triceps_mm", "subscapular_mm", "supraspinale_mm", "calf_mm"),
        "age_years",
        "waist_narrowest_cm",
        "height_cm",
        "hip_cm",
        "breast_girth_cm",
    ),
    formula=withers1987_female_athletes,
    see=0.00597,
    see_unit="density",
    limits={"age_years": (11, 41)},
    sites={"triceps_mm": "radiale", "subscapular_mm": "2cm_along"},
    n=182,
    population="South Australian state-level female athletes, 7.6-35.8% fat",
    criterion="underwater weighing, two compartments",
    lineage="withers1987_female_athletes",
    audience="athlete",
    source="withers1987_female_athletes",
    where="equation in the abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    not_for=_WOMEN_NOT_FOR,
    note="The authors call it largely specific to their sample.",
)


CARDS: tuple[Equation, ...] = (
    FORSYTH_SINNING1973_MALE_2SITE,
    FORSYTH_SINNING1973_MALE_4SITE,
    FORSYTH_SINNING1973_MALE_2SITE_HT,
    FORSYTH_SINNING1973_MALE_4SITE_HT,
    WITHERS1987_MALE_ATHLETES,
    WITHERS1987_MALE_7SITE,
    WITHERS1987_FEMALE_ATHLETES,
)
