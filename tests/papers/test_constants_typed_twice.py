"""Second typing of the constants that are not coefficients: bridges, errors, spans and limits.

Numbers were typed from the notes on the sources, by somebody who did not type them in the package
but had seen it. Where the package differs, or holds a number that no source gives, its own number
is repeated in a table apart with what is known, so that no new one can slip in unnoticed.
"""

from __future__ import annotations

import math

import pytest
import scipy

from foldspan.catalogue import EQUATIONS, equation_by_key
from foldspan.cli.printed.explain import FAR_FROM
from foldspan.explanation.decomposition import ORDINARY
from foldspan.external.combine import ALLOWED_MISFIT
from foldspan.protocol.outside_methods import OUTSIDE_BY_KEY
from foldspan.protocol.repeat_rules import tolerance
from foldspan.protocol.technical_error import SLIP_SHARE, TOLERANCE, technical_error
from foldspan.protocol.waist_sites import BRIDGES
from foldspan.quantities import BY_NAME, QUANTITIES, Sex

Span = tuple[float, float]
Edges = tuple[float | None, float | None]
Way = tuple[str, str, Sex]

# Waist at the second site minus waist at the first [cm].
# Hip bone minus midpoint: 2,405 US adults (Ostchega 2021). Navel minus narrowest: 507 adults.
BRIDGE_MEANS: dict[Way, float] = {
    ("waist_midpoint_cm", "waist_iliac_cm", "male"): 0.8,
    ("waist_midpoint_cm", "waist_iliac_cm", "female"): 3.2,
    ("waist_narrowest_cm", "abdomen_navel_cm", "male"): 3.1,
    ("waist_narrowest_cm", "abdomen_navel_cm", "female"): 13.9,
}
# Navel minus narrowest: SD of the same 507. The others: SD beside the smallest mean difference
# among six sites in 119 overweight adults (Pinho 2018), 0.2 cm in men and 0.1 cm in women.
BRIDGE_SPREADS: dict[Way, float] = {
    ("waist_midpoint_cm", "waist_iliac_cm", "male"): 2.7,
    ("waist_midpoint_cm", "waist_iliac_cm", "female"): 3.7,
    ("waist_narrowest_cm", "abdomen_navel_cm", "male"): 4.2,
    ("waist_narrowest_cm", "abdomen_navel_cm", "female"): 5.5,
}
# Hip bone to navel: no source. The package says that a mean of zero is an assumption.
ASSUMED_BRIDGES: dict[Way, tuple[float, float]] = {
    ("waist_iliac_cm", "abdomen_navel_cm", "male"): (0.0, 3.0),
    ("waist_iliac_cm", "abdomen_navel_cm", "female"): (0.0, 4.5),
}

# Share of one reading. Folds: 7.5 % for beginners within and skilled testers between. Waists: 1.4 %
# for one observer (51 adults). Other measures: 1.5 %. Weight: CV 0.66 % between mornings.
SHARES: dict[str, float] = {
    "chest_mm": 0.075,
    "triceps_mm": 0.075,
    "subscapular_mm": 0.075,
    "waist_narrowest_cm": 0.014,
    "waist_midpoint_cm": 0.014,
    "waist_iliac_cm": 0.014,
    "abdomen_navel_cm": 0.014,
    "hip_cm": 0.015,
    "neck_cm": 0.015,
    "elbow_breadth_cm": 0.015,
    "weight_kg": 0.0066,
}
# Lower end of what testers differ by: triceps 0.8-1.89 mm, subscapular 0.88-1.53 mm. Waist: lower
# end of the errors in print, 0.7-15 cm. Neck 0.3-0.5 cm. Weight between mornings: SD 0.51 kg.
FLOORS: dict[str, float] = {
    "triceps_mm": 0.8,
    "subscapular_mm": 0.88,
    "waist_narrowest_cm": 0.7,
    "waist_midpoint_cm": 0.7,
    "waist_iliac_cm": 0.7,
    "abdomen_navel_cm": 0.7,
    "neck_cm": 0.3,
    "weight_kg": 0.51,
}
# No source gives the number itself: quantity -> (floor in the package, what the sources do say).
FLOORS_WITHOUT_SOURCE: dict[str, tuple[float, str]] = {
    "chest_mm": (0.5, "reading step of 0.5 mm is usual; not an error"),
    "elbow_breadth_cm": (0.1, "nothing"),
    "height_cm": (0.5, "repeats 0.9 to 1.7 mm, over 6 mm lost in a day; 0.2 to 0.4 cm acceptable"),
}

