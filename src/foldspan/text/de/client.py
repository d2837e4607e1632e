"""Deutsch: the sentences of the client's page in German, by the keys of ``text.catalogue.CLIENT_KEYS``.

A page in another language is one such catalogue more; a test holds every one to the same keys and the
same values in braces.
"""

from __future__ import annotations

# A doctor is "Ärztin oder Arzt", or "ärztlich" where that is shorter: never one of the two alone.
# Sites follow "können wir auch messen:", so they stand in the accusative.
# \u00a0 keeps a number and what belongs to it on one line. No brackets around a long sentence: the file
# would be longer than a file may be.
# fmt: off
GERMAN_SENTENCES: dict[str, str] = {
    "opening": "Zwischen {low} und {high} Prozent Ihres Gewichts sind wahrscheinlich Fett. So ein"
        " Bereich stimmt in 8 von 10 Fällen.",
    "why_range": "Keine Methode misst Fett genau. Darum nennen wir Ihnen einen Bereich und nicht"
        " eine einzige Zahl.",
    "next": "Beim nächsten Mal können wir auch messen: {what}. Dann kann der Bereich kleiner werden.",
    "end": "Das ist eine Orientierung und kein Gesundheitstest. Wenn die Zahlen Sie beunruhigen, können"
        " Sie mit uns, einer Ärztin oder einem Arzt sprechen. Sie müssen die Zahlen nicht ansehen.",
    "no_range": "Heute nennen wir Ihnen keine Zahl für Fett. {why} Wenn Sie Fragen haben, fragen Sie"
        " uns, eine Ärztin oder einen Arzt.",
    "stop": "Die Zahlen können bis zu einem anderen Tag warten.",
    "careful": "Danke, dass Sie gekommen sind. Heute lassen wir alle Zahlen weg und setzen keine Ziele."
        " Wie es Ihnen geht, zählt mehr.",
    "careful_end": "Sie können jederzeit aufhören. Wann immer Sie möchten, können Sie mit uns, einer"
        " Ärztin oder einem Arzt sprechen.",
    "verdict.agree": "Die Ergebnisse unserer Methoden passen gut zusammen.",
    "verdict.strained": "Die Ergebnisse unserer Methoden passen heute nicht so gut zusammen.",
    "verdict.disagree": "Die Ergebnisse unserer Methoden passen heute nicht zusammen. Am besten messen"
        " wir noch einmal.",
    "verdict.single": "Wir konnten nur eine Methode nutzen, also gab es nichts zum Vergleichen.",
    "verdict.explained": "Die Ergebnisse unserer Methoden passen nicht so gut zusammen, und es gibt"
        " dafür einen wahrscheinlichen Grund.",
    "reason.slip": "Eine Zahl ist vielleicht falsch aufgeschrieben. Das möchten wir noch einmal messen.",
    "reason.more_muscle": "Ihre Arme oder Beine zeigen kräftige Muskeln. Auch Muskeln sind schwer,"
        " darum ergibt Ihr Gewicht allein einen zu hohen Wert.",
    "reason.less_muscle": "Ihre Arme oder Beine zeigen weniger Muskeln, als Ihr Gewicht erwarten lässt,"
        " darum ergibt Ihr Gewicht allein einen zu niedrigen Wert.",
    "reason.belly_fat": "Hautfalten zeigen nur das Fett direkt unter der Haut. Das Maßband misst an der"
        " Taille auch, was tiefer liegt.",
    "reason.fat_under_skin": "Von Ihrem Fett liegt mehr direkt unter der Haut. Das Maßband an der"
        " Taille misst davon weniger.",
    "reason.trunk_fat": "Ihr Körper hat mehr Fett am Rumpf als an Armen und Beinen. Manche Methoden"
        " messen nur einen Teil.",
    "reason.limb_fat": "Ihr Körper hat mehr Fett an Armen und Beinen als am Rumpf. Manche Methoden"
        " messen nur einen Teil.",
    "reason.bmi_reads_high": "Gewicht und Größe unterscheiden nicht zwischen Muskeln und Fett. Ein"
        " Maßband am Arm würde helfen.",
    "reason.bmi_reads_low": "Gewicht und Größe unterscheiden nicht zwischen Muskeln und Fett. Ein"
        " Maßband am Arm würde helfen.",
    "reason.none": "Jede Methode wurde zuerst an anderen Menschen erprobt, darum misst jede etwas zu"
        " hoch oder zu niedrig.",
    "caution.low_fat": "Jeder Körper braucht etwas Fett, bitte setzen Sie sich kein niedrigeres Ziel."
        " Eine Ärztin oder ein Arzt kann Ihnen dabei helfen.",
    "caution.low_fat_women": "Jeder Körper braucht etwas Fett, bitte setzen Sie sich kein niedrigeres"
        " Ziel. Eine Ärztin oder ein Arzt kann Ihnen dabei helfen.",
    "no_range_why.E201": "Ihr Körper wächst noch, und eine Ärztin oder ein Arzt kann sich Ihr Wachstum"
        " mit Ihnen ansehen.",
    "no_range_why.E202": "In der Schwangerschaft passen unsere Methoden nicht. Ihre Hebamme, eine Ärztin"
        " oder ein Arzt kann mit Ihnen auf Ihr Gewicht achten.",
    "no_range_why.E204": "In den ersten Monaten nach einer Geburt passen unsere Methoden nicht. Ihre"
        " Hebamme, eine Ärztin oder ein Arzt kann mit Ihnen auf Ihr Gewicht achten.",
    "no_range_why.E205": "Unsere Methoden passen nicht zu Ihnen. Eine Arztpraxis hat andere.",
    "no_range_why.E206": "Unsere Methoden passen heute nicht zu Ihnen. Eine Arztpraxis hat andere.",
    "no_range_why.E207": "Wir haben zwei Ergebnisse berechnet; Sie können sich beide zeigen lassen.",
    "both_sexes": "Nach den Formeln für Frauen beträgt Ihr Körperfett wahrscheinlich {female_low} bis"
        " {female_high} Prozent, nach denen für Männer wahrscheinlich {male_low} bis {male_high}"
        " Prozent. Was besser zu Ihnen passt, kann niemand sagen. Achten Sie auf Ihre Taille und"
        " auf Änderungen.",
    "no_range_why.E203": "Wir müssen zuerst noch etwas mehr messen.",
    "elsewhere.fits": "Die {percent} Prozent, die man Ihnen anderswo gesagt hat, können dazu passen.",
    "elsewhere.apart": "Die {percent} Prozent, die man Ihnen anderswo gesagt hat, passen nicht gut"
        " dazu.",
    "elsewhere.used": "In dem Bereich stecken auch die {percent} Prozent, die man Ihnen anderswo gesagt"
        " hat.",
    "elsewhere.other_day": "Die {percent} Prozent, die man Ihnen anderswo gesagt hat, sind von einem"
        " anderen Zeitpunkt.",
    "elsewhere.does_not_add_up": "Auf dem Blatt mit {percent} Prozent ist ein Rechenfehler.",
    "flag.heart_signs": "Was Sie uns erzählt haben, kann nicht warten: Bitte wählen Sie jetzt den"
        " Notruf."
        " Wir hören hier auf und bleiben bei Ihnen, bis Hilfe da ist.",
    "flag.fainting": "Sie haben uns erzählt, dass Sie ohnmächtig waren. Bitte lassen Sie sich heute"
        " ärztlich untersuchen; wir messen ein andermal.",
    "flag.self_harm": "Danke, dass Sie es uns gesagt haben. Sie müssen damit nicht allein bleiben: Eine"
        " Ärztin, ein Arzt oder ein Krisentelefon kann Ihnen heute helfen, und wir helfen Ihnen, dort"
        " anzurufen.",
    "flag.one_leg_swollen": "Bitte lassen Sie Ihr Bein heute ärztlich untersuchen.",
    "flag.belly_urgent": "Bitte lassen Sie Ihren Bauch heute ärztlich untersuchen.",
    "flag.belly_fluid": "Bitte lassen Sie Ihren Bauch ärztlich untersuchen, bei Schmerzen, Fieber"
        " oder gelber Haut noch am selben Tag.",
    "flag.yellow_skin": "Bitte lassen Sie Ihre Haut und Ihre Augen ärztlich untersuchen, bei Fieber,"
        " Schmerzen oder Benommenheit noch am selben Tag.",
    "flag.thirst_urgent": "Nach dem, was Sie uns erzählt haben, brauchen Sie heute ärztliche Hilfe."
        " Bitte warten Sie nicht.",
    "flag.thirst_and_urine": "Eine Ärztin oder ein Arzt kann herausfinden, woher der große Durst kommt."
        " Wenn Sie erbrechen oder benommen sind, gehen Sie noch am selben Tag hin.",
    "flag.pressure_very_high": "Ihr Blutdruck ist gerade sehr hoch. Bitte lassen Sie sich heute"
        " ärztlich untersuchen.",
    "flag.pregnancy_signs": "Bitte rufen Sie heute Ihre Hebamme, eine Ärztin oder einen Arzt an.",
    "flag.pressure_raised": "Ihr Blutdruck war hoch. Eine einzelne Messung ist noch keine Diagnose,"
        " bitte lassen Sie ihn in einer Arztpraxis noch einmal prüfen.",
    "flag.swelling": "Bei einer Schwellung stimmen unsere Messungen nicht. Eine Ärztin oder ein Arzt"
        " kann herausfinden, woher die Schwellung kommt.",
    "flag.uneven_body": "Eine Ärztin oder ein Arzt kann sich die Veränderungen an Ihrem Körper ansehen,"
        " von denen Sie uns erzählt haben.",
    "flag.eating_concern": "Macht Ihnen das Essen Sorgen? Sie müssen damit nicht allein bleiben. Eine"
        " Ärztin, ein Arzt oder eine Beratung bei Essstörungen kann helfen.",
    "flag.periods_stopped": "Ihre Periode bleibt aus; eine Ärztin oder ein Arzt kann herausfinden,"
        " warum. Bitte setzen Sie sich bis dahin keine Ziele.",
    "flag.stress_fractures": "Eine Verletzung, die immer wiederkommt, kann sich eine Ärztin oder ein"
        " Arzt ansehen.",
    "flag.bmi_severely_low": "Ihr Gewicht ist sehr niedrig für Ihre Größe. Bitte lassen Sie sich heute"
        " ärztlich untersuchen; wir können Ihnen beim Anrufen helfen.",
    "flag.bmi_clearly_low": "Ihr Gewicht ist niedrig für Ihre Größe. Eine Ärztin oder ein Arzt kann"
        " sich das mit Ihnen ansehen.",
    "flag.bmi_low_with_fast_loss": "Ihr Gewicht ist niedrig für Ihre Größe, und es ist schnell"
        " gesunken. Bitte lassen Sie sich heute ärztlich untersuchen; wir helfen Ihnen beim Anrufen.",
    "flag.thin_for_age_severely": "Ihr Gewicht ist sehr niedrig für Ihre Größe. Bitte gehen Sie heute"
        " mit Ihren Eltern oder jemandem, dem Sie vertrauen, zur Ärztin oder zum Arzt.",
    "flag.thin_for_age": "Ihr Gewicht ist niedrig für Ihre Größe. Bitte gehen Sie mit Ihren Eltern oder"
        " jemandem, dem Sie vertrauen, zur Ärztin oder zum Arzt.",
    "flag.low_weight_limb_severely": "Ihr Gewicht ist sehr niedrig für Ihre Größe. Bitte lassen Sie"
        " sich heute ärztlich untersuchen; wir können Ihnen beim Anrufen helfen.",
    "flag.low_weight_limb": "Ihr Gewicht wirkt niedrig. Das kann daran liegen, dass ein Körperteil"
        " fehlt. Bitte lassen Sie das ärztlich klären.",
    "flag.bmi_low_older": "Ihr Gewicht ist niedrig für Ihr Alter. Bitte lassen Sie sich ärztlich"
        " untersuchen.",
    "flag.bmi_light_older": "Ihr Gewicht ist etwas niedrig für Ihr Alter. Bitte nehmen Sie nicht weiter"
        " ab; eine Ärztin oder ein Arzt kann sich das mit Ihnen ansehen.",
    "flag.bmi_low_with_loss": "Ihr Gewicht ist niedrig für Ihre Größe, und es ist gesunken. Bitte"
        " lassen Sie das ärztlich untersuchen.",
    "flag.bmi_low_for_illness": "Ihr Gewicht ist etwas niedrig, und Sie haben abgenommen oder essen"
        " wenig. Eine Ärztin oder ein Arzt kann Ihnen helfen.",
    "flag.bmi_low": "Ihr Gewicht ist niedrig für Ihre Größe. Wenn das neu für Sie ist, kann eine Ärztin"
        " oder ein Arzt es sich mit Ihnen ansehen.",
    "flag.loss_fast": "Sie haben schnell abgenommen, ohne es zu wollen. Bitte lassen Sie sich ärztlich"
        " untersuchen.",
    "flag.loss_with_worry": "Sie haben mehr abgenommen, als Ihnen guttut. Bitte lassen Sie sich"
        " ärztlich untersuchen.",
    "flag.height_lost": "Sie sind kleiner geworden. Bitte sprechen Sie mit einer Ärztin oder einem"
        " Arzt, damit Ihre Knochen untersucht werden.",
    "flag.loss_unplanned": "Sie haben abgenommen, ohne es zu wollen. Bitte lassen Sie ärztlich klären,"
        " warum.",
    "flag.loss_large_not_asked": "Sie haben in kurzer Zeit viel abgenommen. Bitte lassen Sie das"
        " ärztlich untersuchen.",
    "flag.weakness": "Eine Ärztin oder ein Arzt kann herausfinden, warum Sie sich schwach fühlen oder"
        " stürzen.",
    "flag.not_well": "Heute geht es Ihnen nicht gut, also kann das Messen warten. Gehen Sie zur Ärztin"
        " oder zum Arzt, wenn es nicht vorbeigeht.",
    "flag.loss_large_undated": "Sie haben viel abgenommen. Wenn Sie das nicht geplant haben, lassen Sie"
    " es bitte ärztlich abklären.",
    "flag.loss_not_asked": "Ihr Gewicht ist gesunken. Wenn Sie das nicht wollten, kann eine Ärztin oder"
        " ein Arzt herausfinden, warum.",
    "flag.loss_planned_fast": "Sie nehmen schnell ab. Langsamer ist besser für Ihre Muskeln; eine"
        " Ärztin oder ein Arzt kann Ihnen beim Planen helfen.",
    "flag.weight_with_signs": "Einige Ihrer Antworten sollten Sie ärztlich abklären lassen.",
    "flag.bmi_very_far_above": "Eine Ärztin oder ein Arzt kann Sie untersuchen, wenn Sie dieses Jahr"
        " noch keine Untersuchung hatten.",
    "flag.bmi_far_above": "Eine Ärztin oder ein Arzt kann Sie untersuchen, wenn Sie dieses Jahr noch"
        " keine Untersuchung hatten.",
    "flag.waist_six_tenths": "Ihre Taille sagt hier mehr aus als Ihr Gewicht. Eine Ärztin oder ein Arzt"
        " kann Sie untersuchen.",
    "flag.weight_and_waist": "Eine ärztliche Untersuchung ist sinnvoll, wenn Sie dieses Jahr noch keine"
        " hatten.",
    "flag.central_fat": "Ihr Gewicht ist üblich für Ihre Größe. Ihre Taille ist dafür etwas breit, und"
        " Sie können darüber mit uns, einer Ärztin oder einem Arzt sprechen.",
    "flag.fat_very_low": "Ihr Körper hat sehr wenig Fett, und er braucht etwas davon. Bitte setzen Sie"
        " sich kein niedrigeres Ziel; eine Ärztin oder ein Arzt kann sich das mit Ihnen ansehen.",
    "flag.folds_very_low": "Ihr Körper hat sehr wenig Fett, und er braucht etwas davon. Bitte setzen"
        " Sie sich kein niedrigeres Ziel; eine Ärztin oder ein Arzt kann sich das mit Ihnen ansehen.",
    "flag.fat_near_minimum": "Ihr Körper hat wenig Fett, und er braucht etwas davon. Bitte setzen Sie"
        " sich kein niedrigeres Ziel.",
    "flag.lean_low_with_loss": "Sie haben abgenommen, vielleicht auch an Muskeln. Eine Ärztin oder ein"
        " Arzt kann Ihnen helfen, die Muskeln wieder aufzubauen.",
    "flag.lean_low": "Etwas mehr Muskeln würden Ihnen helfen. Wenn Sie gerade abnehmen, fragen Sie auch"
        " eine Ärztin oder einen Arzt.",
    "flag.muscle_and_weight": "Kräftiger zu werden ist jetzt wichtiger als die Zahl auf der Waage. Eine"
        " Ärztin oder ein Arzt kann sich Ihre Kraft mit Ihnen ansehen.",
    "flag.muscle_signs": "Kräftiger zu werden würde Ihnen helfen. Eine Ärztin oder ein Arzt kann"
        " prüfen, wie stark Sie sind und wie Sie gehen.",
    "flag.bleeding": "Beim Messen von Hautfalten können Sie blaue Flecken bekommen, darum ist das"
        " Maßband besser. Ihre Ärztin oder Ihr Arzt kann uns mehr sagen.",
    "flag.do_not_pinch": "Die wunde Stelle lassen wir aus. Das ist in Ordnung.",
    "flag.recent_surgery": "Die Stelle Ihrer Operation lassen wir aus, bis sie verheilt ist.",
    "flag.belly_not_valid": "Nach Ihrer Taille richten wir uns heute nicht. Das ist in Ordnung.",
    "flag.body_not_valid": "Manche unserer Methoden passen nicht zu Ihnen. Eine Arztpraxis hat andere.",
    "flag.medicines": "Manche Medikamente verschieben Fett oder Wasser im Körper, darum kann unser"
        " Bereich danebenliegen.",
    "flag.anabolic_drugs": "Was Sie für den Muskelaufbau nehmen, bringt Muskeln und Wasser, darum kann"
    " unser Bereich danebenliegen. Bitte sprechen Sie mit einer Ärztin oder einem Arzt darüber.",
    "flag.strong_build": "Gewicht und Größe unterscheiden nicht zwischen Muskeln und Fett, darum"
        " richten wir uns bei Ihnen nicht danach.",
    "careful_flag.refer_soon": "Wir können Ihnen helfen, einen Termin in einer Arztpraxis zu bekommen.",
    "careful_flag.refer_urgently": "Bitte lassen Sie sich heute ärztlich untersuchen. Wir können Ihnen"
        " beim Anrufen helfen.",
    "site.weight_kg": "das Gewicht",
    "site.height_cm": "die Körpergröße",
    "site.chest_mm": "eine Falte an der Brust",
    "site.midaxillary_mm": "eine Falte seitlich am Brustkorb",
    "site.triceps_mm": "eine Falte hinten am Oberarm",
    "site.biceps_mm": "eine Falte vorn am Oberarm",
    "site.subscapular_mm": "eine Falte am oberen Rücken",
    "site.abdominal_mm": "eine Falte am Bauch",
    "site.suprailiac_anterior_mm": "eine Falte über der Hüfte",
    "site.suprailiac_midaxillary_mm": "eine Falte über der Hüfte",
    "site.supraspinale_mm": "eine Falte über der Hüfte",
    "site.thigh_mm": "eine Falte am Oberschenkel",
    "site.calf_mm": "eine Falte an der Wade",
    "site.chin_mm": "eine Falte unter dem Kinn",
    "site.neck_cm": "den Hals",
    "site.chest_girth_cm": "den Brustumfang",
    "site.breast_girth_cm": "den Umfang über der Brust",
    "site.waist_narrowest_cm": "die Taille",
    "site.waist_midpoint_cm": "die Taille",
    "site.waist_iliac_cm": "die Taille",
    "site.abdomen_navel_cm": "die Taille am Nabel",
    "site.hip_cm": "die Hüfte",
    "site.thigh_upper_girth_cm": "den Oberschenkel oben",
    "site.thigh_mid_girth_cm": "den Oberschenkel in der Mitte",
    "site.knee_girth_cm": "den Umfang am Knie",
    "site.calf_girth_cm": "die Wade",
    "site.ankle_girth_cm": "den Knöchel",
    "site.arm_relaxed_girth_cm": "den lockeren Oberarm",
    "site.arm_flexed_girth_cm": "den angespannten Oberarm",
    "site.forearm_girth_cm": "den Unterarm",
    "site.wrist_girth_cm": "das Handgelenk",
    "site.elbow_breadth_cm": "die Breite des Ellenbogens",
    "site.knee_breadth_cm": "die Breite des Knies",
    "site.wrist_breadth_cm": "die Breite des Handgelenks",
    "band.severely_low": "sehr weit unter dem üblichen Bereich",
    "band.clearly_low": "deutlich unter dem üblichen Bereich",
    "band.low": "unter dem üblichen Bereich",
    "band.usual": "im üblichen gesunden Bereich",
    "band.above": "über dem üblichen Bereich",
    "band.well_above": "deutlich über dem üblichen Bereich",
    "band.far_above": "weit über dem üblichen Bereich",
    "band.very_far_above": "sehr weit über dem üblichen Bereich",
    "band.light_for_age": "für dieses Alter eher leicht",
    "band.usual_for_age": "im Bereich mit dem kleinsten Risiko in diesem Alter",
    "band.heavy_for_age": "über dem Bereich mit dem kleinsten Risiko in diesem Alter",
    "band.small_for_height": "schmal",
    "band.under_half": "unter der halben Körpergröße",
    "band.half_or_more": "die halbe Körpergröße oder mehr",
    "band.six_tenths_or_more": "sechs Zehntel der Körpergröße oder mehr",
    "band.below_raised": "unter der Grenze für erhöhtes Risiko",
    "band.raised": "im Bereich mit erhöhtem Risiko",
    "band.high": "im Bereich mit hohem Risiko",
    "band.below_central": "unter der Grenze für Bauchfett",
    "band.central": "an oder über der Grenze für Bauchfett",
    "band.below_high_for_class": "nicht hoch für diese Gewichtsklasse",
    "band.high_for_class": "hoch für diese Gewichtsklasse",
    "band.lighter_match": "weniger als bei gesundem Gewicht",
    "band.healthy_match": "wie bei gesundem Gewicht",
    "band.above_match": "mehr als bei gesundem Gewicht",
    "band.well_above_match": "deutlich mehr als bei gesundem Gewicht",
    "band.no_case_seen": "wo die Studie keine Fälle fand",
    "band.few_cases": "wo die Studie wenige Fälle fand",
    "band.risk_clusters": "wo Risiken sich zu häufen beginnen",
    "band.risk_common": "wo Risiken häufig sind",
    "band.below_bmi_30_match": "weniger als bei einem Body-Mass-Index von 30",
    "band.bmi_30_match_or_more": "wie bei einem Body-Mass-Index von 30 oder mehr",
    "band.below_span": "unter der Spanne",
    "band.in_span": "in der Spanne",
    "band.above_span": "über der Spanne",
    "band.below_minimum": "unter dem Mindestwert, den der Sport bescheinigt",
    "band.at_or_above_minimum": "an oder über dem Mindestwert, den der Sport bescheinigt",
    "band.severe_shortage": "starker Mangel an Fett",
    "band.moderate_shortage": "mittlerer Mangel an Fett",
    "band.mild_shortage": "leichter Mangel an Fett",
    "band.usual_fat": "üblich viel Fett für die Größe",
    "band.excess": "mehr Fett für die Größe als üblich",
    "band.class_1": "Klasse 1 beim Fett für die Größe",
    "band.class_2": "Klasse 2 beim Fett für die Größe",
    "band.class_3": "Klasse 3 beim Fett für die Größe",
    "band.low_lean": "wenig Magermasse für die Größe",
    "band.not_low_lean": "Magermasse nicht niedrig für die Größe",
    "family.skinfold": "Hautfalten",
    "family.girth": "Umfänge",
    "family.mass_height": "Gewicht und Größe",
    "family.waist_height": "Taille und Größe",
    "page.title": "Ihre Messung",
    "page.title_careful": "Ihr Besuch",
    "page.day": "Datum",
    "page.tester": "Gemessen von",
    "page.code": "Ihr Kürzel",
    "page.chance": "{band} ({chance}\u00a0von\u00a0100)",
    "page.almost_sure": "mehr als 99",
    "page.hardly": "weniger als 1",
    "page.change": "Was sich verändert hat",
    "page.since_day": "Seit dem {day}",
    "page.since_last": "Seit dem letzten Mal",
    "page.over_visits": "Über {visits} Besuche seit dem {day}",
    "page.real_down": "{since} ist Ihr Körperfett um etwa {points} Prozentpunkte gesunken"
        " (wahrscheinlich {low} bis {high}). Das ist mehr, als durch Zufall entsteht.",
    "page.real_up": "{since} ist Ihr Körperfett um etwa {points} Prozentpunkte gestiegen"
        " (wahrscheinlich {low} bis {high}). Das ist mehr, als durch Zufall entsteht.",
    "page.maybe_down": "{since} ist Ihr Körperfett wahrscheinlich gesunken (etwa {chance} von 20);"
        " es kann auch Zufall sein.",
    "page.maybe_up": "{since} ist Ihr Körperfett wahrscheinlich gestiegen (etwa {chance} von 20);"
        " es kann auch Zufall sein.",
    "page.no_telling": "{since}: Ob sich Ihr Körperfett verändert hat, können wir nicht sagen. Schon"
        " beim Messen entstehen solche Unterschiede.",
    "page.not_compared": "{since}: Für einen Vergleich wurde zu wenig beide Male gemessen.",
    "page.weight_changed": "Ihr Gewicht: vorher {earlier}, jetzt {later}.",
    "page.weight_real": "Ihr Gewicht: vorher {earlier}, jetzt {later}. Das ist eine"
        " echte Änderung.",
    "page.fat_mass_down": "Das sind etwa {amount} weniger Fett (wahrscheinlich {low} bis {high}).",
    "page.fat_mass_up": "Das sind etwa {amount} mehr Fett (wahrscheinlich {low} bis {high}).",
    "page.fat_only_down": "{since} haben Sie etwa {amount} Fett verloren (wahrscheinlich {low} bis"
        " {high}). Das ist mehr, als durch Zufall entsteht.",
    "page.fat_only_up": "{since} haben Sie etwa {amount} Fett zugenommen (wahrscheinlich {low} bis"
        " {high}). Das ist mehr, als durch Zufall entsteht.",
    "page.share_maybe_down": "Der Anteil am Gewicht ist wahrscheinlich gesunken (etwa {chance} von 20).",
    "page.share_maybe_up": "Der Anteil am Gewicht ist wahrscheinlich gestiegen (etwa {chance} von 20).",
    "page.share_no_telling": "Der Anteil am Gewicht kann trotzdem gleich geblieben sein.",
    "page.next": "Nächste Schritte",
    "page.repeat_soon": "Lassen Sie bald alles noch einmal messen, bevor Sie sich auf diese Zahlen"
        " verlassen.",
    "page.repeat": "Lassen Sie in {weeks} Wochen oder später wieder messen: dieselbe Person, dieselben"
        " Geräte.",
    "page.strength": "Ab 65 sagen Kraft und Gehen mehr aus als eine Prozentzahl für Fett.",
    "page.ask": "Fragen Sie uns, eine Ärztin oder einen Arzt, was immer Sie wissen möchten.",
    "page.measured": "Gemessen: {what}.",
    "page.folds": "{count} Hautfalten",
    "page.one_fold": "1 Hautfalte",
    "page.girths": "{count} Umfänge",
    "page.one_girth": "1 Umfang",
    "page.breadths": "Breite von {count} Knochen",
    "page.one_breadth": "Breite von 1 Knochen",
    "page.weight": "Gewicht",
    "page.height": "Größe",
    "page.scale": "Maßstab des Bereichs: {reference_method}.",
    "page.local": "Wir haben unsere Messungen mit {reference_method} verglichen; der Bereich"
    " berücksichtigt das.",
    "page.printed": "Die veröffentlichten Formeln wurden genau so benutzt, wie sie gedruckt sind.",
    "page.sources": "Grenzen nach: {names}.",
    "page.not_verified": "{name} (noch nicht im Druck geprüft)",
    "page.screening": "Das ist eine Orientierung, keine Diagnose.",
    "scale.density": "Wiegen unter Wasser",
    "scale.dxa": "DXA (Körperscan)",
    "measure.fat_percent": "Fett",
    "measure.bmi": "Gewicht für Ihre Größe",
    "measure.waist_to_height": "Taille für Ihre Größe",
    "picture.likely": "wahrscheinlich {low} bis {high}\u00a0%",
    "picture.span": "{low} bis {high}\u00a0%",
    "picture.you": "Sie: {value}",
    "picture.axis.fat_percent": "Körperfett, Prozent des Gewichts",
    "picture.axis.bmi": "Body-Mass-Index, kg/m²",
    "picture.axis.waist_to_height": "Taille geteilt durch Größe",
    "picture.method": "{name} {low} bis {high} Prozent",
    "picture.agreement": "Was jede Methode sagt, jede mit ihrem eigenen wahrscheinlichen Bereich:"
        " {methods}. Dahinter der wahrscheinliche Bereich aller zusammen: {low} bis {high} Prozent.",
    "picture.bands": "Die Stufen nach {name} ({measure}), von niedrig nach hoch, jede mit ihrer"
        " Wahrscheinlichkeit: {chances}. Dahinter der wahrscheinliche Bereich.",
    "picture.in_100": "{chance}\u00a0von\u00a0100",
    "picture.trend": "Der wahrscheinliche Bereich für Ihr Körperfett bei jedem Besuch: {visits}. Von"
        " Besuch zu Besuch: {steps}.",
    "picture.trend_whole": "Über alle Besuche: {points}.",
    "picture.visit": "{day} {low} bis {high} Prozent",
    "picture.real": "{points} (echt)",
    "picture.not_real": "vielleicht Zufall",
    "picture.not_compared": "nicht verglichen",
    "picture.other_sites": "andere Stellen",
    "caption.agreement": "Dünne Linien: der Bereich jeder Methode, ein Punkt der beste Wert. Dicke"
        " Linie: alle zusammen.",
    "caption.one_way": "Dünne Linie: ihr eigener Bereich, ein Punkt der beste Wert. Dicke Linie:"
        " Ihr Bereich.",
    "caption.bands": "Dunklere Fläche: wo Sie wahrscheinlich liegen; hellere Fläche: wo nur selten.",
    "caption.trend": "Balken: der Bereich an jedem Tag. Dicke Linie: echte Veränderung, auch wenn sich"
        " Balken überlappen; gepunktet: vielleicht Zufall.",
}
# fmt: on
