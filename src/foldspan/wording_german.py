"""Deutsch: the sentences of the client's page in German, by the keys of ``language.CLIENT_KEYS``.

A page in another language is one such catalogue more; a test holds every one to the same keys and the
same values in braces.
"""

from __future__ import annotations

# fmt: off
GERMAN_SENTENCES: dict[str, str] = {
    "opening": (
        "Zwischen {low} und {high} Prozent Ihres Gewichts sind wahrscheinlich Fett. So ein Bereich"
        " stimmt in 8 von 10 Fällen."
    ),
    "why_range": (
        "Fett lässt sich auf keine Weise genau messen. Darum nennen wir einen Bereich und nicht eine"
        " einzige Zahl."
    ),
    "next": "Nächstes Mal können wir auch messen: {what}. Dann kann der Bereich kleiner werden.",
    "end": (
        "Das ist eine Orientierung und kein Gesundheitstest. Wenn die Zahlen Sie beunruhigen, sprechen"
        " Sie mit uns oder mit einem Arzt. Sie müssen sie nicht ansehen."
    ),
    "no_range": (
        "Heute nennen wir Ihnen keine Zahl für Fett. {why} Fragen beantworten wir oder ein Arzt gern."
    ),
    "stop": "Die Zahlen haben Zeit bis zu einem anderen Tag.",
    "careful": (
        "Danke, dass Sie da waren. Heute lassen wir alle Zahlen weg und setzen keine Ziele. Wie es"
        " Ihnen geht, zählt mehr."
    ),
    "careful_end": (
        "Sie können jederzeit aufhören. Sie können mit uns oder mit einem Arzt sprechen, wann immer Sie"
        " möchten."
    ),
    "verdict.agree": "Die Wege, auf denen wir gemessen haben, passen gut zusammen.",
    "verdict.strained": "Die Wege, auf denen wir gemessen haben, passen heute nicht so gut zusammen.",
    "verdict.disagree": (
        "Die Wege, auf denen wir gemessen haben, passen heute nicht zusammen. Am besten messen wir noch"
        " einmal."
    ),
    "verdict.single": "Wir konnten nur einen Weg nutzen, also gab es nichts zum Vergleichen.",
    "verdict.explained": (
        "Die Wege, auf denen wir gemessen haben, passen nicht so gut zusammen, und dafür gibt es einen"
        " wahrscheinlichen Grund."
    ),
    "reason.slip": "Eine Zahl ist vielleicht falsch notiert. Wir möchten sie noch einmal messen.",
    "reason.more_muscle": (
        "Ihre Arme oder Beine zeigen kräftige Muskeln. Auch Muskeln wiegen, darum sagt Ihr Gewicht"
        " allein zu viel."
    ),
    "reason.less_muscle": (
        "Ihre Arme oder Beine zeigen weniger Muskeln, als Ihr Gewicht erwarten lässt, darum sagt Ihr"
        " Gewicht allein zu wenig."
    ),
    "reason.belly_fat": (
        "Hautfalten zeigen nur das Fett gleich unter der Haut. Das Maßband sieht auch, was an der"
        " Taille tiefer liegt."
    ),
    "reason.fat_under_skin": (
        "Mehr von Ihrem Fett liegt gleich unter der Haut. Das Maßband an der Taille sieht davon"
        " weniger."
    ),
    "reason.trunk_fat": (
        "Ihr Körper hat mehr Fett am Rumpf als an Armen und Beinen. Manche Wege sehen nur einen Teil."
    ),
    "reason.limb_fat": (
        "Ihr Körper hat mehr Fett an Armen und Beinen als am Rumpf. Manche Wege sehen nur einen Teil."
    ),
    "reason.bmi_reads_high": (
        "Gewicht und Größe können Muskeln nicht von Fett unterscheiden. Ein Maßband am Arm würde"
        " helfen."
    ),
    "reason.bmi_reads_low": (
        "Gewicht und Größe können Muskeln nicht von Fett unterscheiden. Ein Maßband am Arm würde"
        " helfen."
    ),
    "reason.none": (
        "Jeder Weg wurde zuerst an anderen Menschen erprobt, darum misst jeder etwas hoch oder tief."
    ),
    "caution.low_fat": (
        "Ein Körper braucht etwas Fett, bitte gehen Sie nicht tiefer. Ein Arzt kann Ihnen dabei helfen."
    ),
    "caution.low_fat_women": (
        "Ein Körper braucht etwas Fett, bitte gehen Sie nicht tiefer. Ein Arzt kann Ihnen dabei helfen."
    ),
    "no_range_why.E201": (
        "Ihr Körper wächst noch, und ein Arzt kann Ihr Wachstum mit Ihnen ansehen."
    ),
    "no_range_why.E202": (
        "In der Schwangerschaft und einige Monate danach stimmt kein Weg, Fett zu messen."
    ),
    "no_range_why.E204": "In den ersten Monaten nach einer Geburt stimmt kein Weg, Fett zu messen.",
    "no_range_why.E205": "Unsere Wege zu messen passen nicht zu Ihnen. Ein Arzt hat andere.",
    "no_range_why.E206": "Unsere Wege zu messen passen heute nicht zu Ihnen. Ein Arzt hat andere.",
    "no_range_why.E203": "Wir müssen zuerst noch etwas mehr messen.",
    "elsewhere.fits": "Die {percent} Prozent, die man Ihnen anderswo gesagt hat, können dazu passen.",
    "elsewhere.apart": "Die {percent} Prozent, die man Ihnen anderswo gesagt hat, passen schlecht dazu.",
    "elsewhere.used": (
        "In den Bereich sind auch die {percent} Prozent eingegangen, die man Ihnen anderswo gesagt hat."
    ),
    "elsewhere.other_day": (
        "Die {percent} Prozent, die man Ihnen anderswo gesagt hat, sind aus einer anderen Zeit."
    ),
    "elsewhere.does_not_add_up": "Das Blatt mit {percent} Prozent hat einen Rechenfehler.",
    "flag.heart_signs": (
        "Was Sie uns erzählt haben, braucht jetzt einen Arzt. Wir hören hier auf und helfen Ihnen,"
        " einen zu rufen."
    ),
    "flag.fainting": (
        "Sie haben uns erzählt, dass Sie ohnmächtig waren. Bitte gehen Sie heute zu einem Arzt; wir"
        " messen ein andermal."
    ),
    "flag.self_harm": (
        "Danke, dass Sie es uns gesagt haben. Sie müssen damit nicht allein sein: Ein Arzt oder ein"
        " Krisentelefon kann Ihnen heute helfen, und wir helfen Ihnen, dort anzurufen."
    ),
    "flag.one_leg_swollen": "Bitte lassen Sie heute einen Arzt Ihr Bein ansehen.",
    "flag.belly_urgent": "Bitte lassen Sie heute einen Arzt Ihren Bauch ansehen.",
    "flag.belly_fluid": "Bitte lassen Sie bald einen Arzt Ihren Bauch ansehen.",
    "flag.yellow_skin": "Bitte lassen Sie bald einen Arzt Ihre Haut und Ihre Augen ansehen.",
    "flag.thirst_urgent": (
        "Was Sie uns erzählt haben, braucht heute einen Arzt. Bitte warten Sie nicht."
    ),
    "flag.thirst_and_urine": "So großer Durst ist einen Arztbesuch in den nächsten Tagen wert.",
    "flag.pressure_very_high": (
        "Ihr Blutdruck ist gerade sehr hoch. Bitte gehen Sie heute zu einem Arzt."
    ),
    "flag.pregnancy_signs": "Bitte rufen Sie heute Ihre Hebamme oder einen Arzt an.",
    "flag.pressure_raised": (
        "Ihr Blutdruck war erhöht. Ein Arzt kann ihn noch einmal mit Ihnen messen."
    ),
    "flag.swelling": (
        "Bei Schwellungen stimmt unser Messen nicht. Ein Arzt kann herausfinden, woher sie kommen."
    ),
    "flag.uneven_body": "Ein Arzt kann die Stellen ansehen, von denen Sie uns erzählt haben.",
    "flag.eating_concern": (
        "Macht Essen Ihnen Sorgen? Sie müssen das nicht allein tragen. Ein Arzt oder eine Beratung für"
        " Essstörungen kann helfen."
    ),
    "flag.periods_stopped": (
        "Wenn die Periode ausbleibt, kann ein Arzt herausfinden, warum. Bitte setzen Sie sich bis dahin"
        " keine Ziele."
    ),
    "flag.stress_fractures": "Verletzungen, die wiederkommen, sind einen Arztbesuch wert.",
    "flag.bmi_severely_low": (
        "Ihr Gewicht ist sehr niedrig für Ihre Größe. Bitte gehen Sie heute zu einem Arzt; wir helfen"
        " Ihnen, dort anzurufen."
    ),
    "flag.bmi_clearly_low": (
        "Ihr Gewicht ist niedrig für Ihre Größe. Ein Arzt kann das bald mit Ihnen ansehen."
    ),
    "flag.bmi_low_with_loss": (
        "Ihr Gewicht ist niedrig für Ihre Größe und ist gesunken. Bitte lassen Sie das bald einen Arzt"
        " ansehen."
    ),
    "flag.bmi_low_for_illness": (
        "Ihr Gewicht ist etwas niedrig, und Sie haben abgenommen oder essen wenig. Ein Arzt kann Ihnen"
        " bald helfen."
    ),
    "flag.bmi_low": (
        "Ihr Gewicht ist niedrig für Ihre Größe. Wenn das neu für Sie ist, kann ein Arzt es mit Ihnen"
        " ansehen."
    ),
    "flag.loss_fast": (
        "Sie haben schnell abgenommen, ohne es zu wollen. Bitte gehen Sie heute oder morgen zu einem"
        " Arzt."
    ),
    "flag.loss_unplanned": (
        "Sie haben abgenommen, ohne es zu wollen. Ein Arzt kann herausfinden, warum; bitte gehen"
        " Sie bald hin."
    ),
    "flag.loss_large_not_asked": (
        "Sie haben in kurzer Zeit viel abgenommen. Bitte lassen Sie das bald einen Arzt ansehen."
    ),
    "flag.weakness": (
        "Ein Arzt kann herausfinden, warum Sie sich schwach fühlen oder stürzen."
    ),
    "flag.not_well": (
        "Ihnen geht es heute nicht gut, also kann das Messen warten. Gehen Sie zu einem Arzt, wenn es"
        " nicht vorbeigeht."
    ),
    "flag.loss_not_asked": (
        "Ihr Gewicht ist gesunken. Wenn Sie das nicht wollten, kann ein Arzt herausfinden, warum."
    ),
    "flag.loss_planned_fast": (
        "Sie nehmen schnell ab. Langsamer schont Ihre Muskeln; ein Arzt kann es mit Ihnen planen."
    ),
    "flag.weight_with_signs": (
        "Zu manchem, was Sie uns erzählt haben, passt eine Untersuchung. Ein Arzt kann sie mit Ihnen"
        " machen."
    ),
    "flag.bmi_very_far_above": (
        "Ein Arzt kann Sie untersuchen, wenn das dieses Jahr noch nicht geschehen ist."
    ),
    "flag.bmi_far_above": (
        "Ein Arzt kann Sie untersuchen, wenn das dieses Jahr noch nicht geschehen ist."
    ),
    "flag.waist_six_tenths": (
        "Ihre Taille sagt hier mehr als Ihr Gewicht. Ein Arzt kann Sie untersuchen."
    ),
    "flag.central_fat": (
        "Ihr Gewicht ist üblich für Ihre Größe. Ihre Taille ist etwas groß dafür, und Sie können"
        " darüber mit uns oder mit einem Arzt sprechen."
    ),
    "flag.fat_very_low": (
        "Ihr Körper hat sehr wenig Fett, und er braucht etwas davon. Bitte gehen Sie nicht tiefer; ein"
        " Arzt kann das mit Ihnen ansehen."
    ),
    "flag.fat_near_minimum": (
        "Ihr Körper hat wenig Fett, und er braucht etwas davon. Bitte gehen Sie nicht tiefer."
    ),
    "flag.lean_low_with_loss": (
        "Sie haben abgenommen, vielleicht auch Muskeln. Ein Arzt kann Ihnen helfen, sie"
        " wiederzubekommen."
    ),
    "flag.lean_low": (
        "Etwas mehr Muskeln würden Ihnen helfen. Wenn Sie abnehmen, fragen Sie auch einen Arzt."
    ),
    "flag.muscle_and_weight": (
        "Kräftiger zu werden ist jetzt wichtiger als die Zahl auf der Waage. Ein Arzt kann Ihre"
        " Kraft mit Ihnen ansehen."
    ),
    "flag.muscle_signs": (
        "Kräftiger zu werden würde Ihnen helfen. Ein Arzt kann prüfen, wie stark Sie sind und wie Sie"
        " gehen."
    ),
    "flag.bleeding": (
        "Falten können bei Ihnen blaue Flecken hinterlassen, darum ist das Maßband besser. Ihr Arzt"
        " kann uns mehr sagen."
    ),
    "flag.do_not_pinch": "Die wunde Stelle lassen wir aus. Das ist in Ordnung.",
    "flag.recent_surgery": "Die Stelle Ihrer Operation lassen wir aus, bis sie verheilt ist.",
    "flag.belly_not_valid": "Nach Ihrer Taille richten wir uns heute nicht. Das ist in Ordnung.",
    "flag.body_not_valid": (
        "Manche unserer Wege zu messen passen nicht zu Ihnen. Ein Arzt hat andere."
    ),
    "flag.medicines": (
        "Manche Medikamente verschieben Fett oder Wasser im Körper, darum kann unser Bereich"
        " danebenliegen."
    ),
    "flag.strong_build": (
        "Gewicht und Größe können Muskeln nicht von Fett unterscheiden, darum richten wir uns bei Ihnen"
        " nicht danach."
    ),
    "careful_flag.refer_soon": "Bitte gehen Sie bald zu einem Arzt. Wir können Ihnen dabei helfen.",
    "careful_flag.refer_urgently": (
        "Bitte gehen Sie heute zu einem Arzt. Wir können Ihnen helfen, dort anzurufen."
    ),
    "site.weight_kg": "Ihr Gewicht",
    "site.height_cm": "Ihre Größe",
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
    "site.neck_cm": "der Hals",
    "site.chest_girth_cm": "der Brustumfang",
    "site.breast_girth_cm": "der Umfang über der Brust",
    "site.waist_narrowest_cm": "die Taille",
    "site.waist_midpoint_cm": "die Taille",
    "site.waist_iliac_cm": "die Taille",
    "site.abdomen_navel_cm": "die Taille am Nabel",
    "site.hip_cm": "die Hüfte",
    "site.thigh_upper_girth_cm": "der Oberschenkel oben",
    "site.thigh_mid_girth_cm": "der Oberschenkel in der Mitte",
    "site.knee_girth_cm": "der Umfang am Knie",
    "site.calf_girth_cm": "die Wade",
    "site.ankle_girth_cm": "der Knöchel",
    "site.arm_relaxed_girth_cm": "der Oberarm, locker",
    "site.arm_flexed_girth_cm": "der Oberarm, angespannt",
    "site.forearm_girth_cm": "der Unterarm",
    "site.wrist_girth_cm": "das Handgelenk",
    "site.elbow_breadth_cm": "die Breite des Ellenbogens",
    "site.knee_breadth_cm": "die Breite des Knies",
    "site.wrist_breadth_cm": "die Breite des Handgelenks",
    "band.severely_low": "stark unter dem Üblichen für die Größe",
    "band.clearly_low": "deutlich unter dem Üblichen für die Größe",
    "band.low": "unter dem Üblichen für die Größe",
    "band.usual": "im üblichen gesunden Bereich",
    "band.above": "über dem üblichen Bereich",
    "band.well_above": "deutlich über dem üblichen Bereich",
    "band.far_above": "weit über dem üblichen Bereich",
    "band.very_far_above": "sehr weit über dem üblichen Bereich",
    "band.light_for_age": "für dieses Alter eher leicht",
    "band.usual_for_age": "im Bereich mit dem kleinsten Risiko in diesem Alter",
    "band.heavy_for_age": "über dem Bereich mit dem kleinsten Risiko in diesem Alter",
    "band.small_for_height": "klein für die Größe",
    "band.under_half": "unter der halben Körpergröße",
    "band.half_or_more": "die halbe Körpergröße oder mehr",
    "band.six_tenths_or_more": "sechs Zehntel der Körpergröße oder mehr",
    "band.below_raised": "unter der Grenze für erhöhtes Risiko",
    "band.raised": "im Bereich mit erhöhtem Risiko",
    "band.high": "im Bereich mit hohem Risiko",
    "band.below_central": "unter der Grenze für Bauchfett",
    "band.central": "an oder über der Grenze für Bauchfett",
    "band.below_high_for_class": "unter der hohen Grenze dieser Gewichtsklasse",
    "band.high_for_class": "hoch für diese Gewichtsklasse",
    "band.lighter_match": "unter dem, was zu gesundem Gewicht gehört",
    "band.healthy_match": "was zu gesundem Gewicht gehört",
    "band.above_match": "über dem, was zu gesundem Gewicht gehört",
    "band.well_above_match": "deutlich über dem, was zu gesundem Gewicht gehört",
    "band.no_case_seen": "wo die Studie keine Fälle sah",
    "band.few_cases": "wo die Studie wenige Fälle sah",
    "band.risk_clusters": "wo Risiken anfangen, sich zu häufen",
    "band.risk_common": "wo Risiken häufig sind",
    "band.below_bmi_30_match": "unter dem, was zu einem Body-Mass-Index von 30 gehört",
    "band.bmi_30_match_or_more": "was zu einem Body-Mass-Index von 30 oder mehr gehört",
    "band.below_span": "unter der Spanne",
    "band.in_span": "in der Spanne",
    "band.above_span": "über der Spanne",
    "band.below_minimum": "unter dem Mindestmaß, das der Sport bescheinigt",
    "band.at_or_above_minimum": "über dem Mindestmaß, das der Sport bescheinigt",
    "band.severe_shortage": "starker Mangel an Fett",
    "band.moderate_shortage": "mittlerer Mangel an Fett",
    "band.mild_shortage": "leichter Mangel an Fett",
    "band.usual_fat": "übliches Fett für die Größe",
    "band.excess": "mehr Fett für die Größe als üblich",
    "band.class_1": "Klasse 1 von Fett für die Größe",
    "band.class_2": "Klasse 2 von Fett für die Größe",
    "band.class_3": "Klasse 3 von Fett für die Größe",
    "band.low_lean": "wenig Magermasse für die Größe",
    "band.not_low_lean": "Magermasse nicht niedrig für die Größe",
    "family.skinfold": "Hautfalten",
    "family.girth": "Umfänge",
    "family.mass_height": "Gewicht zur Größe",
    "family.waist_height": "Taille zur Größe",
    "page.title": "Ihre Messung",
    "page.title_careful": "Ihr Besuch",
    "page.day": "Tag",
    "page.tester": "Gemessen von",
    "page.code": "Ihr Kürzel",
    "page.why": "Fett lässt sich auf keine Weise genau messen, darum ist das ein Bereich.",
    "page.doctor": "Bitte beachten",
    "page.bands": "Wo das liegt",
    "page.band": "{measure}: {chances}.",
    "page.chance": "{band} ({chance} von 100)",
    "page.almost_sure": "mehr als 99",
    "page.hardly": "weniger als 1",
    "page.masses": "Fett und Magermasse",
    "page.fat_mass": (
        "Wahrscheinlich sind {low} bis {high} von Ihren {weight} Fett; etwas davon braucht jeder"
        " Körper."
    ),
    "page.lean_mass": (
        "Der Rest, {low} bis {high}, ist Magermasse: Muskeln, Knochen, Organe und Wasser."
    ),
    "page.change": "Seit dem letzten Mal",
    "page.since_day": "Seit dem {day}",
    "page.since_last": "Seit dem letzten Mal",
    "page.real_down": (
        "{since} ist Ihr Körperfett gesunken, um etwa {points} Punkte (wahrscheinlich {low} bis"
        " {high}). Das ist mehr, als der Zufall macht."
    ),
    "page.real_up": (
        "{since} ist Ihr Körperfett gestiegen, um etwa {points} Punkte (wahrscheinlich {low} bis"
        " {high}). Das ist mehr, als der Zufall macht."
    ),
    "page.maybe_down": (
        "{since} ist Ihr Körperfett wahrscheinlich gesunken ({chance} von 100); es kann auch Zufall"
        " sein."
    ),
    "page.maybe_up": (
        "{since} ist Ihr Körperfett wahrscheinlich gestiegen ({chance} von 100); es kann auch Zufall"
        " sein."
    ),
    "page.no_telling": (
        "{since}: Ob sich Ihr Körperfett verändert hat, lässt sich nicht sagen. Schon das Messen macht"
        " solche Unterschiede."
    ),
    "page.not_compared": "{since} wurde zu wenig beide Male gemessen, um zu vergleichen.",
    "page.weight_changed": "Ihr Gewicht ging von {earlier} auf {later}.",
    "page.next": "Nächste Schritte",
    "page.repeat": (
        "Messen Sie in {weeks} Wochen oder später wieder: dieselbe Person, dieselben Geräte."
    ),
    "page.strength": "Ab 65 sagen Kraft und Gehen mehr als ein Prozentsatz Fett.",
    "page.ask": "Fragen Sie uns oder einen Arzt, was immer Sie wissen möchten.",
    "page.to_know": "Gut zu wissen",
    "page.end": (
        "Wenn eine Zahl Sie beunruhigt, sprechen Sie mit uns oder einem Arzt. Ansehen müssen Sie sie"
        " nicht."
    ),
    "page.measured": "Gemessen: {what}.",
    "page.folds": "{count} Hautfalten",
    "page.one_fold": "1 Hautfalte",
    "page.girths": "{count} Umfänge",
    "page.one_girth": "1 Umfang",
    "page.breadths": "{count} Knochenbreiten",
    "page.weight": "Gewicht",
    "page.height": "Größe",
    "page.scale": "Der Bereich gilt nach dem Maßstab von {scale}.",
    "page.sources": "Bereiche nach: {names}.",
    "page.from_memory": "{name} (Grenzen aus dem Gedächtnis)",
    "page.screening": "Das ist eine Orientierung, keine Diagnose.",
    "scale.density": "Unterwasserwiegen",
    "scale.dxa": "DXA",
    "measure.fat_percent": "Fett",
    "measure.bmi": "Gewicht zur Größe",
    "measure.waist_to_height": "Taille zur Größe",
    "picture.likely": "wahrscheinlich {low} bis {high} %",
    "picture.span": "{low} bis {high} %",
    "picture.you": "Sie: {value}",
    "picture.axis.fat_percent": "Körperfett, Prozent des Gewichts",
    "picture.axis.bmi": "Body-Mass-Index, kg/m²",
    "picture.axis.waist_to_height": "Taille geteilt durch Größe",
    "picture.voice": "{name} {low} bis {high} Prozent",
    "picture.agreement": (
        "Was jeder Weg sagt, jeder mit seinem eigenen wahrscheinlichen Bereich: {voices}. Dahinter der"
        " wahrscheinliche Bereich aller zusammen: {low} bis {high} Prozent."
    ),
    "picture.bands": (
        "Die Bereiche für {measure} nach {name}, von unten nach oben, mit der Wahrscheinlichkeit von"
        " jedem: {chances}. Dahinter der wahrscheinliche Bereich."
    ),
    "picture.in_100": "{chance} von 100",
    "picture.trend": (
        "Der wahrscheinliche Bereich des Fetts bei jedem Besuch: {visits}. Von Besuch zu Besuch:"
        " {steps}."
    ),
    "picture.visit": "{day} {low} bis {high} Prozent",
    "picture.real": "{points}, echt",
    "picture.not_real": "{points}, vielleicht Zufall",
    "picture.not_compared": "nicht verglichen",
    "caption.agreement": (
        "Balken: der Bereich jedes Weges, ein Punkt seine Mitte. Getönt: alle"
        " zusammen."
    ),
    "caption.bands": "Getönt: wo Sie wahrscheinlich liegen, und wo nur selten.",
    "caption.trend": (
        "Balken: der Bereich jedes Tages. Eine Veränderung kann echt sein, auch wenn Balken sich"
        " überlappen."
    ),
}
# fmt: on