# Two readings further apart ask for a third. Girths: expert panel, 12 years and over.
TOLERANCES: dict[str, float] = {"girth": 1.0, "height": 0.5, "mass": 0.2}
# Girths of limbs, neck and wrist: 0.5 cm in the table of sites, or 1 % (ISAK, not verified in
# print) where that is more.
NARROW_TOLERANCES: dict[str, float] = {
    "neck_cm": 0.5,
    "thigh_upper_girth_cm": 0.5,
    "thigh_mid_girth_cm": 0.5,
    "calf_girth_cm": 0.5,
    "arm_relaxed_girth_cm": 0.5,
    "arm_flexed_girth_cm": 0.5,
    "forearm_girth_cm": 0.5,
    "wrist_girth_cm": 0.5,
    "ankle_girth_cm": 0.5,
}
# Kind -> (package, what the sources say, the package's own reason).
TOLERANCE_DEPARTURES: dict[str, tuple[float, str, str]] = {
    "skinfold": (2.0, "1 mm or 10 %; 1 to 2 mm in one school", "common practice, no source"),
    "breadth": (0.2, "nothing", "expert judgement"),
    "age": (0.0, "nothing", "from the calendar"),
}

# Outside these a value is rare and asked back: name -> (women, men).
PLAUSIBLE: dict[str, tuple[Span, Span]] = {
    "weight_kg": ((38, 190), (44, 190)),
    "height_cm": ((139, 185), (150, 198)),
    "chest_mm": ((3, 45), (3, 50)),
    "midaxillary_mm": ((3, 50), (3, 55)),
    "triceps_mm": ((5, 55), (3, 42)),
    "biceps_mm": ((2, 38), (2, 28)),
    "subscapular_mm": ((4, 60), (4, 55)),
    "abdominal_mm": ((4, 75), (4, 75)),
    "suprailiac_anterior_mm": ((3, 60), (3, 60)),
    "suprailiac_midaxillary_mm": ((3, 60), (3, 60)),
    "supraspinale_mm": ((3, 55), (3, 50)),
    "thigh_mm": ((6, 75), (4, 65)),
    "calf_mm": ((3, 50), (2, 40)),
    "neck_cm": ((27, 45), (32, 52)),
    "chest_girth_cm": ((68, 150), (78, 150)),
    "waist_narrowest_cm": ((55, 160), (62, 160)),
    "waist_midpoint_cm": ((60, 165), (63, 165)),
    "waist_iliac_cm": ((63, 168), (64, 165)),
    "abdomen_navel_cm": ((60, 168), (64, 165)),
    "hip_cm": ((78, 170), (78, 155)),
    "thigh_upper_girth_cm": ((43, 95), (43, 92)),
    "thigh_mid_girth_cm": ((35, 82), (35, 80)),
    "calf_girth_cm": ((27, 55), (28, 55)),
    "ankle_girth_cm": ((17, 31), (18.5, 31)),
    "arm_relaxed_girth_cm": ((20, 54), (22, 52)),
    "arm_flexed_girth_cm": ((21, 52), (25, 54)),
    "forearm_girth_cm": ((18, 38), (21, 42)),
    "wrist_girth_cm": ((12.5, 20), (14.5, 22)),
}
# Outside these a value is refused. Every fold: 1.5 mm to the widest scale in common use, 80 mm.
FOLD_POSSIBLE: Span = (1.5, 80)
POSSIBLE: dict[str, tuple[Span, Span]] = {
    "weight_kg": ((25, 400), (25, 400)),
    "height_cm": ((90, 250), (90, 250)),
    "neck_cm": ((20, 70), (22, 75)),
    "chest_girth_cm": ((50, 220), (55, 220)),
    "waist_narrowest_cm": ((40, 220), (45, 220)),
    "waist_midpoint_cm": ((40, 220), (45, 220)),
    "waist_iliac_cm": ((40, 220), (45, 220)),
    "abdomen_navel_cm": ((40, 220), (45, 220)),
    "hip_cm": ((55, 230), (55, 230)),
    "thigh_upper_girth_cm": ((28, 130), (28, 130)),
    "thigh_mid_girth_cm": ((22, 120), (22, 120)),
    "calf_girth_cm": ((18, 80), (18, 80)),
    "ankle_girth_cm": ((12, 45), (12, 45)),
    "arm_relaxed_girth_cm": ((14, 80), (14, 80)),
    "arm_flexed_girth_cm": ((15, 80), (15, 80)),
    "forearm_girth_cm": ((12, 55), (12, 60)),
    "wrist_girth_cm": ((9, 28), (10, 30)),
}
# Spans of the package that differ from the table of sites: name -> reason in the package. None do.
DEPARTURES: dict[str, str] = {}
# Spans of the package for which the table of sites has no row -> the package's reason for its own.
SPANS_WITHOUT_SOURCE: dict[str, str] = {
    "age_years": "none given",
    "chin_mm": "our own proposal",
    "breast_girth_cm": "none given",
    "knee_girth_cm": "our own proposal",
    "elbow_breadth_cm": "our own proposal",
    "knee_breadth_cm": "our own proposal",
    "wrist_breadth_cm": "our own proposal",
}

