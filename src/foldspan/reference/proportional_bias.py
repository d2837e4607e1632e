"""Proportional bias: how far skinfold equations read off by what they give, seen in a public survey.

An equation from folds climbs faster than fat does where folds are thick: in the fifth of the survey
with the highest results, two folds read 2.5 points too high in both sexes, at the ages where they are
right on average. Mean error by age and by the equation's own result, in the people and with the
weights of ``equation_errors.py`` (NHANES 1999-2002). Estimated by ``python
tests/learning/learn_proportional_bias.py``, which writes the table here. No coefficient is touched.

Equations without folds are not here. Levelled in the same way, those from weight and height came out
better in 2003-2004 as well, but in 2017-18 the 80 % range held the scan of 73 % of the women with a
body mass index of 18.5 to 25, instead of 75 %.
"""

from __future__ import annotations

from typing import NamedTuple

from foldspan.quantities import Sex

# Points of fat that the slope and the bend are told by.
TEN_POINTS = 10.0


class ProportionalBias(NamedTuple):
    """How one skinfold equation did in the survey's adults of one sex, on the DXA scale [points of fat].

    ``curve`` is its mean error where it prints ``middle`` [% fat]: at 45 years, its slope a decade and
    its bend (decade²). ``steep`` is what is added for every ten points above ``middle``: slope and bend,
    held at its value beyond ``span`` [% fat], which holds 98 % of the people. ``spread`` is the
    variance around both at 45 years and its slope a decade, ``reading`` the part of it that one trained
    reading of each input explains.
    """

    curve: tuple[float, float, float]
    steep: tuple[float, float]
    middle: float
    span: tuple[float, float]
    spread: tuple[float, float]
    reading: float


# learnt: PROPORTIONAL_BIAS
PROPORTIONAL_BIAS: dict[str, dict[Sex, ProportionalBias]] = {
    "durnin_womersley1974_female_triceps_subscapular": {
        "female": ProportionalBias(
            (0.00, 0.319, -0.3060), (1.53, 0.90), 34.2, (18.4, 46.0), (14.58, 0.886), 0.50
        ),
    },
    "durnin_womersley1974_female_triceps": {
        "female": ProportionalBias(
            (0.06, 0.508, -0.2912), (1.45, 0.89), 35.1, (18.7, 46.9), (16.69, 0.027), 0.96
        ),
    },
    "durnin_womersley1974_female_subscapular": {
        "female": ProportionalBias(
            (-0.12, 0.277, -0.2727), (2.24, 1.15), 34.3, (18.9, 46.0), (18.66, 0.959), 0.66
        ),
    },
    "durnin_womersley1974_female_triceps_subscapular_all_ages": {
        "female": ProportionalBias(
            (-1.56, -0.843, -0.1811), (1.91, 0.68), 32.8, (18.1, 42.9), (14.15, 1.038), 0.53
        ),
    },
    "durnin_womersley1974_female_triceps_all_ages": {
        "female": ProportionalBias(
            (-1.63, -0.862, -0.1212), (1.51, 0.10), 33.5, (18.3, 42.9), (16.27, 0.283), 1.06
        ),
    },
    "durnin_womersley1974_female_subscapular_all_ages": {
        "female": ProportionalBias(
            (-2.14, -0.870, -0.1517), (2.88, 0.96), 32.6, (18.5, 43.2), (18.58, 1.130), 0.69
        ),
    },
    "lean1996_female_waist_triceps": {
        "female": ProportionalBias(
            (3.53, 1.024, -0.1540), (2.78, 1.14), 39.3, (20.7, 57.9), (12.05, 0.408), 0.69
        ),
    },
    "lean1996_female_triceps": {
        "female": ProportionalBias(
            (3.48, 1.057, -0.1752), (3.26, 0.98), 39.1, (19.5, 58.2), (16.46, 0.566), 1.17
        ),
    },
    "katch_mcardle_textbook_female_pct": {
        "female": ProportionalBias(
            (-10.31, -0.865, -0.1822), (1.77, 1.95), 24.5, (12.8, 37.9), (14.12, 1.166), 0.65
        ),
    },
    "nagamine_suzuki1964_female": {
        "female": ProportionalBias(
            (-5.69, -0.864, -0.1887), (4.31, 0.68), 28.9, (13.0, 48.8), (14.88, 1.345), 0.65
        ),
    },
    "sri_lanka2016_female_weight_triceps": {
        "female": ProportionalBias(
            (6.32, -0.857, -0.1455), (-0.73, 3.18), 42.1, (32.2, 54.2), (13.13, -0.001), 0.23
        ),
    },
    "durnin_womersley1974_male_triceps_subscapular": {
        "male": ProportionalBias(
            (1.90, 0.518, -0.3644), (2.14, 1.43), 24.6, (9.4, 38.2), (10.81, 0.855), 0.47
        ),
    },
    "durnin_womersley1974_male_triceps": {
        "male": ProportionalBias(
            (2.49, 1.325, -0.4466), (1.40, 1.62), 25.6, (8.9, 42.2), (12.16, 0.442), 0.83
        ),
    },
    "durnin_womersley1974_male_subscapular": {
        "male": ProportionalBias(
            (1.01, -0.025, -0.3049), (3.00, 1.59), 23.9, (10.0, 36.5), (14.88, 0.976), 0.64
        ),
    },
    "durnin_womersley1974_male_triceps_subscapular_all_ages": {
        "male": ProportionalBias(
            (-0.00, -0.799, -0.0678), (2.94, 0.35), 23.2, (8.8, 35.2), (10.39, 0.959), 0.47
        ),
    },
    "durnin_womersley1974_male_triceps_all_ages": {
        "male": ProportionalBias(
            (-1.32, -0.976, 0.0265), (1.94, 0.63), 23.0, (10.4, 35.0), (11.48, 0.703), 0.82
        ),
    },
    "durnin_womersley1974_male_subscapular_all_ages": {
        "male": ProportionalBias(
            (-0.25, -0.805, -0.1103), (3.68, 0.81), 23.1, (9.4, 34.5), (14.47, 0.878), 0.63
        ),
    },
    "lean1996_male_waist_triceps": {
        "male": ProportionalBias(
            (3.67, 0.932, -0.1170), (3.89, 0.62), 27.6, (6.9, 52.7), (7.67, 0.740), 0.35
        ),
    },
    "lean1996_male_triceps": {
        "male": ProportionalBias(
            (3.24, 1.323, -0.0289), (4.39, 0.42), 27.2, (6.0, 58.2), (12.48, 0.894), 0.73
        ),
    },
    "katch_mcardle_textbook_male_pct": {
        "male": ProportionalBias(
            (-6.21, -0.823, -0.0788), (2.48, 1.48), 17.5, (7.3, 32.7), (11.11, 0.992), 0.46
        ),
    },
    "nagamine_suzuki1964_male": {
        "male": ProportionalBias(
            (-4.61, -0.845, -0.0664), (2.41, 1.43), 19.1, (9.1, 35.1), (10.83, 0.997), 0.46
        ),
    },
}
# end of what was learnt
