"""What a public survey taught: how far each equation scatters, and how fat goes with body size.

NHANES 1999-2000 and 2001-2002 (public files BMX, DEMO and DXX): 3,638 women and 3,890 men of 18-85
years with weight, height and a measured whole-body DXA. Learnt on 2026-11-25 by
``python tests/learning/learn_survey_errors.py SURVEY.csv``. No coefficient is touched by it; only the
error model reads it. Some equations were built on the same survey and are at home there: they still
pay for being carried to new people.
"""

from __future__ import annotations

# Points of DXA fat per unit of body mass index, from 18.5 to 25 and from 30 to 40.
SLOPE_WITH_SIZE = {
    "female": (1.59, 0.51),
    "male": (1.36, 0.75),
}

# Standard deviation of an equation's error around its own mean error [points of fat], by sex.
SCATTER: dict[str, dict[str, float]] = {
    "durnin_womersley1974_female_triceps_subscapular": {"female": 4.22},
    "durnin_womersley1974_female_triceps": {"female": 4.52},
    "durnin_womersley1974_female_subscapular": {"female": 4.76},
    "durnin_womersley1974_female_triceps_subscapular_all_ages": {"female": 4.49},
    "durnin_womersley1974_female_triceps_all_ages": {"female": 4.54},
    "durnin_womersley1974_female_subscapular_all_ages": {"female": 5.12},
    "lean1996_female_waist_triceps": {"female": 5.50},
    "lean1996_female_triceps": {"female": 6.33},
    "katch_mcardle_textbook_female_pct": {"female": 4.72},
    "nagamine_suzuki1964_female": {"female": 6.20},
    "taylor2024_female_abdomen": {"female": 4.54},
    "lean1996_female_waist": {"female": 6.00},
    "hart2019_both_waist": {"female": 4.25, "male": 3.25},
    "lean1996_female_bmi": {"female": 5.80},
    "deurenberg1991_both_bmi": {"female": 5.36, "male": 4.71},
    "deurenberg1998_both_bmi": {"female": 5.25, "male": 4.52},
    "gallagher1996_both_bmi": {"female": 5.26, "male": 4.36},
    "womersley_durnin1977_female_bmi": {"female": 4.78},
    "hart2019_both_bmi": {"female": 4.01, "male": 4.11},
    "linear139_both_bmi": {"female": 5.17, "male": 4.34},
    "linear161_both_bmi": {"female": 5.78, "male": 4.68},
    "gallagher2000_both_bmi": {"female": 3.87, "male": 3.94},
    "gallagher2000_both_bmi_ancestry": {"female": 4.01, "male": 3.93},
    "gomez_ambrosi2012_both_bmi": {"female": 4.33, "male": 4.18},
    "molina_luque2019_both_bmi": {"female": 4.47, "male": 4.07},
    "survey2015_both_inverse_bmi": {"female": 3.48, "male": 3.59},
    "jackson2002_female_bmi": {"female": 4.94},
    "larsson2006_female_weight_height": {"female": 4.33},
    "al_gindan2015_female_weight_height": {"female": 3.92},
    "woolcott_bergman2018_both_waist_height": {"female": 3.96, "male": 3.07},
    "lee2017_female_waist": {"female": 3.45},
    "durnin_womersley1974_male_triceps_subscapular": {"male": 4.17},
    "durnin_womersley1974_male_triceps": {"male": 4.88},
    "durnin_womersley1974_male_subscapular": {"male": 4.64},
    "durnin_womersley1974_male_triceps_subscapular_all_ages": {"male": 4.04},
    "durnin_womersley1974_male_triceps_all_ages": {"male": 4.15},
    "durnin_womersley1974_male_subscapular_all_ages": {"male": 4.68},
    "lean1996_male_waist_triceps": {"male": 6.22},
    "lean1996_male_triceps": {"male": 8.54},
    "katch_mcardle_textbook_male_pct": {"male": 4.32},
    "nagamine_suzuki1964_male": {"male": 4.33},
    "taylor2024_male_abdomen": {"male": 3.57},
    "wilmore_behnke1969_male_abdomen": {"male": 4.49},
    "lean1996_male_waist": {"male": 4.52},
    "lean1996_male_bmi": {"male": 4.98},
    "womersley_durnin1977_male_bmi": {"male": 4.26},
    "jackson2002_male_bmi": {"male": 4.61},
    "larsson2006_male_weight_height": {"male": 4.68},
    "lee2017_male_waist": {"male": 3.13},
    "al_gindan2015_male_waist": {"male": 3.16},
}