# Limits of the cards, as far as a source states them; None is an edge that no source states.
# Lowest sums: 0.1st percentile of the development samples, 308 men and 249 women. Sums of three
# above 120 mm are questionable (Nevill 2008). Peterson: where the curve turns, see the test of it.
LIMITS: dict[str, dict[str, Edges]] = {
    "jackson_pollock1978_male_7site": {"sum": (32, None)},
    "jackson_pollock1978_male_7site_ln": {"sum": (32, None)},
    "jackson_pollock1978_male_7site_girths": {"sum": (32, None)},
    "jackson_pollock1978_male_7site_ln_girths": {"sum": (32, None)},
    "jackson_pollock1978_male_3site": {"sum": (16, 120)},
    "jackson_pollock1978_male_3site_ln": {"sum": (16, None)},
    "jackson_pollock1978_male_3site_girths": {"sum": (16, 120)},
    "jackson_pollock1978_male_3site_ln_girths": {"sum": (16, None)},
    "pollock_schmidt_jackson1980_male_3site_cts": {"sum": (None, 120)},
    "jackson_pollock1985_male_3site_pct": {"sum": (None, 120)},
    "jackson_pollock_ward1980_female_7site": {"sum": (44, None)},
    "jackson_pollock_ward1980_female_7site_ln": {"sum": (44, None)},
    "jackson_pollock_ward1980_female_7site_gluteal": {"sum": (44, None)},
    "jackson_pollock_ward1980_female_7site_ln_gluteal": {"sum": (44, None)},
    "jackson_pollock_ward1980_female_3site": {"sum": (23, 120)},
    "jackson_pollock_ward1980_female_3site_ln": {"sum": (23, None)},
    "jackson_pollock_ward1980_female_3site_gluteal": {"sum": (23, 120)},
    "jackson_pollock1985_female_3site_tsa": {"sum": (None, 120)},
    "jackson_pollock1985_female_3site_pct": {"sum": (None, 120)},
    "peterson2003_male": {"sum": (None, 134)},
    "weltman1987_male_obese": {"bmi": (30, None)},
    "deurenberg1991_both_bmi": {"bmi": (13.9, 40.9)},
    "gallagher2000_both_bmi": {"bmi": (None, 35)},
    "gallagher2000_both_bmi_ancestry": {"bmi": (None, 35)},
    "jackson2002_female_bmi": {"bmi": (None, 40)},
    "al_gindan2015_male_waist": {"bmi": (15.7, 40.8)},
    "al_gindan2015_female_weight_height": {"bmi": (15.7, 40.8)},
}
# Limits of the package for which no source states either edge: key -> (name, what is known).
_FOUR = "sum of four: no span of the sample"
_GLASGOW = "fat of the sample is stated, not its sum of four"
LIMITS_WITHOUT_SOURCE: dict[str, tuple[str, str]] = {
    "jackson_pollock1985_male_4site_pct": ("sum", _FOUR),
    "jackson_pollock_ward1980_female_4site": ("sum", _FOUR),
    "jackson_pollock_ward1980_female_4site_gluteal": ("sum", _FOUR),
    "jackson_pollock1985_female_4site_pct": ("sum", _FOUR),
    "durnin_womersley1974_male_4site": ("sum", _GLASGOW),
    "durnin_womersley1974_male_4site_all_ages": ("sum", _GLASGOW),
    "durnin_womersley1974_female_4site": ("sum", _GLASGOW),
    "durnin_womersley1974_female_4site_all_ages": ("sum", _GLASGOW),
    "lean1996_male_log4": ("sum", "nothing"),
    "lean1996_female_log4": ("sum", "nothing"),
    "peterson2003_female": ("sum", "only the curve itself: it turns at 155 mm"),
    "weltman1988_female_obese": ("bmi", "above 30 % fat; the gate by BMI is stated for men"),
    "deurenberg1991_youth_bmi": ("bmi", "span of the whole sample, adults included"),
    "jackson2002_male_bmi": ("bmi", "the curve is highest at 47; a span is not stated"),
}
# Turning points of quadratic sums: (linear, quadratic) as printed, and where the curve turns [mm].
TURNS: dict[str, tuple[float, float, int]] = {
    "peterson2003_male": (0.42696, 0.00159, 134),
    "peterson2003_female": (0.30919, 0.00099562, 155),
}


