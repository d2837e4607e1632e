"""Second typing of the limits in the referral rules, by somebody who had not seen the module.

Typed from the notes on the sources. "Seen" says what of a source could be read. ">" means that the
limit itself does not count, ">=" that it does; "ours" that no source prints the number.

Not typed, as no source has a number for them: how sure a flag must be (``SURE_AT``, ``RAISED_AT``,
``LOW_FAT_AT``), the slack in days (``DAYS_EITHER_WAY``), the loss that counts beside a low weight
(``SOME_LOSS``, ``SOME_MONTHS``) and the age of expected stopped periods (``PERIODS_AGE``).
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from foldspan import quantities
from foldspan.standards import STANDARD_BY_KEY, referral_rules
from foldspan.standards.growth_thinness import THINNESS, thin_below

# Upper end of the range of per cent fat: below 6 in men, below 14 in women. Ours: the 12 % rule of
# Jagim AR et al. (J Int Soc Sports Nutr 2024;21:2304561) and about two points of error of skinfolds;
# for men the measured floor of Friedl KE et al. (J Appl Physiol 1994;77:933-940), 4 to 6 %.
NEAR_LEAST_FAT = {"male": 6, "female": 14}

# Unplanned loss: per cent of weight, and the months it took at most. The notes bid to use the
# strictest of the windows in print, that is for each loss the longest time in which it counts.
SOON_WINDOWS = (
    # GLIM, Cederholm T et al. Clin Nutr 2019, table 3 (seen): > 5 % within 6 months, or > 10 % beyond
    # 6 months, with no end printed.
    (5.0, 6.0),
    (10.0, math.inf),
    # ESPEN, Cederholm T et al. Clin Nutr 2015;34:335-340, abstract seen: > 5 % in 3 months, or > 10 %
    # over any time.
    (5.0, 3.0),
    (10.0, math.inf),
    # MUST (BAPEN), scores as reproduced: 5 to 10 % in 3 to 6 months is one point.
    (5.0, 6.0),
    # Clinical summaries (AAFP 2021;104:34-40), as reproduced: work-up from >= 5 % in 6 to 12 months.
    (5.0, 12.0),
)
FAST_WINDOWS = (
    # US CMS care-home item (LOINC 54863-6, its name seen): >= 5 % in 1 month or >= 10 % in 6 months.
    (5.0, 1.0),
    (10.0, 6.0),
    # MUST, as above: > 10 % in 3 to 6 months is two points.
    (10.0, 6.0),
)

SINGLE = {
    # US school-wrestling cap (NFHS), in Altom KR & Moon JR. Int J Kinanthropometry 2025;5(1):95-105,
    # abstract seen: > 1.5 % of weight a week.
    "PLANNED_LOSS_A_WEEK": 1.5,
    # GLIM 2019, table 3, prints "< 70" and "> 70"; from 70 on is ours.
    "ILLNESS_AGE": 70.0,
    # 65 and over, with a high body mass index or waist and a sign of poor muscle: Donini LM et al.
    # (ESPEN and EASO) Obes Facts 2022;15:321-335, the rule seen, the age as in the notes.
    "MUSCLE_AGE": 65.0,
    # grip and calf: age_min of the rows grip_ewg_*, grip_awgs_* and calf_awgs_* of the notes
    "GRIP_AGE": 60.0,
    # Winter JE et al. Am J Clin Nutr 2014;99:875-890, abstract seen: from 65 years on the death risk at
    # 20.0 to 20.9 is 19 % above that at 23.0 to 23.9; that a flag is raised below 21 is ours.
    "OLDER_LIGHT_BMI": 21.0,
    # Ours: below 20 from 70 years on (GLIM 2019 counts below 22 there, with a cause).
    "OLDER_LOW_BMI": 20.0,
    # Not verified in print: a whole leg makes 16 % of the weight of the body.
    "LARGEST_LIMB": 0.16,
    # Ours, both: 3 cm of height lost, from 50 years on.
    "HEIGHT_LOST": 3.0,
    "HEIGHT_AGE": 50.0,
    # NICE (CG189): adult classes from 18 years on, as reproduced.
    "ADULT_AGE": 18.0,
    # Ours, both: no source prints a wait after a birth (6 months) or an operation (3 months).
    "MONTHS_AFTER_BIRTH": 6.0,
    "MONTHS_AFTER_SURGERY": 3.0,
    # Arithmetic: 365.25 days are 12 months, 7 days a week.
    "WEEKS_A_MONTH": 365.25 / 12 / 7,
}
PAIRS = {
    # GLIM 2019, table 3 (seen): below 20 under 70 years, below 22 from 70; Asia below 18.5 and 20.
    "ILLNESS_BMI": (20.0, 22.0),
    "ILLNESS_BMI_ASIAN": (18.5, 20.0),
    # NICE NG136, mmHg: >= 140/90 not verified in print; >= 180/120 seen as reproduced.
    "RAISED_PRESSURE": (140.0, 90.0),
    "VERY_HIGH_PRESSURE": (180.0, 120.0),
}
BY_SEX = {
    # EWGSOP2, Cruz-Jentoft AJ et al. Age Ageing 2019;48:16-31, as reproduced: below, in kg.
    "WEAK_GRIP": {"male": 27, "female": 16},
    # AWGS 2019, as reproduced: grip below, in kg; calf below, in cm.
    "WEAK_GRIP_ASIAN": {"male": 28, "female": 18},
    "SMALL_CALF_ASIAN": {"male": 34, "female": 33},
    "NEAR_LEAST_FAT": NEAR_LEAST_FAT,
    # The athletes of Telford RD & Cunningham RB (Med Sci Sports Exerc 1991;23:788-794), open table,
    # fifth centile of the sum of folds of 102 men and 100 women; counted again in tests/open_data.
    "LEAN_FOLDS": {"male": 30.9, "female": 42.3},
}


# WHO growth reference of 2007, body mass index at -3 and -2 standard deviations on each birthday. From
# memory, both times: no table of it could be read.
GIRLS = (
    "5 11.8 12.7; 6 11.7 12.7; 7 11.8 12.7; 8 11.9 12.9; 9 12.1 13.1; 10 12.4 13.5; 11 12.8 13.9;"
    " 12 13.2 14.4; 13 13.6 14.9; 14 14.0 15.4; 15 14.4 15.9; 16 14.6 16.2; 17 14.7 16.4; 18 14.7 16.4"
)
BOYS = (
    "5 12.1 13.0; 6 12.1 13.0; 7 12.3 13.1; 8 12.4 13.3; 9 12.6 13.5; 10 12.8 13.7; 11 13.1 14.1;"
    " 12 13.4 14.5; 13 13.8 14.9; 14 14.3 15.5; 15 14.7 16.0; 16 15.1 16.5; 17 15.4 16.9; 18 15.7 17.3"
)


@pytest.mark.parametrize(("sex", "typed"), [("female", GIRLS), ("male", BOYS)])
def test_thinness_for_age_equals_second_typing(sex: str, typed: str) -> None:
    rows = [list(map(float, row.split())) for row in typed.split(";")]
    assert {int(age): (severe, thin) for age, severe, thin in rows} == THINNESS[sex]
    # it meets the rows for 18 years that are shown to young adults
    assert THINNESS[sex][18] == STANDARD_BY_KEY[f"who2007_growth_{sex}_18"].limits[:2]


def test_thinness_between_birthdays_and_where_sex_or_age_are_not_known() -> None:
    severe, thin = thin_below("female", np.array([10.5, 2.0, np.nan]))
    assert severe[:2].tolist() == pytest.approx([12.6, 11.8])
    assert thin[:2].tolist() == pytest.approx([13.7, 12.7])
    assert np.isnan(severe[2])
    higher = [thin_below(sex, np.array([17.0]))[0][0] for sex in ("female", "male", "")]
    assert higher == [14.7, 15.4, 15.4]


@pytest.mark.parametrize("name", SINGLE)
def test_single_limit_equals_second_typing(name: str) -> None:
    kept_in = quantities if name == "WEEKS_A_MONTH" else referral_rules
    assert getattr(kept_in, name) == pytest.approx(
        SINGLE[name], rel=0.002 if "WEEKS" in name else 0
    )


@pytest.mark.parametrize("name", PAIRS)
def test_pair_of_limits_equals_second_typing(name: str) -> None:
    assert getattr(referral_rules, name) == PAIRS[name]


@pytest.mark.parametrize("name", BY_SEX)
def test_limits_by_sex_equal_second_typing(name: str) -> None:
    assert getattr(referral_rules, name) == BY_SEX[name]


@pytest.mark.parametrize(
    ("kept", "windows"),
    [(referral_rules.LOSS_SOON, SOON_WINDOWS), (referral_rules.LOSS_FAST, FAST_WINDOWS)],
    ids=["soon", "fast"],
)
def test_losses_are_the_strictest_windows_in_print(
    kept: tuple[tuple[float, float], ...], windows: tuple[tuple[float, float], ...]
) -> None:
    longest = {loss: max(months for lost, months in windows if lost == loss) for loss, _ in windows}
    assert dict(kept) == longest
    assert len(kept) == len(longest)


def test_fast_losses_are_faster_than_the_others() -> None:
    """Or the rule could never add anything to the other."""
    assert dict(referral_rules.LOSS_FAST).keys() == dict(referral_rules.LOSS_SOON).keys()
    for loss, months in referral_rules.LOSS_FAST:
        assert months < dict(referral_rules.LOSS_SOON)[loss]
