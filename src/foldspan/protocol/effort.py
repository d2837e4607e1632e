"""Effort: how long a measurement takes and what has to be bared for it.

Common practice, no source: two readings with finding and marking the site, by a trained tester.
"""

from __future__ import annotations

from foldspan.quantities import BY_NAME

MINUTES_BY_KIND = {"skinfold": 1.5, "girth": 1.0, "breadth": 1.0, "mass": 0.5, "height": 0.5}
# what is bared, by quantity; words in text/explain.py
BARED = {
    "weight_kg": "light_clothes",
    "height_cm": "shoes_off",
    "chest_mm": "chest",
    "midaxillary_mm": "side_of_chest",
    "triceps_mm": "upper_arm",
    "biceps_mm": "upper_arm",
    "subscapular_mm": "upper_back",
    "abdominal_mm": "belly",
    "suprailiac_anterior_mm": "waistband",
    "suprailiac_midaxillary_mm": "waistband",
    "supraspinale_mm": "waistband",
    "thigh_mm": "thigh",
    "calf_mm": "lower_leg",
    "chin_mm": "nothing",
    "neck_cm": "nothing",
    "chest_girth_cm": "chest",
    "breast_girth_cm": "chest",
    "waist_narrowest_cm": "belly",
    "waist_midpoint_cm": "belly",
    "waist_iliac_cm": "belly",
    "abdomen_navel_cm": "belly",
    "hip_cm": "underwear",
    "thigh_upper_girth_cm": "thigh",
    "thigh_mid_girth_cm": "thigh",
    "knee_girth_cm": "lower_leg",
    "calf_girth_cm": "lower_leg",
    "ankle_girth_cm": "lower_leg",
    "arm_relaxed_girth_cm": "upper_arm",
    "arm_flexed_girth_cm": "upper_arm",
    "forearm_girth_cm": "nothing",
    "wrist_girth_cm": "nothing",
    "elbow_breadth_cm": "nothing",
    "knee_breadth_cm": "lower_leg",
    "wrist_breadth_cm": "nothing",
}
# Sites that many women would rather not have measured; there are equations without them (ours).
INTIMATE = ("chest_mm", "midaxillary_mm", "chest_girth_cm", "breast_girth_cm")


def minutes(name: str) -> float:
    """Return the minutes for one quantity, two readings; KeyError if unknown."""
    return MINUTES_BY_KIND[BY_NAME[name].kind]
