"""Deutsch, changes: what changed of folds and tape measures, by their keys; sites in the nominative."""

from __future__ import annotations

# fmt: off
GERMAN_CHANGES: dict[str, str] = {
    "page.measured_unsure_too": "Kann auch an der Messung liegen: {what}.",
    "page.site_changed": "{site} von {earlier} auf {later}",
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
    "page.real": "{since, select, last {Seit dem letzten Mal} first {Seit dem ersten Mal} over"
        " {Über {visits, plural, one {# Besuch} other {# Besuche}} hinweg, seit dem {day},} other"
        " {Seit dem {day}}} ist Ihr Körperfett um etwa {points, plural, one {# Prozentpunkt} other"
        " {# Prozentpunkte}} {way, select, down {gesunken} other {gestiegen}} (Bereich: {low} bis"
        " {high}). Das ist mehr als die Messungenauigkeit.",
    "page.maybe": "{since, select, last {Seit dem letzten Mal} first {Seit dem ersten Mal} over"
        " {Über {visits, plural, one {# Besuch} other {# Besuche}} hinweg, seit dem {day},} other"
        " {Seit dem {day}}} ist Ihr Körperfett wahrscheinlich {way, select, down {gesunken} other"
        " {gestiegen}} (das trifft auf etwa {chance} von 20 Menschen mit solchen Werten zu). Es"
        " kann auch an der Messung liegen.",
    "page.no_telling": "{since, select, last {Seit dem letzten Mal} first {Seit dem ersten Mal}"
        " over {Über {visits, plural, one {# Besuch} other {# Besuche}} hinweg, seit dem {day},}"
        " other {Seit dem {day}}} hat sich Ihr Körperfett nicht erkennbar verändert. Kleine"
        " Unterschiede entstehen schon beim Messen.",
    "page.not_compared": "{since, select, last {Seit dem letzten Mal} first {Seit dem ersten Mal}"
        " over {Über {visits, plural, one {# Besuch} other {# Besuche}} hinweg, seit dem {day},}"
        " other {Seit dem {day}}} ist kein Vergleich möglich: Es wurde zu wenig an denselben"
        " Stellen gemessen.",
    "page.fat_only": "{since, select, last {Seit dem letzten Mal} first {Seit dem ersten Mal} over"
        " {Über {visits, plural, one {# Besuch} other {# Besuche}} hinweg, seit dem {day},} other"
        " {Seit dem {day}}} haben Sie etwa {amount} Fett {way, select, down {verloren} other"
        " {zugenommen}} (Bereich: {low} bis {high}). Das ist mehr als die Messungenauigkeit.",
    "page.measured_real": "{since, select, last {Seit dem letzten Mal} first {Seit dem ersten"
        " Mal} over {Über {visits, plural, one {# Besuch} other {# Besuche}} hinweg, seit dem"
        " {day},} other {Seit dem {day}}} erkennbar verändert: {what}.",
    "page.measured_unsure": "{since, select, last {Seit dem letzten Mal} first {Seit dem ersten"
        " Mal} over {Über {visits, plural, one {# Besuch} other {# Besuche}} hinweg, seit dem"
        " {day},} other {Seit dem {day}}} gab es Veränderungen, die auch an der Messung liegen"
        " können: {what}.",
    "page.fat_mass": "Das sind etwa {amount} {way, select, down {weniger} other {mehr}} Fett"
        " (Bereich: {low} bis {high}).",
    "page.share_maybe": "Der Fettanteil am Gewicht ist wahrscheinlich {way, select, down"
        " {gesunken} other {gestiegen}} (das trifft auf etwa {chance} von 20 Menschen mit solchen"
        " Werten zu).",
    "page.folds_changed": "{count, plural, one {Hautfalte} other {Summe der # Hautfalten}} von"
        " {earlier} auf {later}",
}
# fmt: on