def bridges() -> dict[Way, tuple[float, float]]:
    """Give the rows of the package as (measured, wanted, sex) -> (difference, spread)."""
    return {(row.measured, row.wanted, row.sex): (row.difference, row.spread) for row in BRIDGES}


@pytest.mark.parametrize("way", sorted(BRIDGE_MEANS))
def test_bridge_equals_second_typing(way: Way) -> None:
    """A bridge has the typed mean and spread, and the way back has the opposite sign."""
    measured, wanted, sex = way
    mean, spread = BRIDGE_MEANS[way], BRIDGE_SPREADS[way]
    assert bridges()[way] == (mean, spread)
    assert bridges()[wanted, measured, sex] == (-mean, spread)


@pytest.mark.parametrize("sex", ["female", "male"])
def test_bridge_from_midpoint_to_navel_is_two_bridges(sex: Sex) -> None:
    """The means add up and the spreads add in quadrature, to the digit that is given."""
    first = ("waist_midpoint_cm", "waist_iliac_cm", sex)
    zero, wide = ASSUMED_BRIDGES["waist_iliac_cm", "abdomen_navel_cm", sex]
    mean, spread = bridges()["waist_midpoint_cm", "abdomen_navel_cm", sex]
    assert mean == BRIDGE_MEANS[first] + zero
    assert spread == round(math.hypot(BRIDGE_SPREADS[first], wide), 1)
    assert bridges()["abdomen_navel_cm", "waist_midpoint_cm", sex] == (-mean, spread)


def test_no_bridge_without_a_row_here() -> None:
    """Every bridge of the package is typed, derived or named as an assumption."""
    ways = {*BRIDGE_MEANS, *ASSUMED_BRIDGES}
    ways |= {("waist_midpoint_cm", "abdomen_navel_cm", sex) for sex in ("female", "male")}
    assert set(bridges()) == ways | {(wanted, measured, sex) for measured, wanted, sex in ways}
    assert {way: bridges()[way] for way in ASSUMED_BRIDGES} == ASSUMED_BRIDGES


@pytest.mark.parametrize("name", sorted(SHARES))
def test_share_equals_second_typing(name: str) -> None:
    """The relative part of the technical error is the typed one."""
    assert technical_error(name).share == SHARES[name]


@pytest.mark.parametrize("name", sorted(FLOORS))
def test_floor_equals_second_typing(name: str) -> None:
    """The smallest technical error is the typed one, to the tenth that the package keeps."""
    assert technical_error(name).floor == round(FLOORS[name], 1)


@pytest.mark.parametrize("name", sorted(FLOORS_WITHOUT_SOURCE))
def test_floor_without_source_is_unchanged(name: str) -> None:
    """A floor that no source gives stays what was reviewed."""
    assert technical_error(name).floor == FLOORS_WITHOUT_SOURCE[name][0]


def test_height_has_no_share_and_age_no_error() -> None:
    """Errors of height are given in length only, and age is read from the calendar."""
    assert technical_error("height_cm").share == 0.0
    assert (technical_error("age_years").share, technical_error("age_years").floor) == (0.0, 0.0)


def test_tolerances_equal_second_typing() -> None:
    """Tolerances are the typed ones, or stand among the departures with a reason."""
    departures = {kind: reason[0] for kind, reason in TOLERANCE_DEPARTURES.items()}
    assert TOLERANCES | departures == TOLERANCE


