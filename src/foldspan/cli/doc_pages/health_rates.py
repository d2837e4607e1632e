"""How often flags are raised and kept, for docs/health-tables.md.

Written by ``python tests/house/renew_rates.py``; the tests count again.
"""

from __future__ import annotations

# Share of 5,175 adults of NHANES 2017-18 (18 to 80 years, unweighted; weight, height and waist at the
# hip bone, nothing told at intake) for whom each flag is raised [%]; tests/open_data counts again.
# learnt: SURVEY_RATES
SURVEY_RATES: dict[str, float] = {
    "waist_six_tenths": 21.2,
    "bmi_far_above": 9.9,
    "central_fat": 9.4,
    "weight_and_waist": 8.9,
    "bmi_very_far_above": 8.5,
    "lean_low": 2.8,
    "bmi_low": 1.1,
    "bmi_light_older": 0.8,
    "bmi_low_older": 0.6,
    "bmi_clearly_low": 0.4,
    "bmi_severely_low": 0.2,
    "fat_near_minimum": 0.2,
    "fat_very_low": 0.1,
}
# end of what was learnt
# Lean people invented from the reference people, with a true fat drawn around their range [%]; see
# tests/interpretation/test_low_fat_found.py: how many are flagged to refer soon, and with a word at
# least.
# learnt: LOW_FAT_FOUND
LOW_FAT_FOUND: dict[str, dict[str, float]] = {
    "female": {
        "found": 61.6,
        "found_with_a_word": 61.6,
        "found_before": 0.0,
        "for_nothing": 23.3,
        "for_nothing_with_a_word": 23.3,
    },
    "male": {
        "found": 46.6,
        "found_with_a_word": 53.1,
        "found_before": 0.0,
        "for_nothing": 19.8,
        "for_nothing_with_a_word": 23.3,
    },
}
# end of what was learnt
# Of 2,225 people of 20 to 59 years of that survey with DXA: mean chance told, and share that came
# true, of "fat at or above a limit" (limits of potter2025 and nhanes2017), by fifths of the chance.
# learnt: CHANCES_KEPT
CHANCES_KEPT: dict[str, tuple[tuple[float, float], ...]] = {
    "women": ((0.07, 0.05), (0.30, 0.24), (0.50, 0.40), (0.71, 0.60), (0.97, 0.94)),
    "men": ((0.05, 0.07), (0.30, 0.29), (0.50, 0.47), (0.71, 0.60), (0.97, 0.96)),
}
# end of what was learnt
