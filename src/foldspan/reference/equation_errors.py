"""Equation errors seen in a public survey: bias and scatter of each equation, and fat by body size.

NHANES 1999-2000 and 2001-2002 (public files BMX, DEMO and DXX): 3,638 women and 3,890 men of 18-85
years with weight, height and a measured whole-body DXA. Estimated by
``python tests/learning/learn_survey_errors.py``, which writes the tables here, from the extract beside
the tests. No coefficient is touched by it; only the error model reads it. Some equations were built on
the same survey: they still pay for being carried to new people.
"""

from __future__ import annotations

from typing import NamedTuple

from foldspan.quantities import Sex

# Where the curves are centred, and the unit of their age [years].
MIDDLE_AGE, DECADE = 45.0, 10.0
# Points of DXA fat per unit of body mass index, from 18.5 to 25 and from 30 to 40.
# learnt: SLOPE_WITH_SIZE
SLOPE_WITH_SIZE = {
    "female": (1.59, 0.51),
    "male": (1.36, 0.75),
}
# end of what was learnt


class SurveyError(NamedTuple):
    """How one equation did on the survey's adults of one sex, on the DXA scale [points of fat].

    ``curve`` is its mean error at 45 years, its slope a decade and its bend (decade²); ``spread`` the
    variance around that curve at 45 years and its slope a decade; ``reading`` the part of that variance
    which one trained reading of each input explains; ``scatter`` the standard deviation around the mean
    error, whatever the age; ``people`` how many had all it needs.
    """

    curve: tuple[float, float, float]
    spread: tuple[float, float]
    reading: float
    scatter: float
    people: int


