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
    "page.measured_unsure_too": "Otras diferencias pueden deberse a la imprecisión al medir:"
        " {what}.",
    "page.site_changed": "{site}, de {earlier} a {later}",
    "page.real": "{since, select, last {Desde la última vez,} first {Desde la primera vez,} over"
        " {En {visits, plural, one {# visita} other {# visitas}}, desde el {day},} other {Desde"
        " el {day},}} su grasa corporal ha {way, select, down {bajado} other {subido}} {points,"
        " plural, one {alrededor de # punto porcentual} other {unos # puntos porcentuales}}"
        " (intervalo: {low}–{high}). Supera el error de medición.",
    "page.maybe": "{since, select, last {Desde la última vez,} first {Desde la primera vez,} over"
        " {En {visits, plural, one {# visita} other {# visitas}}, desde el {day},} other {Desde el"
        " {day},}} su grasa corporal probablemente ha {way, select, down {bajado} other {subido}}"
        " (es así en unas {chance} de cada 20 personas como usted). También puede deberse a la"
        " medición.",
    "page.no_telling": "{since, select, last {Desde la última vez,} first {Desde la primera vez,}"
        " over {En {visits, plural, one {# visita} other {# visitas}}, desde el {day},} other"
        " {Desde el {day},}} no hay un cambio claro en su grasa corporal. Al medir siempre surgen"
        " pequeñas diferencias.",
    "page.not_compared": "{since, select, last {Desde la última vez,} first {Desde la primera"
        " vez,} over {En {visits, plural, one {# visita} other {# visitas}}, desde el {day},}"
        " other {Desde el {day},}} no podemos comparar: hay muy pocas mediciones en común.",
    "page.fat_only": "{since, select, last {Desde la última vez,} first {Desde la primera vez,}"
        " over {En {visits, plural, one {# visita} other {# visitas}}, desde el {day},} other"
        " {Desde el {day},}} ha {way, select, down {perdido} other {ganado}} alrededor de"
        " {amount} de grasa (intervalo: {low}–{high}). Supera el error de medición.",
    "page.measured_real": "{since, select, last {Desde la última vez,} first {Desde la primera"
        " vez,} over {En {visits, plural, one {# visita} other {# visitas}}, desde el {day},}"
        " other {Desde el {day},}} hay un cambio claro: {what}.",
    "page.measured_unsure": "{since, select, last {Desde la última vez,} first {Desde la primera"
        " vez,} over {En {visits, plural, one {# visita} other {# visitas}}, desde el {day},}"
        " other {Desde el {day},}} hay diferencias que pueden deberse a la imprecisión al"
        " medir: {what}.",
    "page.fat_mass": "Eso son {amount} {way, select, down {menos} other {más}} de grasa"
        " (intervalo: {low}–{high}).",
    "page.share_maybe": "En proporción a su peso, la grasa probablemente ha {way, select, down"
        " {bajado} other {subido}} (es así en unas {chance} de cada 20 personas como usted).",
    "page.folds_changed": "suma de {count, plural, one {# pliegue cutáneo} other {# pliegues"
        " cutáneos}}, de {earlier} a {later}",
}
# fmt: on