@pytest.mark.parametrize("name", sorted(NARROW_TOLERANCES))
def test_narrow_girths_have_the_room_typed(name: str) -> None:
    """Up to 50 cm it is the number typed; 1 % is more only beyond."""
    assert tolerance(name, 38.0) == NARROW_TOLERANCES[name]


def test_share_of_a_slip() -> None:
    """A fold that moved by more than 40 % since the last visit is asked back."""
    assert SLIP_SHARE == 0.40


@pytest.mark.parametrize("name", sorted(PLAUSIBLE))
def test_plausible_span_equals_second_typing(name: str) -> None:
    """The span that asks back is that of the table of sites, for women and for men."""
    given = (BY_NAME[name].plausible_female, BY_NAME[name].plausible_male)
    assert (given == PLAUSIBLE[name]) is (name not in DEPARTURES), given


@pytest.mark.parametrize("name", sorted(PLAUSIBLE))
def test_possible_span_equals_second_typing(name: str) -> None:
    """The span that refuses is that of the table of sites, for women and for men."""
    typed = (FOLD_POSSIBLE, FOLD_POSSIBLE) if name.endswith("_mm") else POSSIBLE[name]
    assert (BY_NAME[name].possible_female, BY_NAME[name].possible_male) == typed


def test_no_span_without_a_row_here() -> None:
    """Every quantity has a typed span or is named as one without a source."""
    assert {quantity.name for quantity in QUANTITIES} == {*PLAUSIBLE, *SPANS_WITHOUT_SOURCE}


@pytest.mark.parametrize("key", sorted(LIMITS))
def test_limits_equal_second_typing(key: str) -> None:
    """Every edge that a source states is the edge on the card."""
    for name, typed in LIMITS[key].items():
        given = equation_by_key(key).limits[name]
        stated = [edge is None or edge == card for edge, card in zip(typed, given, strict=True)]
        assert all(stated), (name, given, typed)


@pytest.mark.parametrize("key", sorted(TURNS))
def test_sum_ends_where_the_curve_turns(key: str) -> None:
    """The highest sum is the turning point of the printed quadratic, in whole millimetres."""
    linear, quadratic, turn = TURNS[key]
    assert round(linear / (2 * quadratic)) == turn
    assert equation_by_key(key).limits["sum"][1] == turn


def test_no_limit_without_a_row_here() -> None:
    """Every limit on a sum or on BMI is typed or named as one without a source."""
    found = {(card.key, name) for card in EQUATIONS for name in {"sum", "bmi"} & set(card.limits)}
    typed = {(key, name) for key, names in LIMITS.items() for name in names}
    assert found == typed | {(key, name) for key, (name, _) in LIMITS_WITHOUT_SOURCE.items()}


# outside results and quantiles -------------------------------------------------------------------------

# skinfold-equations, section on cross-validation: Moon 2008, air displacement SEE 2.42 and underwater
# weighing SEE 2.44; Moon 2007, total errors 2.3 and 2.4; all in points of fat against three compartments
MOON_2007_2008 = {"underwater_weighing": 2.4, "air_displacement": 2.4}
# health-ranges, section 8: DXA repeats with a standard error of measurement of 0.55 points
DXA_REPEATS = 0.55


def test_errors_of_methods_from_elsewhere() -> None:
    """Moon (2007, 2008) to one decimal; DXA not below what it repeats to."""
    for key, error in MOON_2007_2008.items():
        assert OUTSIDE_BY_KEY[key].error == error
        assert OUTSIDE_BY_KEY[key].reference_method == "density"
        assert OUTSIDE_BY_KEY[key].status == "verified"
    assert OUTSIDE_BY_KEY["dxa"].error > DXA_REPEATS
    assert OUTSIDE_BY_KEY["dxa"].reference_method == "dxa"


def test_quantiles_are_those_of_the_reference_library() -> None:
    """scipy.stats: chi-square at .90, normal at .95 and .995, to the digits that are typed."""
    for dof, quantile in enumerate(ALLOWED_MISFIT, start=1):
        assert quantile == pytest.approx(scipy.stats.chi2.ppf(0.90, dof), abs=5.1e-4)
    assert pytest.approx(scipy.stats.norm.ppf(0.95), abs=5.1e-4) == ORDINARY
    assert pytest.approx(scipy.stats.norm.ppf(0.995), abs=5.1e-4) == FAR_FROM