# learnt: SURVEY_ERRORS
SURVEY_ERRORS: dict[str, dict[Sex, SurveyError]] = {
    "durnin_womersley1974_female_triceps_subscapular": {
        "female": SurveyError((0.60, 0.555, -0.3593), (15.18, 1.242), 0.68, 4.11, 2912),
    },
    "durnin_womersley1974_female_triceps": {
        "female": SurveyError((0.67, 0.755, -0.3490), (17.23, 0.489), 1.31, 4.39, 3378),
    },
    "durnin_womersley1974_female_subscapular": {
        "female": SurveyError((0.38, 0.646, -0.3478), (20.00, 1.540), 0.97, 4.67, 3004),
    },
    "durnin_womersley1974_female_triceps_subscapular_all_ages": {
        "female": SurveyError((-1.14, -0.785, -0.2388), (15.17, 1.413), 0.79, 4.33, 2912),
    },
    "durnin_womersley1974_female_triceps_all_ages": {
        "female": SurveyError((-1.41, -0.829, -0.1645), (16.86, 0.561), 1.45, 4.46, 3378),
    },
    "durnin_womersley1974_female_subscapular_all_ages": {
        "female": SurveyError((-1.49, -0.758, -0.2460), (21.14, 2.068), 1.21, 4.97, 3004),
    },
    "lean1996_female_waist_triceps": {
        "female": SurveyError((4.40, 1.723, -0.1839), (16.67, 1.033), 1.52, 4.96, 3367),
    },
    "lean1996_female_triceps": {
        "female": SurveyError((4.35, 1.966, -0.2361), (22.80, 1.517), 2.98, 5.76, 3378),
    },
    "katch_mcardle_textbook_female_pct": {
        "female": SurveyError((-9.46, -0.838, -0.2328), (16.90, 1.586), 1.19, 4.56, 2912),
    },
    "nagamine_suzuki1964_female": {
        "female": SurveyError((-4.57, -0.666, -0.3898), (31.67, 2.024), 2.25, 6.02, 2912),
    },
    "sri_lanka2016_female_weight_triceps": {
        "female": SurveyError((7.01, -0.908, -0.1204), (14.11, 0.083), 0.24, 4.15, 3378),
    },
    "taylor2024_female_abdomen": {
        "female": SurveyError((-5.46, -0.030, 0.0000), (20.34, 0.493), 0.41, 4.51, 3622),
    },
    "lean1996_female_waist": {
        "female": SurveyError((2.69, 2.027, 0.0000), (18.90, 0.225), 0.29, 5.57, 3622),
    },
    "hart2019_both_waist": {
        "female": SurveyError((-1.46, -0.275, 0.0000), (17.92, -0.133), 0.25, 4.26, 3622),
        "male": SurveyError((-0.08, -0.187, -0.1105), (9.74, -0.098), 0.28, 3.17, 3868),
    },
    "japan2010s_both_bmi_abdomen": {
        "female": SurveyError((-1.09, 0.506, -0.0742), (21.50, 0.671), 0.19, 4.71, 3622),
        "male": SurveyError((2.40, 0.578, -0.2009), (13.49, 0.186), 0.21, 3.81, 3868),
    },
    "lean1996_female_bmi": {
        "female": SurveyError((2.06, 2.006, -0.0786), (16.75, 0.332), 0.10, 5.29, 3638),
    },
    "deurenberg1991_both_bmi": {
        "female": SurveyError((1.65, 1.682, -0.0766), (16.56, 0.320), 0.10, 4.94, 3638),
        "male": SurveyError((2.59, 1.504, -0.1362), (13.67, -0.346), 0.08, 4.42, 3890),
    },
    "deurenberg1998_both_bmi": {
        "female": SurveyError((0.24, 1.418, -0.0954), (18.55, 0.415), 0.12, 4.90, 3638),
        "male": SurveyError((0.60, 1.247, -0.1550), (14.54, -0.261), 0.10, 4.31, 3890),
    },
    "gallagher1996_both_bmi": {
        "female": SurveyError((0.00, 0.881, -0.1277), (23.42, 0.511), 0.15, 5.05, 3638),
        "male": SurveyError((0.18, 0.722, -0.1881), (16.82, -0.170), 0.12, 4.28, 3890),
    },
    "womersley_durnin1977_female_bmi": {
        "female": SurveyError((-2.08, -0.546, -0.1103), (20.56, 0.470), 0.13, 4.68, 3638),
    },
    "hart2019_both_bmi": {
        "female": SurveyError((-1.77, -0.699, -0.0296), (14.12, -0.011), 0.07, 3.96, 3638),
        "male": SurveyError((-2.52, -0.892, -0.0920), (12.86, -0.630), 0.06, 3.92, 3890),
    },
    "pongchaiyakul2005_both_bmi": {
        "female": SurveyError((-1.86, 0.134, -0.1642), (31.14, 0.507), 0.19, 5.61, 3638),
        "male": SurveyError((-5.48, 0.000, -0.2256), (20.60, -0.156), 0.16, 4.60, 3890),
    },
    "linear139_both_bmi": {
        "female": SurveyError((0.00, 1.055, -0.1142), (21.16, 0.482), 0.14, 4.91, 3638),
        "male": SurveyError((1.51, 0.891, -0.1742), (15.74, -0.200), 0.11, 4.23, 3890),
    },
    "linear161_both_bmi": {
        "female": SurveyError((-0.00, 0.839, -0.1566), (29.33, 0.518), 0.18, 5.58, 3638),
        "male": SurveyError((-0.43, 0.691, -0.2177), (19.70, -0.151), 0.15, 4.60, 3890),
    },
    "gallagher2000_both_bmi_ancestry": {
        "female": SurveyError((-0.00, 0.664, -0.0804), (13.88, -0.006), 0.12, 3.88, 3638),
        "male": SurveyError((0.11, 0.501, -0.1632), (14.19, -0.518), 0.09, 3.88, 3890),
    },
    "gallagher2000_both_bmi": {
        "female": SurveyError((-0.37, 0.256, -0.0805), (13.91, 0.030), 0.12, 3.76, 3638),
        "male": SurveyError((-0.72, 0.565, -0.1513), (13.82, -0.587), 0.08, 3.85, 3890),
    },
    "gomez_ambrosi2012_both_bmi": {
        "female": SurveyError((2.42, 0.719, -0.0921), (15.63, -0.777), 0.11, 4.12, 3638),
        "male": SurveyError((2.74, 0.583, -0.2068), (15.51, -1.179), 0.11, 4.10, 3890),
    },
    "molina_luque2019_both_bmi": {
        "female": SurveyError((2.45, 0.712, -0.1039), (16.90, 0.363), 0.13, 4.27, 3638),
        "male": SurveyError((2.63, 0.553, -0.1790), (15.00, -0.317), 0.10, 4.00, 3890),
    },
    "survey2015_both_inverse_bmi": {
        "female": SurveyError((0.22, 0.162, -0.0239), (11.94, -0.180), 0.08, 3.47, 3638),
        "male": SurveyError((0.47, -0.000, -0.1062), (12.71, -0.551), 0.06, 3.60, 3890),
    },
    "jackson2002_female_bmi": {
        "female": SurveyError((-2.35, -0.360, -0.1455), (22.63, 0.379), 0.18, 4.85, 3638),
    },
    "larsson2006_female_weight_height": {
        "female": SurveyError((-1.29, -0.466, -0.1087), (16.23, 0.361), 0.14, 4.15, 3637),
    },
    "al_gindan2015_female_weight_height": {
        "female": SurveyError((-4.79, 0.420, -0.0612), (13.76, -0.349), 0.12, 3.77, 3638),
    },
    "woolcott_bergman2018_both_waist_height": {
        "female": SurveyError((0.00, -0.008, 0.0570), (15.76, 0.254), 0.29, 3.98, 3622),
        "male": SurveyError((0.10, -0.000, -0.0979), (8.92, 0.123), 0.29, 3.00, 3868),
    },
    "lee2017_female_waist": {
        "female": SurveyError((0.35, 0.044, -0.0000), (11.89, -0.090), 0.06, 3.45, 3622),
    },
    "durnin_womersley1974_male_triceps_subscapular": {
        "male": SurveyError((2.77, 0.974, -0.4252), (12.60, 1.755), 0.68, 3.96, 3420),
    },
    "durnin_womersley1974_male_triceps": {
        "male": SurveyError((3.31, 1.711, -0.4316), (13.95, 1.301), 0.97, 4.67, 3804),
    },
    "durnin_womersley1974_male_subscapular": {
        "male": SurveyError((1.97, 0.495, -0.4074), (17.90, 2.612), 1.11, 4.37, 3452),
    },
    "durnin_womersley1974_male_triceps_subscapular_all_ages": {
        "male": SurveyError((0.20, -0.588, -0.1282), (13.37, 1.464), 0.88, 3.78, 3420),
    },
    "durnin_womersley1974_male_triceps_all_ages": {
        "male": SurveyError((-1.08, -0.912, 0.0118), (12.72, 1.199), 1.15, 3.83, 3804),
    },
    "durnin_womersley1974_male_subscapular_all_ages": {
        "male": SurveyError((0.29, -0.520, -0.2137), (19.02, 2.080), 1.39, 4.46, 3452),
    },
    "lean1996_male_waist_triceps": {
        "male": SurveyError((4.61, 2.317, -0.1337), (19.69, 1.176), 1.01, 5.77, 3789),
    },
    "lean1996_male_triceps": {
        "male": SurveyError((4.04, 3.416, 0.0000), (29.88, 2.581), 2.35, 7.79, 3804),
    },
    "katch_mcardle_textbook_male_pct": {
        "male": SurveyError((-5.55, -0.692, -0.1205), (15.40, 1.842), 0.95, 4.07, 3420),
    },
    "nagamine_suzuki1964_male": {
        "male": SurveyError((-3.98, -0.726, -0.1013), (15.31, 1.804), 0.93, 4.07, 3420),
    },
    "taylor2024_male_abdomen": {
        "male": SurveyError((-0.13, 0.698, -0.0970), (10.61, 0.756), 1.15, 3.42, 3868),
    },
    "wilmore_behnke1969_male_abdomen": {
        "male": SurveyError((-0.51, 1.113, -0.0927), (13.36, 0.910), 1.54, 4.04, 3868),
    },
    "lean1996_male_waist": {
        "male": SurveyError((3.43, 1.341, -0.2075), (13.79, 0.489), 0.58, 4.28, 3868),
    },
    "lean1996_male_bmi": {
        "male": SurveyError((2.42, 1.624, -0.1622), (14.95, -0.235), 0.10, 4.67, 3890),
    },
    "womersley_durnin1977_male_bmi": {
        "male": SurveyError((-0.12, -0.727, -0.1642), (15.07, -0.229), 0.10, 4.13, 3890),
    },
    "jackson2002_male_bmi": {
        "male": SurveyError((0.00, -0.528, -0.2331), (18.82, -0.321), 0.14, 4.52, 3890),
    },
    "larsson2006_male_weight_height": {
        "male": SurveyError((-1.03, -0.595, -0.2316), (18.22, -0.656), 0.11, 4.48, 3889),
    },
    "lee2017_male_waist": {
        "male": SurveyError((0.20, 0.014, -0.1031), (9.09, 0.136), 0.41, 3.03, 3868),
    },
    "al_gindan2015_male_waist": {
        "male": SurveyError((-1.82, 0.134, -0.0712), (9.27, 0.219), 0.40, 3.05, 3868),
    },
}
# end of what was learnt
