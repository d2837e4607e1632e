"""Deutsch, changes: what changed of folds and tape measures, by their keys; sites in the nominative."""

from __future__ import annotations

# fmt: off
GERMAN_CHANGES: dict[str, str] = {
    "page.since_first": "Seit dem ersten Mal",
    "page.measured_real": "{since} deutlich verändert: {what}.",
    "page.measured_unsure": "{since} vielleicht nur durch Messfehler verändert: {what}.",
    "page.measured_unsure_too": "Vielleicht nur ein Messfehler: {what}.",
    "page.folds_changed": "Summe von {count} Hautfalten, von {earlier} auf {later}",
    "page.site_changed": "{site}, von {earlier} auf {later}",
    "changed.chest_mm": "Hautfalte an der Brust",
    "changed.midaxillary_mm": "Hautfalte seitlich am Brustkorb",
    "changed.triceps_mm": "Hautfalte hinten am Oberarm",
    "changed.biceps_mm": "Hautfalte vorn am Oberarm",
    "changed.subscapular_mm": "Hautfalte am oberen Rücken",
    "changed.abdominal_mm": "Hautfalte am Bauch",
    "changed.suprailiac_anterior_mm": "Hautfalte über der Hüfte",
    "changed.suprailiac_midaxillary_mm": "Hautfalte über der Hüfte",
    "changed.supraspinale_mm": "Hautfalte über der Hüfte",
    "changed.thigh_mm": "Hautfalte am Oberschenkel",
    "changed.calf_mm": "Hautfalte an der Wade",
    "changed.chin_mm": "Hautfalte unter dem Kinn",
    "changed.neck_cm": "Hals",
    "changed.chest_girth_cm": "Brustumfang",
    "changed.breast_girth_cm": "Umfang über der Brust",
    "changed.waist_narrowest_cm": "Taille",
    "changed.waist_midpoint_cm": "Taille",
    "changed.waist_iliac_cm": "Taille",
    "changed.abdomen_navel_cm": "Taille am Nabel",
    "changed.hip_cm": "Hüfte",
    "changed.thigh_upper_girth_cm": "Oberschenkel oben",
    "changed.thigh_mid_girth_cm": "Oberschenkel in der Mitte",
    "changed.knee_girth_cm": "Knie",
    "changed.calf_girth_cm": "Wade",
    "changed.ankle_girth_cm": "Knöchel",
    "changed.arm_relaxed_girth_cm": "Oberarm, locker",
    "changed.arm_flexed_girth_cm": "Oberarm, gebeugt und angespannt",
    "changed.forearm_girth_cm": "Unterarm",
    "changed.wrist_girth_cm": "Handgelenk",
}
# fmt: on
