"""French, changes: the sites, and what changed from visit to visit, by their keys."""

from __future__ import annotations

# fmt: off
FRENCH_CHANGES: dict[str, str] = {
    "site.weight_kg": "votre poids",
    "site.height_cm": "votre stature (taille debout)",
    "site.chest_mm": "un pli cutané sur la poitrine",
    "site.midaxillary_mm": "un pli cutané sur le côté de la poitrine",
    "site.triceps_mm": "un pli cutané à l’arrière du bras",
    "site.biceps_mm": "un pli cutané à l’avant du bras",
    "site.subscapular_mm": "un pli cutané en haut du dos",
    "site.abdominal_mm": "un pli cutané sur le ventre",
    "site.suprailiac_anterior_mm": "un pli cutané au-dessus de la hanche",
    "site.suprailiac_midaxillary_mm": "un pli cutané au-dessus de la hanche",
    "site.supraspinale_mm": "un pli cutané au-dessus de la hanche",
    "site.thigh_mm": "un pli cutané sur la cuisse",
    "site.calf_mm": "un pli cutané sur le mollet",
    "site.chin_mm": "un pli cutané sous le menton",
    "site.neck_cm": "votre tour de cou",
    "site.chest_girth_cm": "votre tour de thorax",
    "site.breast_girth_cm": "votre tour de poitrine",
    "site.waist_narrowest_cm": "votre tour de taille",
    "site.waist_midpoint_cm": "votre tour de taille",
    "site.waist_iliac_cm": "votre tour de taille",
    "site.abdomen_navel_cm": "votre tour de taille au nombril",
    "site.hip_cm": "votre tour de hanches",
    "site.thigh_upper_girth_cm": "votre tour de cuisse, en haut",
    "site.thigh_mid_girth_cm": "votre tour de cuisse, au milieu",
    "site.knee_girth_cm": "votre tour de genou",
    "site.calf_girth_cm": "votre tour de mollet",
    "site.ankle_girth_cm": "votre tour de cheville",
    "site.arm_relaxed_girth_cm": "votre tour de bras",
    "site.arm_flexed_girth_cm": "votre tour de bras, muscle contracté",
    "site.forearm_girth_cm": "votre tour d’avant-bras",
    "site.wrist_girth_cm": "votre tour de poignet",
    "site.elbow_breadth_cm": "la largeur de votre coude",
    "site.knee_breadth_cm": "la largeur de votre genou",
    "site.wrist_breadth_cm": "la largeur de votre poignet",
    "page.change": "Ce qui a changé",
    "page.weight_changed": "Votre poids est passé de {earlier} à {later}.",
    "page.weight_real": "Votre poids est passé de {earlier} à {later}\u00a0: c’est un changement"
        " certain.",
    "page.share_no_telling": "La part de graisse dans votre poids n’a peut-être pas changé.",
    "page.measured_unsure_too": "D’autres mesures ont changé, peut-être par simple"
        " imprécision\u00a0: {what}.",
    "page.site_changed": "{site}, de {earlier} à {later}",
    "changed.chest_mm": "pli cutané sur la poitrine",
    "changed.midaxillary_mm": "pli cutané sur le côté de la poitrine",
    "changed.triceps_mm": "pli cutané à l’arrière du bras",
    "changed.biceps_mm": "pli cutané à l’avant du bras",
    "changed.subscapular_mm": "pli cutané en haut du dos",
    "changed.abdominal_mm": "pli cutané sur le ventre",
    "changed.suprailiac_anterior_mm": "pli cutané au-dessus de la hanche",
    "changed.suprailiac_midaxillary_mm": "pli cutané au-dessus de la hanche",
    "changed.supraspinale_mm": "pli cutané au-dessus de la hanche",
    "changed.thigh_mm": "pli cutané sur la cuisse",
    "changed.calf_mm": "pli cutané sur le mollet",
    "changed.chin_mm": "pli cutané sous le menton",
    "changed.neck_cm": "tour de cou",
    "changed.chest_girth_cm": "tour de thorax",
    "changed.breast_girth_cm": "tour de poitrine",
    "changed.waist_narrowest_cm": "tour de taille",
    "changed.waist_midpoint_cm": "tour de taille",
    "changed.waist_iliac_cm": "tour de taille",
    "changed.abdomen_navel_cm": "tour de taille au nombril",
    "changed.hip_cm": "tour de hanches",
    "changed.thigh_upper_girth_cm": "tour de cuisse, en haut",
    "changed.thigh_mid_girth_cm": "tour de cuisse, au milieu",
    "changed.knee_girth_cm": "tour de genou",
    "changed.calf_girth_cm": "tour de mollet",
    "changed.ankle_girth_cm": "tour de cheville",
    "changed.arm_relaxed_girth_cm": "tour de bras",
    "changed.arm_flexed_girth_cm": "tour de bras, muscle contracté",
    "changed.forearm_girth_cm": "tour d’avant-bras",
    "changed.wrist_girth_cm": "tour de poignet",
    "page.real": "{since, select, last {Depuis la dernière fois,} first {Depuis la première fois,}"
        " over {Sur {visits, plural, one {# visite} other {# visites}}, depuis le {day},}"
        " other {Depuis le {day},}} votre taux de masse grasse a {way, select, down {baissé} other"
        " {augmenté}} d’environ {points, plural, one {# point} other {# points}} de pourcentage"
        " (fourchette\u00a0: {low} à {high}). Cela dépasse l’erreur de mesure.",
    "page.maybe": "{since, select, last {Depuis la dernière fois,} first {Depuis la première"
        " fois,} over {Sur {visits, plural, one {# visite} other {# visites}}, depuis le"
        " {day},} other {Depuis le {day},}} votre taux de masse grasse a probablement {way,"
        " select, down {baissé} other {augmenté}} (vrai pour environ {chance} personnes comme vous"
        " sur 20). Cela peut aussi venir de la mesure.",
    "page.no_telling": "{since, select, last {Depuis la dernière fois,} first {Depuis la première"
        " fois,} over {Sur {visits, plural, one {# visite} other {# visites}}, depuis le"
        " {day},} other {Depuis le {day},}} votre taux de masse grasse n’a pas changé de façon certaine."
        " De petits écarts sont dus à la mesure.",
    "page.not_compared": "{since, select, last {Depuis la dernière fois,} first {Depuis la"
        " première fois,} over {Sur {visits, plural, one {# visite} other {# visites}},"
        " depuis le {day},} other {Depuis le {day},}} nous ne pouvons pas comparer\u00a0: trop"
        " peu de mesures ont été prises les deux fois.",
    "page.fat_only": "{since, select, last {Depuis la dernière fois,} first {Depuis la première"
        " fois,} over {Sur {visits, plural, one {# visite} other {# visites}}, depuis le"
        " {day},} other {Depuis le {day},}} vous avez {way, select, down {perdu} other {pris}}"
        " environ {amount} de graisse (fourchette\u00a0: {low} à {high}). Cela dépasse l’erreur de"
        " mesure.",
    "page.measured_real": "{since, select, last {Depuis la dernière fois,} first {Depuis la"
        " première fois,} over {Sur {visits, plural, one {# visite} other {# visites}},"
        " depuis le {day},} other {Depuis le {day},}} le changement est certain pour"
        " ces mesures\u00a0: {what}.",
    "page.measured_unsure": "{since, select, last {Depuis la dernière fois,} first {Depuis la"
        " première fois,} over {Sur {visits, plural, one {# visite} other {# visites}},"
        " depuis le {day},} other {Depuis le {day},}} des mesures ont changé,"
        " peut-être par simple imprécision\u00a0: {what}.",
    "page.fat_mass": "Cela représente {amount} de graisse en {way, select, down {moins} other"
        " {plus}} (fourchette\u00a0: {low} à {high}).",
    "page.share_maybe": "La part de graisse dans votre poids a probablement {way, select, down"
        " {baissé} other {augmenté}} (vrai pour environ {chance} personnes comme vous sur 20).",
    "page.folds_changed": "somme de vos {count, plural, one {# pli cutané} other {# plis"
        " cutanés}}, de {earlier} à {later}",
}
# fmt: on
