"""Background offsets: mean error of levelled equations in one self-described background of a survey.

Mean error of every levelled equation in the adults of NHANES 1999-2002 who describe themselves as Black
(666 women, 746 men of 18-85 with a measured whole-body DXA), survey-weighted, after its curve by age and
with its term for ancestry, where it has one, and shrunk by its own error. Learnt by ``python
tests/learning/learn_backgrounds.py``, which writes the table here and with ``--try`` tries every other
background that the survey names on people nobody learnt on. White, Mexican American, other Hispanic and
"other or several" are not here: in 2003-2004 and 2017-18 taking such a shift off made them worse at
least as often as better.

A background stands here for a self-described group of one survey, and through it for proportions of the
body that nobody measured. It is no biology of a person: inside a group errors spread by 3 to 4 points.
"""

from __future__ import annotations

from typing import NamedTuple

from foldspan.quantities import Sex


class Shift(NamedTuple):
    """How many ``points`` of DXA fat an equation reads too high in a group, and their standard error."""

    points: float
    se: float


# ancestry as it is stated → key of an equation → sex
# learnt: SHIFTS
SHIFTS: dict[str, dict[str, dict[Sex, Shift]]] = {
    "black": {
        "durnin_womersley1974_female_triceps_subscapular": {"female": Shift(1.22, 0.19)},
        "durnin_womersley1974_female_triceps": {"female": Shift(0.47, 0.18)},
        "durnin_womersley1974_female_subscapular": {"female": Shift(1.35, 0.21)},
        "durnin_womersley1974_female_triceps_subscapular_all_ages": {"female": Shift(1.18, 0.19)},
        "durnin_womersley1974_female_triceps_all_ages": {"female": Shift(0.48, 0.18)},
        "durnin_womersley1974_female_subscapular_all_ages": {"female": Shift(1.53, 0.21)},
        "lean1996_female_waist_triceps": {"female": Shift(0.89, 0.16)},
        "lean1996_female_triceps": {"female": Shift(0.55, 0.19)},
        "katch_mcardle_textbook_female_pct": {"female": Shift(1.07, 0.19)},
        "nagamine_suzuki1964_female": {"female": Shift(1.31, 0.19)},
        "sri_lanka2016_female_weight_triceps": {"female": Shift(1.41, 0.16)},
        "taylor2024_female_abdomen": {"female": Shift(1.28, 0.20)},
        "lean1996_female_waist": {"female": Shift(1.27, 0.19)},
        "hart2019_both_waist": {"female": Shift(1.14, 0.19), "male": Shift(1.06, 0.13)},
        "japan2010s_both_bmi_abdomen": {"female": Shift(2.03, 0.20), "male": Shift(1.13, 0.16)},
        "lean1996_female_bmi": {"female": Shift(2.04, 0.18)},
        "deurenberg1991_both_bmi": {"female": Shift(2.01, 0.18), "male": Shift(2.28, 0.16)},
        "deurenberg1998_both_bmi": {"female": Shift(2.23, 0.19), "male": Shift(2.26, 0.17)},
        "gallagher1996_both_bmi": {"female": Shift(2.62, 0.22), "male": Shift(2.22, 0.19)},
        "womersley_durnin1977_female_bmi": {"female": Shift(2.31, 0.20)},
        "hart2019_both_bmi": {"female": Shift(1.59, 0.16), "male": Shift(2.38, 0.16)},
        "pongchaiyakul2005_both_bmi": {"female": Shift(2.79, 0.25), "male": Shift(2.04, 0.21)},
        "linear139_both_bmi": {"female": Shift(2.49, 0.20), "male": Shift(2.19, 0.18)},
        "linear161_both_bmi": {"female": Shift(2.69, 0.24), "male": Shift(2.04, 0.20)},
        "gallagher2000_both_bmi_ancestry": {"female": Shift(0.79, 0.16), "male": Shift(0.95, 0.18)},
        "gallagher2000_both_bmi": {"female": Shift(1.99, 0.15), "male": Shift(2.04, 0.17)},
        "gomez_ambrosi2012_both_bmi": {"female": Shift(2.18, 0.17), "male": Shift(2.10, 0.18)},
        "molina_luque2019_both_bmi": {"female": Shift(2.26, 0.18), "male": Shift(2.08, 0.18)},
        "survey2015_both_inverse_bmi": {"female": Shift(-0.02, 0.15), "male": Shift(0.36, 0.16)},
        "jackson2002_female_bmi": {"female": Shift(2.67, 0.19)},
        "larsson2006_female_weight_height": {"female": Shift(2.10, 0.16)},
        "al_gindan2015_female_weight_height": {"female": Shift(1.97, 0.16)},
        "woolcott_bergman2018_both_waist_height": {
            "female": Shift(1.08, 0.17),
            "male": Shift(0.69, 0.13),
        },
        "lee2017_female_waist": {"female": Shift(0.00, 0.15)},
        "durnin_womersley1974_male_triceps_subscapular": {"male": Shift(1.82, 0.14)},
        "durnin_womersley1974_male_triceps": {"male": Shift(1.58, 0.14)},
        "durnin_womersley1974_male_subscapular": {"male": Shift(2.21, 0.16)},
        "durnin_womersley1974_male_triceps_subscapular_all_ages": {"male": Shift(1.77, 0.14)},
        "durnin_womersley1974_male_triceps_all_ages": {"male": Shift(1.69, 0.14)},
        "durnin_womersley1974_male_subscapular_all_ages": {"male": Shift(2.18, 0.16)},
        "lean1996_male_waist_triceps": {"male": Shift(1.26, 0.11)},
        "lean1996_male_triceps": {"male": Shift(2.01, 0.14)},
        "katch_mcardle_textbook_male_pct": {"male": Shift(2.14, 0.14)},
        "nagamine_suzuki1964_male": {"male": Shift(2.10, 0.14)},
        "taylor2024_male_abdomen": {"male": Shift(-0.45, 0.13)},
        "wilmore_behnke1969_male_abdomen": {"male": Shift(-1.19, 0.14)},
        "lean1996_male_waist": {"male": Shift(0.27, 0.15)},
        "lean1996_male_bmi": {"male": Shift(2.23, 0.17)},
        "womersley_durnin1977_male_bmi": {"male": Shift(2.15, 0.17)},
        "jackson2002_male_bmi": {"male": Shift(1.97, 0.20)},
        "larsson2006_male_weight_height": {"male": Shift(1.95, 0.19)},
        "lee2017_male_waist": {"male": Shift(-0.01, 0.13)},
        "al_gindan2015_male_waist": {"male": Shift(0.43, 0.13)},
    },
}
# end of what was learnt
