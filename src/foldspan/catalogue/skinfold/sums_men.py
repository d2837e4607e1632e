"""Generalised skinfold-sum equations for men by Jackson, Pollock and co-workers, 1978 to 1985.

All forms were fitted to the same 308 men, so they are one witness and share one lineage.
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
    "chest_mm": "half",
    "midaxillary_mm": "vertical",
    "triceps_mm": "olecranon",
    "subscapular_mm": "below_tip",
    "abdominal_mm": "vertical_2cm",
    "thigh_mm": "standing",
}
SEVEN_LIMITS = {"age_years": (18, 61), "sum": (32, 250)}

FOUR_LIMITS = {"age_years": (18, 61), "sum": (30, 160)}

THREE = Sum("chest_mm", "abdominal_mm", "thigh_mm")
THREE_SITES = {"chest_mm": "half", "abdominal_mm": "vertical_2cm", "thigh_mm": "standing"}
THREE_LIMITS = {"age_years": (18, 61), "sum": (16, 120)}

YOUNG_MEN = (
    "sum of three with the Siri conversion gives 1.3 points less than DXA in men aged 17 to 35"
    " years (Jackson 2009)"
)
DXA_MEN = "three forms in common use give 3.1 to 3.3 points less than DXA in 160 men (Ball 2004)"
ATHLETES = (
    "three forms of this family show no mean bias in 265 male athletes against underwater"
    " weighing, total error 2.4 to 2.5 points (Sinning 1985)"
)
# Sinning (1985) prints 2.38, 2.51 and 2.53 for three forms; which ones was not seen: the largest
ATHLETES_ERROR = 2.53
LARGE_SUMS = "gives 2.1 points less than DXA in 14 people with obesity (Nevill 2008)"
AMERICAN_INDIAN = (
    "total error 4.55 points in 97 American Indian men against a four-compartment model"
    " (Hicks 2004)"
)
SUPRAILIAC = "Texts differ on the suprailiac skinfold; the anterior axillary line is taken here."
GIRTH_UNIT = (
    "Disputed unit of the girth terms. Centimetres would put the mean man near 2% fat,"
    " metres miss the sample's mean density by 0.003 to 0.004; decimetres are taken here,"
    " deduced from recalled sample means."
)
GIRTH_DIGITS = (
    "All digits agree with an educational page that quotes them; it prints metres, so the dispute"
    " about the unit remains."
)

male_form = partial(
    Equation,
    method="skinfold",
    reference_method="density",
    sex="male",
    n=308,
    population="men of varied build and fitness, mostly white, USA; mean 32.6 years, 17.7%"
    " fat (not verified in print)",
    criterion="underwater weighing, two compartments",
    lineage="jackson_pollock_male",
    where="equation (page not seen)",
)


# Jackson & Pollock (1978) [jackson_pollock1978]. folds: sum of seven skinfolds [mm], age [years]
def jackson_pollock1978_7site(folds: Array, age: Array) -> Array:
    """Body density [g/cm³] from seven skinfolds."""
    return 1.112 - 0.00043499 * folds + 0.00000055 * folds**2 - 0.00028826 * age


JACKSON_POLLOCK1978_MALE_7SITE = male_form(
    key="jackson_pollock1978_male_7site",
    predicts="density",
    inputs=(SEVEN, "age_years"),
    formula=jackson_pollock1978_7site,
    see=0.0078,
    see_unit="density",
    limits=SEVEN_LIMITS,
    sites=SEVEN_SITES,
    source="jackson_pollock1978",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    where="quoted in a university worksheet (page of the paper not seen)",
    athletes_error=ATHLETES_ERROR,
    known_bias=(DXA_MEN, ATHLETES, LARGE_SUMS),
    not_for=("women", "people under 18"),
    note="Returns 1.0590 at the recalled sample means, against 1.0586 in the sample; the parabola"
    " turns at 395 mm. The worksheet prints the age term as 0.0002882, one digit shorter."
    f" {SUPRAILIAC}",
)


# Jackson & Pollock (1978) [jackson_pollock1978]. folds: sum of seven skinfolds [mm], age [years]
def jackson_pollock1978_7site_ln(folds: Array, age: Array) -> Array:
    """Body density [g/cm³] from the natural logarithm of seven skinfolds."""
    return 1.21394 - 0.03101 * np.log(folds) - 0.00029 * age


JACKSON_POLLOCK1978_MALE_7SITE_LN = male_form(
    key="jackson_pollock1978_male_7site_ln",
    predicts="density",
    inputs=(SEVEN, "age_years"),
    formula=jackson_pollock1978_7site_ln,
    see=0.0082,
    see_unit="density",
    limits=SEVEN_LIMITS,
    sites=SEVEN_SITES,
    source="jackson_pollock1978",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    athletes_error=ATHLETES_ERROR,
    known_bias=(DXA_MEN, ATHLETES),
    not_for=("women", "people under 18"),
    note=f"Returns 1.0584 at the recalled sample means, against 1.0586 in the sample. {SUPRAILIAC}",
)


# Jackson & Pollock (1985) [jackson_pollock1985]. folds: sum of four skinfolds [mm], age [years]
def jackson_pollock1985_male_4site(folds: Array, age: Array) -> Array:
    """Body fat [%] from four skinfolds."""
    return 0.29288 * folds - 0.0005 * folds**2 + 0.15845 * age - 5.76377


JACKSON_POLLOCK1985_MALE_4SITE_PCT = male_form(
    key="jackson_pollock1985_male_4site_pct",
    predicts="fat_percent",
    inputs=(Sum("abdominal_mm", "triceps_mm", "thigh_mm", "suprailiac_anterior_mm"), "age_years"),
    formula=jackson_pollock1985_male_4site,
    see=3.49,
    see_unit="fat_percent",
    limits=FOUR_LIMITS,
    sites={"abdominal_mm": "vertical_2cm", "triceps_mm": "olecranon", "thigh_mm": "standing"},
    source="jackson_pollock1985",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    where="quoted on an educational page on sports testing (paper not seen)",
    athletes_error=ATHLETES_ERROR,
    known_bias=(DXA_MEN, ATHLETES, LARGE_SUMS),
    not_for=("women", "people under 18"),
    note=f"Returns fat directly: no conversion from density may follow. {SUPRAILIAC}",
)


# Jackson & Pollock (1978) [jackson_pollock1978]. folds: chest + abdominal + thigh [mm], age [years]
def jackson_pollock1978_3site(folds: Array, age: Array) -> Array:
    """Body density [g/cm³] from three skinfolds."""
    return 1.10938 - 0.0008267 * folds + 0.0000016 * folds**2 - 0.0002574 * age


JACKSON_POLLOCK1978_MALE_3SITE = male_form(
    key="jackson_pollock1978_male_3site",
    predicts="density",
    inputs=(THREE, "age_years"),
    formula=jackson_pollock1978_3site,
    see=0.0077,
    see_unit="density",
    see_note="read rounded, as 0.008",
    limits=THREE_LIMITS,
    sites=THREE_SITES,
    source="jackson_pollock1978",
    where="equation in teaching slides (page of the paper not seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    athletes_error=ATHLETES_ERROR,
    known_bias=(YOUNG_MEN, DXA_MEN, ATHLETES, AMERICAN_INDIAN, LARGE_SUMS),
    not_for=("women", "people under 18", "American Indian men"),
    note="Returns 1.0585 at the recalled sample means, against 1.0586 in the sample; the parabola"
    " turns at 258 mm.",
)


# Jackson & Pollock (1978) [jackson_pollock1978]. folds: chest + abdominal + thigh [mm], age [years]
def jackson_pollock1978_3site_ln(folds: Array, age: Array) -> Array:
    """Body density [g/cm³] from the natural logarithm of three skinfolds."""
    return 1.1886 - 0.03049 * np.log(folds) - 0.00027 * age


JACKSON_POLLOCK1978_MALE_3SITE_LN = male_form(
    key="jackson_pollock1978_male_3site_ln",
    predicts="density",
    inputs=(THREE, "age_years"),
    formula=jackson_pollock1978_3site_ln,
    see=0.0083,
    see_unit="density",
    limits=THREE_LIMITS,
    sites=THREE_SITES,
    source="jackson_pollock1978",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    athletes_error=ATHLETES_ERROR,
    known_bias=(YOUNG_MEN, DXA_MEN, ATHLETES, AMERICAN_INDIAN),
    not_for=("women", "people under 18", "American Indian men"),
    note="Returns 1.0584 at the recalled sample means, against 1.0586 in the sample.",
)


# Pollock, Schmidt & Jackson (1980) [pollock_schmidt_jackson1980].
# folds: chest + triceps + subscapular [mm], age [years]
def pollock_schmidt_jackson1980_3site(folds: Array, age: Array) -> Array:
    """Body density [g/cm³] from three skinfolds of the upper body."""
    return 1.1125025 - 0.0013125 * folds + 0.0000055 * folds**2 - 0.000244 * age


POLLOCK_SCHMIDT_JACKSON1980_MALE_3SITE_CTS = male_form(
    key="pollock_schmidt_jackson1980_male_3site_cts",
    predicts="density",
    inputs=(Sum("chest_mm", "triceps_mm", "subscapular_mm"), "age_years"),
    formula=pollock_schmidt_jackson1980_3site,
    see=0.0082,
    see_unit="density",
    limits=THREE_LIMITS,
    sites={"chest_mm": "half", "triceps_mm": "olecranon", "subscapular_mm": "below_tip"},
    source="pollock_schmidt_jackson1980",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    where="quoted on an educational page on sports testing (paper not seen)",
    athletes_error=ATHLETES_ERROR,
    known_bias=(DXA_MEN, ATHLETES, LARGE_SUMS),
    not_for=("women", "people under 18"),
    note="The quadratic term 0.0000055 belongs to this form; it is sometimes copied onto the sum of"
    " chest, abdominal and thigh, where it is wrong.",
)


# Jackson & Pollock (1985) [jackson_pollock1985].
# folds: abdominal + triceps + suprailiac [mm], age [years]
def jackson_pollock1985_male_3site(folds: Array, age: Array) -> Array:
    """Body fat [%] from three skinfolds."""
    return 0.39287 * folds - 0.00105 * folds**2 + 0.15772 * age - 5.18845


JACKSON_POLLOCK1985_MALE_3SITE_PCT = male_form(
    key="jackson_pollock1985_male_3site_pct",
    predicts="fat_percent",
    inputs=(Sum("abdominal_mm", "triceps_mm", "suprailiac_anterior_mm"), "age_years"),
    formula=jackson_pollock1985_male_3site,
    see=3.63,
    see_unit="fat_percent",
    limits=THREE_LIMITS,
    sites={"abdominal_mm": "vertical_2cm", "triceps_mm": "olecranon"},
    source="jackson_pollock1985",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    athletes_error=ATHLETES_ERROR,
    known_bias=(DXA_MEN, ATHLETES, LARGE_SUMS),
    not_for=("women", "people under 18"),
    note=f"Returns fat directly: no conversion from density may follow. {SUPRAILIAC}",
)


# Jackson & Pollock (1978) [jackson_pollock1978].
# folds: sum of seven skinfolds [mm], age [years], waist and forearm girths [cm, here to dm]
def jackson_pollock1978_7site_girths(
    folds: Array, age: Array, waist: Array, forearm: Array
) -> Array:
    """Body density [g/cm³] from seven skinfolds and two girths."""
    by_folds = 1.101 - 0.0004115 * folds + 0.00000069 * folds**2 - 0.00022631 * age
    return by_folds - 0.0059239 * (waist * 0.1) + 0.0190632 * (forearm * 0.1)


JACKSON_POLLOCK1978_MALE_7SITE_GIRTHS = male_form(
    key="jackson_pollock1978_male_7site_girths",
    predicts="density",
    inputs=(SEVEN, "age_years", "waist_narrowest_cm", "forearm_girth_cm"),
    formula=jackson_pollock1978_7site_girths,
    see=0.0073,
    see_unit="density",
    limits=SEVEN_LIMITS,
    sites=SEVEN_SITES,
    source="jackson_pollock1978",
    status="disputed",
    checked=Checked.FROM_MEMORY,
    known_bias=(DXA_MEN, ATHLETES, LARGE_SUMS),
    not_for=("women", "people under 18"),
    note=f"{GIRTH_UNIT} {SUPRAILIAC}",
)


# Jackson & Pollock (1978) [jackson_pollock1978].
# folds: chest + abdominal + thigh [mm], age [years], waist and forearm girths [cm, here to dm]
def jackson_pollock1978_3site_girths(
    folds: Array, age: Array, waist: Array, forearm: Array
) -> Array:
    """Body density [g/cm³] from three skinfolds and two girths."""
    by_folds = 1.099075 - 0.0008209 * folds + 0.0000026 * folds**2 - 0.0002017 * age
    return by_folds - 0.005675 * (waist * 0.1) + 0.018586 * (forearm * 0.1)


JACKSON_POLLOCK1978_MALE_3SITE_GIRTHS = male_form(
    key="jackson_pollock1978_male_3site_girths",
    predicts="density",
    inputs=(THREE, "age_years", "waist_narrowest_cm", "forearm_girth_cm"),
    formula=jackson_pollock1978_3site_girths,
    see=0.0072,
    see_unit="density",
    limits=THREE_LIMITS,
    sites=THREE_SITES,
    source="jackson_pollock1978",
    status="disputed",
    checked=Checked.FROM_MEMORY,
    known_bias=(DXA_MEN, ATHLETES, LARGE_SUMS),
    not_for=("women", "people under 18"),
    note=f"{GIRTH_UNIT} {GIRTH_DIGITS}",
)


# Jackson & Pollock (1978) [jackson_pollock1978].
# folds: chest + abdominal + thigh [mm], age [years], waist and forearm girths [cm, here to dm]
def jackson_pollock1978_3site_ln_girths(
    folds: Array, age: Array, waist: Array, forearm: Array
) -> Array:
    """Body density [g/cm³] from the natural logarithm of three skinfolds and two girths."""
    by_folds = 1.15737 - 0.02288 * np.log(folds) - 0.00019 * age
    return by_folds - 0.0075 * (waist * 0.1) + 0.0223 * (forearm * 0.1)


JACKSON_POLLOCK1978_MALE_3SITE_LN_GIRTHS = male_form(
    key="jackson_pollock1978_male_3site_ln_girths",
    predicts="density",
    inputs=(THREE, "age_years", "waist_narrowest_cm", "forearm_girth_cm"),
    formula=jackson_pollock1978_3site_ln_girths,
    see=0.0071,
    see_unit="density",
    limits=THREE_LIMITS,
    sites=THREE_SITES,
    source="jackson_pollock1978",
    status="disputed",
    checked=Checked.FROM_MEMORY,
    known_bias=(DXA_MEN, ATHLETES),
    not_for=("women", "people under 18"),
    note=f"{GIRTH_UNIT} This form returns 1.0589 in decimetres, against 1.0586.",
)


# Jackson & Pollock (1978) [jackson_pollock1978].
# folds: sum of seven skinfolds [mm], age [years], waist and forearm girths [cm, here to dm]
def jackson_pollock1978_7site_ln_girths(
    folds: Array, age: Array, waist: Array, forearm: Array
) -> Array:
    """Body density [g/cm³] from the natural logarithm of seven skinfolds and two girths."""
    by_folds = 1.17615 - 0.02394 * np.log(folds) - 0.00022 * age
    return by_folds - 0.007 * (waist * 0.1) + 0.0212 * (forearm * 0.1)


JACKSON_POLLOCK1978_MALE_7SITE_LN_GIRTHS = male_form(
    key="jackson_pollock1978_male_7site_ln_girths",
    predicts="density",
    inputs=(SEVEN, "age_years", "waist_narrowest_cm", "forearm_girth_cm"),
    formula=jackson_pollock1978_7site_ln_girths,
    see=0.0073,
    see_unit="density",
    limits=SEVEN_LIMITS,
    sites=SEVEN_SITES,
    source="jackson_pollock1978",
    status="disputed",
    checked=Checked.FROM_MEMORY,
    known_bias=(DXA_MEN, ATHLETES),
    not_for=("anything but comparison (a recalled digit is doubtful)", "women", "people under 18"),
    note="Kept only for the record: in every unit it misses the sample's mean density by"
    f" 0.0024. {SUPRAILIAC}",
)

CARDS: tuple[Equation, ...] = (
    JACKSON_POLLOCK1978_MALE_7SITE,
    JACKSON_POLLOCK1978_MALE_7SITE_LN,
    JACKSON_POLLOCK1985_MALE_4SITE_PCT,
    JACKSON_POLLOCK1978_MALE_3SITE,
    JACKSON_POLLOCK1978_MALE_3SITE_LN,
    POLLOCK_SCHMIDT_JACKSON1980_MALE_3SITE_CTS,
    JACKSON_POLLOCK1985_MALE_3SITE_PCT,
    JACKSON_POLLOCK1978_MALE_7SITE_GIRTHS,
    JACKSON_POLLOCK1978_MALE_3SITE_GIRTHS,
    JACKSON_POLLOCK1978_MALE_3SITE_LN_GIRTHS,
    JACKSON_POLLOCK1978_MALE_7SITE_LN_GIRTHS,
)
