"""Generalised skinfold-sum equations for women by Jackson, Pollock and Ward, 1980 to 1985.

All forms were fitted to the same 249 women, so they are one witness and share one lineage.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from foldspan.catalogue.card import Array, Checked, Equation, Sum

SEVEN = Sum(
    "chest_mm",
    "midaxillary_mm",
    "triceps_mm",
    "subscapular_mm",
    "abdominal_mm",
    "suprailiac_anterior_mm",
    "thigh_mm",
)
SEVEN_SITES = {
    "chest_mm": "third",
    "midaxillary_mm": "vertical",
    "triceps_mm": "olecranon",
    "subscapular_mm": "below_tip",
    "abdominal_mm": "vertical_2cm",
    "thigh_mm": "standing",
}
SEVEN_LIMITS = {"age_years": (18, 55), "sum": (44, 250)}

FOUR = Sum("abdominal_mm", "triceps_mm", "thigh_mm", "suprailiac_anterior_mm")
FOUR_SITES = {"abdominal_mm": "vertical_2cm", "triceps_mm": "olecranon", "thigh_mm": "standing"}
FOUR_LIMITS = {"age_years": (18, 55), "sum": (30, 160)}

THREE = Sum("triceps_mm", "suprailiac_anterior_mm", "thigh_mm")
THREE_SITES = {"triceps_mm": "olecranon", "thigh_mm": "standing"}
ABDOMEN_THREE = Sum("triceps_mm", "suprailiac_anterior_mm", "abdominal_mm")
ABDOMEN_THREE_SITES = {"triceps_mm": "olecranon", "abdominal_mm": "vertical_2cm"}
THREE_LIMITS = {"age_years": (18, 55), "sum": (23, 120)}

YOUNG_WOMEN = (
    "sum of three with the Siri conversion gives 3.0 points less than DXA in women aged 17 to"
    " 35 years (Jackson 2009)"
)
WHITE_WOMEN = (
    "an equation of this family gives 6.6 points less than a four-compartment model in white women"
    " (Peterson 2003)"
)
STUDENTS = (
    "the three-skinfold form is 2.6 points off, probably too low, in 30 white women aged about 21"
    " against a three-compartment model (Moon 2007)"
)
ATHLETES = (
    "seven-, four- and three-skinfold forms give 7.7 to 8.6 points less than DXA in 40 women"
    " athletes (abstract on NAIA college athletes, year not recorded)"
)
LATIN_AMERICAN = (
    "an equation of this family gives 26.5%, underwater weighing 31.5%, in Latin American women aged"
    " 18 to 59 (Aristizábal 2018)"
)
SUPRAILIAC = "Texts differ on the suprailiac skinfold; the anterior axillary line is taken here."
GLUTEAL = "hip_cm is the girth at the greatest gluteal protrusion; the form has no age term."
DIRECT = "Returns fat directly: no conversion from density may follow."

female_form = partial(
    Equation,
    method="skinfold",
    reference_method="density",
    sex="female",
    n=249,
    population="women of varied build and fitness, mostly white, USA; mean 31.4 years, 24.1%"
    " fat (not verified in print)",
    criterion="underwater weighing, two compartments",
    lineage="jackson_pollock_female",
    where="equation (page not seen)",
    known_bias=(WHITE_WOMEN, LATIN_AMERICAN, ATHLETES),
    not_for=("men", "people under 18"),
)


# Jackson, Pollock & Ward (1980) [jackson_pollock_ward1980].
# folds: sum of seven skinfolds [mm], age [years]
def jackson_pollock_ward1980_7site(folds: Array, age: Array) -> Array:
    """Body density [g/cm³] from seven skinfolds."""
    return 1.097 - 0.00046971 * folds + 0.00000056 * folds**2 - 0.00012828 * age


JACKSON_POLLOCK_WARD1980_FEMALE_7SITE = female_form(
    key="jackson_pollock_ward1980_female_7site",
    predicts="density",
    inputs=(SEVEN, "age_years"),
    formula=jackson_pollock_ward1980_7site,
    see=0.0083,
    see_unit="density",
    limits=SEVEN_LIMITS,
    sites=SEVEN_SITES,
    source="jackson_pollock_ward1980",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    note=(
        f"Returns 1.0438 at the recalled sample means, against 1.044 in the sample; the parabola"
        f" turns at 419 mm. A university worksheet prints the same digits but 0.00000055 for the"
        f" square, the men's term, which is printed just above it: taken to be a copying error"
        f" (0.07 points at 125 mm). {SUPRAILIAC}"
    ),
)


# Jackson, Pollock & Ward (1980) [jackson_pollock_ward1980].
# folds: sum of seven skinfolds [mm], age [years]
def jackson_pollock_ward1980_7site_ln(folds: Array, age: Array) -> Array:
    """Body density [g/cm³] from the natural logarithm of seven skinfolds."""
    return 1.23173 - 0.03841 * np.log(folds) - 0.00015 * age


JACKSON_POLLOCK_WARD1980_FEMALE_7SITE_LN = female_form(
    key="jackson_pollock_ward1980_female_7site_ln",
    predicts="density",
    inputs=(SEVEN, "age_years"),
    formula=jackson_pollock_ward1980_7site_ln,
    see=0.0084,
    see_unit="density",
    limits=SEVEN_LIMITS,
    sites=SEVEN_SITES,
    source="jackson_pollock_ward1980",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    note=f"Returns 1.0434 at the recalled sample means, against 1.044 in the sample. {SUPRAILIAC}",
)


# Jackson, Pollock & Ward (1980) [jackson_pollock_ward1980].
# folds: sum of seven skinfolds [mm], hip: gluteal girth [cm]
def jackson_pollock_ward1980_7site_gluteal(folds: Array, hip: Array) -> Array:
    """Body density [g/cm³] from seven skinfolds and the gluteal girth."""
    return 1.147 - 0.00042359 * folds + 0.00000061 * folds**2 - 0.000652 * hip


JACKSON_POLLOCK_WARD1980_FEMALE_7SITE_GLUTEAL = female_form(
    key="jackson_pollock_ward1980_female_7site_gluteal",
    predicts="density",
    inputs=(SEVEN, "hip_cm"),
    formula=jackson_pollock_ward1980_7site_gluteal,
    see=0.008,
    see_unit="density",
    limits=SEVEN_LIMITS,
    sites=SEVEN_SITES,
    source="jackson_pollock_ward1980",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    note=f"{GLUTEAL} {SUPRAILIAC}",
)


# Jackson, Pollock & Ward (1980) [jackson_pollock_ward1980].
# folds: sum of seven skinfolds [mm], hip: gluteal girth [cm]
def jackson_pollock_ward1980_7site_ln_gluteal(folds: Array, hip: Array) -> Array:
    """Body density [g/cm³] from the natural logarithm of seven skinfolds and the gluteal girth."""
    return 1.25475 - 0.031 * np.log(folds) - 0.00068 * hip


JACKSON_POLLOCK_WARD1980_FEMALE_7SITE_LN_GLUTEAL = female_form(
    key="jackson_pollock_ward1980_female_7site_ln_gluteal",
    predicts="density",
    inputs=(SEVEN, "hip_cm"),
    formula=jackson_pollock_ward1980_7site_ln_gluteal,
    see=0.008,
    see_unit="density",
    limits=SEVEN_LIMITS,
    sites=SEVEN_SITES,
    source="jackson_pollock_ward1980",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    note=f"{GLUTEAL} {SUPRAILIAC}",
)


# Jackson, Pollock & Ward (1980) [jackson_pollock_ward1980].
# folds: abdominal + triceps + thigh + suprailiac [mm], age [years]
def jackson_pollock_ward1980_4site(folds: Array, age: Array) -> Array:
    """Body density [g/cm³] from four skinfolds."""
    return 1.096095 - 0.0006952 * folds + 0.0000011 * folds**2 - 0.0000714 * age


JACKSON_POLLOCK_WARD1980_FEMALE_4SITE = female_form(
    key="jackson_pollock_ward1980_female_4site",
    predicts="density",
    inputs=(FOUR, "age_years"),
    formula=jackson_pollock_ward1980_4site,
    see=0.0084,
    see_unit="density",
    limits=FOUR_LIMITS,
    sites=FOUR_SITES,
    source="jackson_pollock_ward1980",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    note=SUPRAILIAC,
)


# Jackson, Pollock & Ward (1980) [jackson_pollock_ward1980].
# folds: abdominal + triceps + thigh + suprailiac [mm], hip: gluteal girth [cm]
def jackson_pollock_ward1980_4site_gluteal(folds: Array, hip: Array) -> Array:
    """Body density [g/cm³] from four skinfolds and the gluteal girth."""
    return 1.1443913 - 0.0006523 * folds + 0.0000014 * folds**2 - 0.0006053 * hip


JACKSON_POLLOCK_WARD1980_FEMALE_4SITE_GLUTEAL = female_form(
    key="jackson_pollock_ward1980_female_4site_gluteal",
    predicts="density",
    inputs=(FOUR, "hip_cm"),
    formula=jackson_pollock_ward1980_4site_gluteal,
    see=0.0081,
    see_unit="density",
    limits=FOUR_LIMITS,
    sites=FOUR_SITES,
    source="jackson_pollock_ward1980",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    note=f"{GLUTEAL} {SUPRAILIAC}",
)


# Jackson & Pollock (1985) [jackson_pollock1985].
# folds: abdominal + triceps + thigh + suprailiac [mm], age [years]
def jackson_pollock1985_female_4site(folds: Array, age: Array) -> Array:
    """Body fat [%] from four skinfolds."""
    return 0.29669 * folds - 0.00043 * folds**2 + 0.02963 * age + 1.4072


JACKSON_POLLOCK1985_FEMALE_4SITE_PCT = female_form(
    key="jackson_pollock1985_female_4site_pct",
    predicts="fat_percent",
    inputs=(FOUR, "age_years"),
    formula=jackson_pollock1985_female_4site,
    see=3.89,
    see_unit="fat_percent",
    limits=FOUR_LIMITS,
    sites=FOUR_SITES,
    source="jackson_pollock1985",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    where="quoted on an educational page on sports testing (paper not seen)",
    note=f"{DIRECT} One page on the web calls the result a density: it is not. {SUPRAILIAC}",
)


# Jackson, Pollock & Ward (1980) [jackson_pollock_ward1980].
# folds: triceps + suprailiac + thigh [mm], age [years]
def jackson_pollock_ward1980_3site(folds: Array, age: Array) -> Array:
    """Body density [g/cm³] from three skinfolds."""
    return 1.0994921 - 0.0009929 * folds + 0.0000023 * folds**2 - 0.0001392 * age


JACKSON_POLLOCK_WARD1980_FEMALE_3SITE = female_form(
    key="jackson_pollock_ward1980_female_3site",
    predicts="density",
    inputs=(THREE, "age_years"),
    formula=jackson_pollock_ward1980_3site,
    see=0.0086,
    see_unit="density",
    see_note="read rounded, as 0.009",
    limits=THREE_LIMITS,
    sites=THREE_SITES,
    source="jackson_pollock_ward1980",
    where="equation in teaching slides and in a quoted figure (paper not seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(YOUNG_WOMEN, WHITE_WOMEN, LATIN_AMERICAN, STUDENTS, ATHLETES),
    note=(
        f"The intercept also circulates with two digits swapped (1.0994291); two sources agree on"
        f" the one here, and the difference is 0.03 points. The parabola turns at 216 mm."
        f" {SUPRAILIAC}"
    ),
)


# Jackson, Pollock & Ward (1980) [jackson_pollock_ward1980].
# folds: triceps + suprailiac + thigh [mm], age [years]
def jackson_pollock_ward1980_3site_ln(folds: Array, age: Array) -> Array:
    """Body density [g/cm³] from the natural logarithm of three skinfolds."""
    return 1.21389 - 0.04057 * np.log(folds) - 0.00016 * age


JACKSON_POLLOCK_WARD1980_FEMALE_3SITE_LN = female_form(
    key="jackson_pollock_ward1980_female_3site_ln",
    predicts="density",
    inputs=(THREE, "age_years"),
    formula=jackson_pollock_ward1980_3site_ln,
    see=0.0087,
    see_unit="density",
    limits=THREE_LIMITS,
    sites=THREE_SITES,
    source="jackson_pollock_ward1980",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    known_bias=(YOUNG_WOMEN, WHITE_WOMEN, LATIN_AMERICAN, ATHLETES),
    note=SUPRAILIAC,
)


# Jackson, Pollock & Ward (1980) [jackson_pollock_ward1980].
# folds: triceps + suprailiac + thigh [mm], hip: gluteal girth [cm]
def jackson_pollock_ward1980_3site_gluteal(folds: Array, hip: Array) -> Array:
    """Body density [g/cm³] from three skinfolds and the gluteal girth."""
    return 1.1466399 - 0.00093 * folds + 0.0000028 * folds**2 - 0.0006171 * hip


JACKSON_POLLOCK_WARD1980_FEMALE_3SITE_GLUTEAL = female_form(
    key="jackson_pollock_ward1980_female_3site_gluteal",
    predicts="density",
    inputs=(THREE, "hip_cm"),
    formula=jackson_pollock_ward1980_3site_gluteal,
    see=0.0083,
    see_unit="density",
    limits=THREE_LIMITS,
    sites=THREE_SITES,
    source="jackson_pollock_ward1980",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    note=f"{GLUTEAL} {SUPRAILIAC}",
)


# Jackson & Pollock (1985) [jackson_pollock1985].
# folds: triceps + suprailiac + abdominal [mm], age [years]
def jackson_pollock1985_female_3site_tsa(folds: Array, age: Array) -> Array:
    """Body density [g/cm³] from three skinfolds."""
    return 1.089733 - 0.0009245 * folds + 0.0000025 * folds**2 - 0.0000979 * age


JACKSON_POLLOCK1985_FEMALE_3SITE_TSA = female_form(
    key="jackson_pollock1985_female_3site_tsa",
    predicts="density",
    inputs=(ABDOMEN_THREE, "age_years"),
    formula=jackson_pollock1985_female_3site_tsa,
    see=0.0087,
    see_unit="density",
    limits=THREE_LIMITS,
    sites=ABDOMEN_THREE_SITES,
    source="jackson_pollock1985",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    note=SUPRAILIAC,
)


# Jackson & Pollock (1985) [jackson_pollock1985].
# folds: triceps + suprailiac + abdominal [mm], age [years]
def jackson_pollock1985_female_3site(folds: Array, age: Array) -> Array:
    """Body fat [%] from three skinfolds."""
    return 0.41563 * folds - 0.00112 * folds**2 + 0.03661 * age + 4.03653


JACKSON_POLLOCK1985_FEMALE_3SITE_PCT = female_form(
    key="jackson_pollock1985_female_3site_pct",
    predicts="fat_percent",
    inputs=(ABDOMEN_THREE, "age_years"),
    formula=jackson_pollock1985_female_3site,
    see=3.98,
    see_unit="fat_percent",
    limits=THREE_LIMITS,
    sites=ABDOMEN_THREE_SITES,
    source="jackson_pollock1985",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    where="quoted on an educational page on sports testing (paper not seen)",
    note=f"{DIRECT} {SUPRAILIAC}",
)

CARDS: tuple[Equation, ...] = (
    JACKSON_POLLOCK_WARD1980_FEMALE_7SITE,
    JACKSON_POLLOCK_WARD1980_FEMALE_7SITE_LN,
    JACKSON_POLLOCK_WARD1980_FEMALE_7SITE_GLUTEAL,
    JACKSON_POLLOCK_WARD1980_FEMALE_7SITE_LN_GLUTEAL,
    JACKSON_POLLOCK_WARD1980_FEMALE_4SITE,
    JACKSON_POLLOCK_WARD1980_FEMALE_4SITE_GLUTEAL,
    JACKSON_POLLOCK1985_FEMALE_4SITE_PCT,
    JACKSON_POLLOCK_WARD1980_FEMALE_3SITE,
    JACKSON_POLLOCK_WARD1980_FEMALE_3SITE_LN,
    JACKSON_POLLOCK_WARD1980_FEMALE_3SITE_GLUTEAL,
    JACKSON_POLLOCK1985_FEMALE_3SITE_TSA,
    JACKSON_POLLOCK1985_FEMALE_3SITE_PCT,
)
