"""Español, changes: what changed of folds and tape measures, by their keys; sites without an article."""

from __future__ import annotations

# fmt: off
SPANISH_CHANGES: dict[str, str] = {
    "changed.chest_mm": "pliegue cutáneo en el pecho",
    "changed.midaxillary_mm": "pliegue cutáneo en el costado del pecho",
    "changed.triceps_mm": "pliegue cutáneo en la parte de atrás del brazo",
    "changed.biceps_mm": "pliegue cutáneo en la parte de delante del brazo",
    "changed.subscapular_mm": "pliegue cutáneo en la parte alta de la espalda",
    "changed.abdominal_mm": "pliegue cutáneo en el abdomen",
    "changed.suprailiac_anterior_mm": "pliegue cutáneo encima de la cadera",
    "changed.suprailiac_midaxillary_mm": "pliegue cutáneo encima de la cadera",
    "changed.supraspinale_mm": "pliegue cutáneo encima de la cadera",
    "changed.thigh_mm": "pliegue cutáneo en el muslo",
    "changed.calf_mm": "pliegue cutáneo en la pantorrilla",
    "changed.chin_mm": "pliegue cutáneo debajo del mentón",
    "changed.neck_cm": "cuello",
    "changed.chest_girth_cm": "perímetro del pecho",
    "changed.breast_girth_cm": "perímetro del busto",
    "changed.waist_narrowest_cm": "cintura",
    "changed.waist_midpoint_cm": "cintura",
    "changed.waist_iliac_cm": "cintura",
    "changed.abdomen_navel_cm": "cintura a la altura del ombligo",
    "changed.hip_cm": "cadera",
    "changed.thigh_upper_girth_cm": "parte alta del muslo",
    "changed.thigh_mid_girth_cm": "parte media del muslo",
    "changed.knee_girth_cm": "rodilla",
    "changed.calf_girth_cm": "pantorrilla",
    "changed.ankle_girth_cm": "tobillo",
    "changed.arm_relaxed_girth_cm": "brazo relajado",
    "changed.arm_flexed_girth_cm": "brazo contraído",
    "changed.forearm_girth_cm": "antebrazo",
    "changed.wrist_girth_cm": "muñeca",
    "page.since_first": "Desde la primera vez,",
    "page.measured_real": "{since} un cambio claro: {what}.",
    "page.measured_unsure": "{since} un cambio que puede ser error de medición: {what}.",
    "page.measured_unsure_too": "Puede ser error de medición: {what}.",
    "page.folds_changed": "suma de {count} pliegues cutáneos, de {earlier} a {later}",
    "page.site_changed": "{site}, de {earlier} a {later}",
}
# fmt: on
