"""Second typing of every health limit, by somebody who has not seen the standards of the package.

Typed from the notes on the sources. A limit is written ``>=`` where it is itself in the band above
it, and ``>`` where it is still in the band below. Where a source is silent, ours: ``>=``, but both
ends of a span "a to b" belong to the span. "Seen" says what of the source could be read.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from itertools import product

import numpy as np
import pytest

from foldspan.standards import ALL_STANDARDS
from foldspan.standards.backgrounds import BACKGROUNDS
from foldspan.standards.card import Standard

Ages = tuple[int, int | None]
Span = tuple[float | None, float | None]
BY_KEY = {standard.key: standard for standard in ALL_STANDARDS}
PRIMARY, SECONDARY, MEMORY = "verified, primary", "verified, secondary", "not verified in print"
BMI_CLASSES = "severely_low clearly_low low usual above well_above far_above very_far_above"
IN_SPAN = "below_span in_span above_span"

# Limits computed from the open survey of 2017-18 itself: they are in no publication, so that there
# is nothing to type. They are computed again, apart, in another test.
LEFT_OUT = (
    "nhanes2017_female_20_39",
    "nhanes2017_female_40_59",
    "nhanes2017_male_20_39",
    "nhanes2017_male_40_59",
)


@dataclass(frozen=True)
class Typed:
    """One standard as the second typist read it; ``ages`` are completed years, both included."""

    limits: str
    labels: str
    status: str
    sex: str = "both"
    reference_method: str = ""
    ages: Ages = (18, None)
    bmi: Span = (None, None)

    @property
    def signs(self) -> list[str]:
        """``>=`` or ``>`` of every limit."""
        return [">=" if word.startswith(">=") else ">" for word in self.limits.split()]

    @property
    def printed(self) -> list[Decimal]:
        """The limits with the decimals of the print."""
        return [Decimal(word.lstrip(">=")) for word in self.limits.split()]

    def holds(self, values: np.ndarray) -> np.ndarray:
        """Which band holds which value, (bands, N), every band looked at by itself."""
        signs, limits = self.signs, [float(limit) for limit in self.printed]
        reached = [
            values >= limit if sign == ">=" else values > limit
            for sign, limit in zip(signs, limits, strict=True)
        ]
        everywhere = np.ones(len(values), dtype=bool)
        lower_end = [everywhere, *reached]
        upper_end = [*(~is_reached for is_reached in reached), everywhere]
        return np.array([low & high for low, high in zip(lower_end, upper_end, strict=True)])


TYPED: dict[str, Typed] = {}

# --- Body mass index [kg/m²] --------------------------------------------------------------------
# WHO Technical Report Series 854 (1995) and 894 (2000); table of classes as reproduced. Printed to
# two decimals (18.50-24.99), so the half-open form is ours. WHO starts at 20 years, NICE at 18.
TYPED["who2000_bmi"] = Typed(">=16 >=17 >=18.5 >=25 >=30 >=35 >=40", BMI_CLASSES, SECONDARY)
# NICE CG189 (2022, 2023), kept in NG246 (2025): 23 to 27.4, 27.5 and more, classes 2 and 3 "usually"
# 2.5 lower. Below 18.5 as for everybody; 18.5 to 23 as the usual band is implied, not printed.
TYPED["nice2023_bmi_background"] = Typed(
    ">=16 >=17 >=18.5 >=23 >=27.5 >=32.5 >=37.5", BMI_CLASSES, SECONDARY
)
# WHO expert consultation, Lancet 2004;363:157-163: public-health action points. Abstract seen.
TYPED["who2004_bmi_action_points"] = Typed(
    ">=23.0 >=27.5 >=32.5 >=37.5", "usual above well_above far_above very_far_above", PRIMARY
)
# Winter JE et al. Am J Clin Nutr 2014;99:875-890, from 65 years: watch below 23, risk rises again
# above 33. Abstract seen.
TYPED["winter2014_bmi_older"] = Typed(
    ">=23 >33", "light_for_age usual_for_age heavy_for_age", PRIMARY, ages=(65, None)
)
# WHO growth reference 2007 (de Onis M et al. Bull World Health Organ 2007;85:660-667), field tables
# of body mass index for age at 18:0 and 19:0, z-scores -3, -2, +1, +2. Nothing seen: not verified
# in print. Thinness is below -2, severe thinness below -3, overweight above +1, obesity above +2.
for key, limits in {
    "female_18": ">=14.7 >=16.4 >24.8 >29.5",
    "female_19": ">=14.7 >=16.5 >25.0 >29.7",
    "male_18": ">=15.7 >=17.3 >24.9 >29.2",
    "male_19": ">=15.9 >=17.6 >25.4 >29.7",
}.items():
    sex, year = key.split("_")
    TYPED[f"who2007_growth_{key}"] = Typed(
        limits, "severely_low low usual above well_above", MEMORY, sex, ages=(int(year), int(year))
    )

# --- Waist [cm] and its ratios ------------------------------------------------------------------
# NICE CG189 (2022): 0.4 to 0.49, 0.5 to 0.59, 0.6 or more, below a body mass index of 35; reproduced.
# No class of NICE below 0.4: that one is of Ashwell (Open Obes J 2011;3:78-84).
TYPED["nice2022_waist_to_height"] = Typed(
    ">=0.4 >=0.5 >=0.6",
    "small_for_height under_half half_or_more six_tenths_or_more",
    SECONDARY,
    bmi=(None, 35.0),
)
for sex, raised, high in (("male", 94, 102), ("female", 80, 88)):
    # WHO. Waist circumference and waist-hip ratio: report of an expert consultation, Geneva 2008,
    # with a strict sign; as reproduced.
    TYPED[f"who2008_waist_{sex}"] = Typed(
        f">{raised} >{high}", "below_raised raised high", SECONDARY, sex
    )
    # NHLBI, Clinical Guidelines 1998, table IV-2: up to 102 and 88 is not high; table seen. From a
    # body mass index of 35 the waist changes no class of the table.
    TYPED[f"nhlbi1998_waist_{sex}"] = Typed(
        f">{high}", "below_raised high", PRIMARY, sex, bmi=(None, 35.0)
    )
# IDF consensus definition 2005/2006, waist table as reproduced; men, women. The groups below the
# first three borrow from these "until data exist". Japanese is disputed, and not carried.
for group, man, woman in (
    ("europid", 94, 80),
    ("south_asian", 90, 80),
    ("chinese", 90, 80),
    ("african", 94, 80),
    ("middle_eastern", 94, 80),
    ("latin_american", 90, 80),
):
    for sex, limit in (("male", man), ("female", woman)):
        TYPED[f"idf2006_waist_{sex}_{group}"] = Typed(
            f">={limit}", "below_central central", SECONDARY, sex
        )
# Ardern CI et al. Obes Res 2004;12:1094-1103, waist by class of body mass index; abstract seen. The
# sign is that of the table in Ross R et al. Nat Rev Endocrinol 2020;16:177-189.
for first, span, man, woman in (
    ("18_5", (18.5, 25.0), 90, 80),
    ("25", (25.0, 30.0), 100, 90),
    ("30", (30.0, 35.0), 110, 105),
    ("35", (35.0, None), 125, 115),
):
    for sex, limit in (("male", man), ("female", woman)):
        TYPED[f"ardern2004_waist_{sex}_bmi_{first}"] = Typed(
            f">={limit}", "below_high_for_class high_for_class", PRIMARY, sex, bmi=span
        )
# WHO expert consultation 2008, waist to hip: printed "0.90 or more" and "0.85 or more"; reproduced.
for sex, limit in (("male", "0.90"), ("female", "0.85")):
    TYPED[f"who2008_waist_to_hip_{sex}"] = Typed(f">={limit}", "below_raised high", SECONDARY, sex)

# --- Per cent fat -------------------------------------------------------------------------------
# Gallagher D et al. Am J Clin Nutr 2000;72:694-701: fat at a body mass index of 18.5, 25 and 30, on
# the scale of four compartments. Abstract seen, cells not verified in print: a/b/c with [a,b) the
# match of a healthy weight. Columns: African American, Asian, White. None below 20 years or from 80 on.
GALLAGHER = """
female 20 39   20/32/38  25/35/40  21/33/39
female 40 59   21/34/39  25/36/41  23/35/41
female 60 79   23/35/41  26/36/41  25/38/43
male   20 39    8/20/26  13/23/28   8/21/26
male   40 59    9/22/27  13/24/29  11/23/29
male   60 79   11/23/29  14/24/29  13/25/31
"""
for row in GALLAGHER.strip().splitlines():
    sex, first_year, last_year, *cells = row.split()
    for group, cell in zip(("african_american", "asian", "white"), cells, strict=True):
        TYPED[f"gallagher2000_{sex}_{first_year}_{last_year}_{group}"] = Typed(
            " ".join(f">={limit}" for limit in cell.split("/")),
            "lighter_match healthy_match above_match well_above_match",
            MEMORY,
            sex,
            "density",
            ages=(int(first_year), int(last_year)),
        )
# Potter AW et al. J Clin Endocrinol Metab 2025;110:e1103-e1107: no case below 18 and 30, then 25 and
# 36, then 30 and 42; abstract seen, which leaves the signs open.
for sex, limits in (("male", ">=18 >=25 >=30"), ("female", ">=30 >=36 >=42")):
    TYPED[f"potter2025_{sex}"] = Typed(
        limits, "no_case_seen few_cases risk_clusters risk_common", PRIMARY, sex, "dxa"
    )
# Pasco JA et al. BMC Obes 2014;1:9: fat at a body mass index of 30, by decade, white Australians;
# abstract seen, no sign printed.
PASCO = {
    "male": "27.5 28.1 28.7 29.3 29.9 30.5 31.1",
    "female": "43.4 43.6 43.8 44.0 44.2 44.4 44.6",
}
for sex, row in PASCO.items():
    for decade, limit in zip(range(20, 90, 10), row.split(), strict=True):
        TYPED[f"pasco2014_{sex}_{decade}"] = Typed(
            f">={limit}",
            "below_bmi_30_match bmi_30_match_or_more",
            PRIMARY,
            sex,
            "dxa",
            ages=(decade, decade + 9 if decade < 80 else None),
        )
# Men: Roberts WO. Phys Sportsmed 1998;26(10), college wrestling. Women: Jagim AR et al. J Int Soc
# Sports Nutr 2024;21:2304561, the rule in force. Abstracts seen. The rule for women begins at 14
# years, but no class is given below 18. Checked with skinfolds made for densitometry.
for sex, limit in (("male", 5), ("female", 12)):
    TYPED[f"sport_minimum_{sex}"] = Typed(
        f">={limit}", "below_minimum at_or_above_minimum", PRIMARY, sex, "density"
    )
# Common practice, no source: a "heart-healthy" span for men, 15 to 25.
TYPED["rule_of_thumb_male"] = Typed(
    ">=15 >25", IN_SPAN, "common practice, no source", "male", reference_method="density"
)
# Common gym band, ascribed to the ACSM; nothing seen. Of the time of underwater weighing.
for sex, limits in (("male", ">=10 >22"), ("female", ">=20 >32")):
    TYPED[f"gym_band_{sex}"] = Typed(limits, IN_SPAN, MEMORY, sex, "density")

# --- Fat and lean mass for height [kg/m²], and per cent fat of the same paper --------------------
# Kyle UG et al. Nutrition 2003;19:597-604: closed spans at a body mass index of 18.5 to 25, white
# Swiss of 18 to 98 years, by bioimpedance; abstract seen. The higher fat mass index is disputed.
for key, limits in {
    "percent_male": ">=13.4 >21.7",
    "percent_female": ">=24.6 >33.2",
    "fat_male": ">=1.8 >5.2",
    "fat_female": ">=3.9 >8.2",
    "lean_male": ">=16.7 >19.8",
    "lean_female": ">=14.6 >16.8",
}.items():
    TYPED[f"kyle2003_{key}"] = Typed(
        limits, IN_SPAN, PRIMARY, key.split("_")[1], "bioimpedance", ages=(18, 98)
    )
# Kelly TL et al. PLoS ONE 2009;4:e7038: usual band closed at both ends, classes above it closed at
# their upper ends. Abstract seen, limits not verified in print.
KELLY_CLASSES = (
    "severe_shortage moderate_shortage mild_shortage usual_fat excess class_1 class_2 class_3"
)
for sex, limits in {
    "male": ">=2 >=2.3 >=3 >6 >9 >12 >15",
    "female": ">=3.5 >=4 >=5 >9 >13 >17 >21",
}.items():
    TYPED[f"kelly2009_{sex}"] = Typed(limits, KELLY_CLASSES, MEMORY, sex, "dxa")
# Cederholm T et al. (ESPEN) Clin Nutr 2015;34:335-340: low is below 17 and below 15; abstract seen.
# No scale is printed, the density scale is ours; GLIM (2019) quotes the same for bioimpedance.
for sex, limit in (("male", 17), ("female", 15)):
    TYPED[f"espen2015_lean_{sex}"] = Typed(
        f">={limit}", "low_lean not_low_lean", PRIMARY, sex, "density"
    )

BMIS = (math.nan, 14.0, 18.4, 18.5, 22.0, 24.9, 25.0, 29.9, 30.0, 34.9, 35.0, 42.0)


def test_every_standard_is_typed_twice() -> None:
    assert len(BY_KEY) == len(ALL_STANDARDS)
    assert not set(TYPED) & set(LEFT_OUT)
    assert set(BY_KEY) == set(TYPED) | set(LEFT_OUT)


@pytest.mark.parametrize("key", TYPED)
def test_standard_equals_second_typing(key: str) -> None:
    typed, standard = TYPED[key], BY_KEY[key]
    assert standard.limits == tuple(float(limit) for limit in typed.printed)
    assert [{"above": ">=", "below": ">"}[side] for side in standard.sides()] == typed.signs
    assert standard.labels == tuple(typed.labels.split())
    assert len(set(standard.labels)) == len(standard.labels) == len(standard.limits) + 1
    assert (standard.sex, standard.ages, standard.bmi) == (typed.sex, typed.ages, typed.bmi)
    assert (standard.reference_method, standard.status) == (typed.reference_method, typed.status)


@pytest.mark.parametrize("key", TYPED)
def test_at_just_below_and_just_above_every_limit(key: str) -> None:
    typed, standard = TYPED[key], BY_KEY[key]
    finest = min(Decimal(1).scaleb(int(limit.as_tuple().exponent)) for limit in typed.printed)
    for limit in typed.printed:
        last_digit = Decimal(1).scaleb(int(limit.as_tuple().exponent))
        around = [float(limit + turn * step) for turn in (-1, 1) for step in (last_digit, finest)]
        ulps = [float(np.nextafter(float(limit), end)) for end in (-np.inf, np.inf)]
        values = np.array([float(limit), *ulps, *around])
        held = typed.holds(values)
        assert (held.sum(axis=0) == 1).all()
        expected = held.argmax(axis=0)
        assert standard.place(values).tolist() == expected.tolist()
        labels = typed.labels.split()
        assert [standard.band(value) for value in values] == [labels[band] for band in expected]
        assert expected[2] - expected[1] == 1  # one band further, whatever the side of the limit


@pytest.mark.parametrize("key", BY_KEY)
def test_every_value_is_in_exactly_one_band(key: str) -> None:
    """A grid ten times finer than the finest print at least, from nought to above the last limit."""
    standard = BY_KEY[key]
    grid = np.arange(int(1300 * max(standard.limits))) / 1000
    places = standard.place(grid)
    assert places[0] == 0
    assert places[-1] == len(standard.labels) - 1
    assert set(np.diff(places)) == {0, 1}  # rises, and by one band at a time
    if key in TYPED:
        held = TYPED[key].holds(grid)
        assert (held.sum(axis=0) == 1).all()
        assert (places == held.argmax(axis=0)).all()


@pytest.mark.parametrize("key", TYPED)
def test_covers_the_ages_sexes_and_body_mass_indices_it_names(key: str) -> None:
    typed, standard = TYPED[key], BY_KEY[key]
    (first, last), (low, high) = typed.ages, typed.bmi
    inside = 22.0 if low is None else low + 0.1
    for sex in ("female", "male"):
        is_its_sex = typed.sex in (sex, "both")
        assert standard.covers(sex, first, inside) is is_its_sex
        assert not standard.covers(sex, first - 0.01, inside)
        assert standard.covers(sex, 110.0 if last is None else last + 0.99, inside) is is_its_sex
        assert last is None or not standard.covers(sex, last + 1, inside)
        assert standard.covers(sex, first, math.nan) is (
            is_its_sex and low is None and high is None
        )
        if low is not None:
            assert standard.covers(sex, first, low) is is_its_sex
            assert not standard.covers(sex, first, float(np.nextafter(low, 0.0)))
        if high is not None:
            assert standard.covers(sex, first, float(np.nextafter(high, 0.0))) is is_its_sex
            assert not standard.covers(sex, first, high)


def for_everybody(check: Callable[[list[Standard], str], None]) -> None:
    """Call ``check`` with the shown standards that cover a person, and each family background.

    The level of the waist is no part of who is covered, so that it is not in the grid.
    """
    done: set[tuple[tuple[str, ...], str]] = set()
    for sex, age, bmi in product(("female", "male"), range(18, 96), BMIS):
        covering = [
            standard
            for standard in ALL_STANDARDS
            if standard.is_shown and standard.covers(sex, age, bmi)
        ]
        keys = tuple(standard.key for standard in covering)
        for background in ("", *BACKGROUNDS):
            if (keys, background) not in done:
                check(
                    [standard for standard in covering if background not in standard.not_for],
                    background,
                )
                done.add((keys, background))


def test_no_system_answers_one_person_twice() -> None:
    def check(covering: list[Standard], background: str) -> None:
        theirs = [
            standard
            for standard in covering
            if not standard.backgrounds or background in standard.backgrounds
        ]
        twice = [
            name for name, n in Counter(standard.system for standard in theirs).items() if n > 1
        ]
        assert not twice, f"{background or 'no background stated'}: {twice}"

    for_everybody(check)


def test_averaged_systems_cover_with_exactly_one_row_a_column() -> None:
    columns = {
        name: Counter(standard.backgrounds for standard in ALL_STANDARDS if standard.system == name)
        for name in {standard.system for standard in ALL_STANDARDS if standard.is_averaged}
    }
    assert columns  # Gallagher 2000 at least: three columns, and none for everybody

    def check(covering: list[Standard], background: str) -> None:
        for name in {standard.system for standard in covering} & set(columns):
            rows = Counter(standard.backgrounds for standard in covering if standard.system == name)
            assert rows == dict.fromkeys(columns[name], 1), f"{name}, {background}"

    for_everybody(check)
