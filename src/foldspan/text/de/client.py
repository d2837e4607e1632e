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
    "opening": "Ihr Körperfett liegt wahrscheinlich zwischen {low} und {high}\u00a0%. Von 100"
        " Menschen mit ähnlichen Werten läge es bei etwa 80 in diesem Bereich.",
    "why_range": "Keine Methode misst Körperfett genau. Darum nennen wir Ihnen einen Bereich und nicht"
        " nur eine Zahl.",
    "next": "Beim nächsten Mal könnten wir auch messen: {what}. Dann würde der Bereich enger.",
    "end": "Diese Messung gibt einen Anhaltspunkt und ist keine Diagnose. Sie können die Zahlen"
        " lesen, müssen es aber nicht. Wenn eine Zahl Sie beunruhigt, sprechen Sie uns oder Ihre"
        " Arztpraxis darauf an.",
    "stop": "Die Zahlen können bis zu einem anderen Tag warten.",
    "careful_end": "Sie können das Messen jederzeit abbrechen. Sie können mit uns sprechen oder"
        " mit einer Ärztin oder einem Arzt.",
    "verdict.agree": "Die verschiedenen Methoden ergeben ähnliche Werte.",
    "verdict.strained": "Die Methoden stimmen heute nicht so gut überein.",
    "verdict.disagree": "Die Methoden ergeben heute unterschiedliche Werte. Am besten messen wir"
        " noch einmal.",
    "verdict.single": "Wir konnten nur eine Methode verwenden und sie daher mit keiner anderen"
        " vergleichen.",
    "verdict.explained": "Die Methoden ergeben unterschiedliche Werte. Wir glauben, den Grund zu"
        " kennen.",
    "reason.slip": "Vielleicht wurde eine Zahl falsch aufgeschrieben. Wir würden an dieser Stelle"
        " gern noch einmal messen.",
    "reason.more_muscle": "Sie haben an Armen oder Beinen mehr Muskeln als die meisten. Auch"
        " Muskeln wiegen viel, darum führt das Gewicht allein zu einem zu hohen Wert.",
    "reason.less_muscle": "Sie haben an Armen oder Beinen weniger Muskeln, als Ihr Gewicht"
        " erwarten lässt. Darum führt das Gewicht allein zu einem zu niedrigen Wert.",
    "reason.belly_fat": "Hautfalten zeigen nur das Fett direkt unter der Haut. Ein Maßband um die"
        " Taille erfasst auch tieferes Fett.",
    "reason.fat_under_skin": "Bei Ihnen liegt mehr Fett direkt unter der Haut. Das Maßband an der"
        " Taille zeigt davon weniger.",
    "reason.trunk_fat": "Sie haben am Rumpf mehr Fett als an Armen und Beinen. Manche Methoden erfassen"
        " nur einen Teil des Körpers.",
    "reason.limb_fat": "Sie haben an Armen und Beinen mehr Fett als am Rumpf. Manche Methoden erfassen"
        " nur einen Teil des Körpers.",
    "reason.bmi_reads_high": "Gewicht und Größe allein zeigen nicht, was Muskel und was Fett ist."
        " Eine Messung am Arm mit dem Maßband würde helfen.",
    "reason.bmi_reads_low": "Gewicht und Größe allein zeigen nicht, was Muskel und was Fett ist."
        " Eine Messung am Arm mit dem Maßband würde helfen.",
    "reason.none": "Jede Methode wurde an anderen Menschen entwickelt. Darum kann sie bei Ihnen etwas"
        " zu hoch oder zu niedrig liegen.",
    "caution.low_fat": "Jeder Körper braucht etwas Fett. Bitte setzen Sie sich kein niedrigeres"
        " Ziel. Eine Ärztin oder ein Arzt kann Sie dazu beraten.",
    "caution.low_fat_women": "Jeder Körper braucht etwas Fett. Bitte setzen Sie sich kein"
        " niedrigeres Ziel. Eine Ärztin oder ein Arzt kann Sie dazu beraten.",
    "no_range_why.E201": "Sie wachsen noch, darum passen die Werte für Erwachsene nicht. Eine"
        " Ärztin oder ein Arzt kann sich mit Ihnen Ihre Wachstumskurve ansehen.",
    "no_range_why.E202": "In der Schwangerschaft eignen sich diese Methoden nicht. Ihre Hebamme"
        " oder Ihre Arztpraxis kann Ihr Gewicht im Blick behalten.",
    "no_range_why.E204": "In den ersten sechs Monaten nach einer Geburt eignen sich diese Methoden"
        " nicht. Ihre Hebamme oder Ihre Arztpraxis kann Ihr Gewicht im Blick behalten.",
    "no_range_why.E205": "Unsere Methoden würden bei Ihnen keinen richtigen Wert ergeben. In einer"
        " Arztpraxis gibt es andere Methoden.",
    "no_range_why.E206": "Unsere Methoden würden heute bei Ihnen keinen richtigen Wert ergeben. In"
        " einer Arztpraxis gibt es andere Methoden.",
    "no_range_why.E207": "Wir haben zwei Ergebnisse berechnet. Bitte lassen Sie sich beide zeigen.",
    "no_range_why.E203": "Wir müssen zuerst noch etwas mehr messen.",
    "elsewhere.fits": "Die {percent}\u00a0%, die man Ihnen anderswo genannt hat, passen dazu.",
    "elsewhere.apart": "Die {percent}\u00a0%, die man Ihnen anderswo genannt hat, passen nicht gut"
        " dazu.",
    "elsewhere.used": "In den Bereich gehen auch die {percent}\u00a0% ein, die man Ihnen anderswo"
        " genannt hat.",
    "elsewhere.other_day": "Die {percent}\u00a0%, die man Ihnen anderswo genannt hat, wurden zu einer"
        " anderen Zeit gemessen.",
    "elsewhere.does_not_add_up": "Das Blatt mit den {percent}\u00a0% enthält einen Fehler: Seine Zahlen"
        " passen nicht zusammen.",
    "flag.heart_signs": "Das kann nicht warten: Bitte rufen Sie jetzt den Notruf an. Wir hören hier auf"
        " und bleiben bei Ihnen, bis Hilfe da ist.",
    "flag.fainting": "Sie haben uns gesagt, dass Sie ohnmächtig oder fast ohnmächtig geworden sind."
        " Bitte lassen Sie sich heute ärztlich untersuchen. Messen können wir ein andermal.",
    "flag.self_harm": "Danke, dass Sie uns das gesagt haben. Sie sind damit nicht allein. Eine Ärztin,"
        " ein Arzt oder ein Krisentelefon kann Ihnen heute helfen, und wir helfen Ihnen, dort"
        " anzurufen.",
    "flag.one_leg_swollen": "Bitte lassen Sie Ihr Bein heute ärztlich untersuchen.",
    "flag.belly_urgent": "Bitte lassen Sie Ihren Bauch heute ärztlich untersuchen.",
    "flag.belly_fluid": "Bitte lassen Sie Ihren Bauch ärztlich untersuchen, bei Schmerzen, Fieber"
        " oder gelber Haut noch am selben Tag.",
    "flag.yellow_skin": "Bitte lassen Sie Ihre Haut und Ihre Augen ärztlich untersuchen, bei Fieber,"
        " Schmerzen oder Benommenheit noch am selben Tag.",
    "flag.thirst_urgent": "Ihr starker Durst sollte heute ärztlich abgeklärt werden. Bitte warten"
        " Sie nicht.",
    "flag.thirst_and_urine": "Eine Ärztin oder ein Arzt kann herausfinden, woher Ihr großer Durst"
        " kommt. Wenn Sie erbrechen oder benommen sind, gehen Sie bitte noch heute hin.",
    "flag.pressure_very_high": "Ihr Blutdruck war sehr hoch. Bitte lassen Sie sich heute ärztlich"
        " untersuchen. Bei Schmerzen in der Brust, Verwirrtheit oder Atemnot rufen Sie sofort den"
        " Notruf an.",
    "flag.pregnancy_signs": "Bitte rufen Sie heute Ihre Hebamme, eine Ärztin oder einen Arzt an.",
    "flag.pressure_raised": "Ihr Blutdruck war hoch. Ein einzelner hoher Wert ist noch keine"
        " Diagnose. Bitte lassen Sie den Blutdruck in einer Arztpraxis noch einmal messen.",
    "flag.swelling": "Wegen der Schwellung wären unsere Zahlen falsch. Eine Ärztin oder ein Arzt kann"
        " die Ursache finden.",
    "flag.uneven_body": "Eine Ärztin oder ein Arzt kann sich die Veränderungen an Ihrem Körper ansehen,"
        " von denen Sie uns erzählt haben.",
    "flag.eating_concern": "Macht Ihnen das Thema Essen Sorgen? Damit müssen Sie nicht allein"
        " bleiben. Eine"
        " Ärztin, ein Arzt oder eine Beratungsstelle für Essstörungen kann helfen.",
    "flag.periods_stopped": "Ihre Periode ist ausgeblieben. Eine Ärztin oder ein Arzt kann"
        " herausfinden, warum. Bitte setzen Sie sich bis dahin keine Ziele.",
    "flag.stress_fractures": "Wenn eine Verletzung immer wieder auftritt, lassen Sie sie bitte"
        " ärztlich untersuchen.",
    "flag.bmi_severely_low": "Ihr Gewicht ist für Ihre Größe sehr niedrig. Bitte lassen Sie sich heute"
        " ärztlich untersuchen. Wir können Ihnen beim Anrufen helfen.",
    "flag.bmi_clearly_low": "Ihr Gewicht ist für Ihre Größe niedrig. Eine Ärztin oder ein Arzt kann"
        " sich das mit Ihnen ansehen.",
    "flag.bmi_low_with_fast_loss": "Ihr Gewicht ist für Ihre Größe niedrig, und es ist schnell"
        " gesunken. Bitte lassen Sie sich heute ärztlich untersuchen. Wir können Ihnen beim Anrufen"
        " helfen.",
    "flag.thin_for_age_severely": "Ihr Gewicht ist sehr niedrig für Ihre Größe. Bitte lassen Sie"
        " sich heute ärztlich untersuchen, mit einem Elternteil oder jemandem, dem Sie vertrauen."
        " Wir können Ihnen beim Anrufen helfen.",
    "flag.thin_for_age": "Ihr Gewicht ist niedrig für Ihre Größe. Bitte gehen Sie mit einem"
        " Elternteil oder jemandem, dem Sie vertrauen, zur Ärztin oder zum Arzt.",
    "flag.low_weight_limb_severely": "Ihr Gewicht ist für Ihre Größe sehr niedrig. Bitte lassen Sie"
        " sich heute ärztlich untersuchen. Wir können Ihnen beim Anrufen helfen.",
    "flag.low_weight_limb": "Ihr Gewicht wirkt niedrig. Das kann an dem fehlenden Arm oder Bein"
        " liegen. Eine Ärztin oder ein Arzt kann das beurteilen.",
    "flag.bmi_low_older": "Ihr Gewicht ist für Ihr Alter niedrig. Bitte lassen Sie das ärztlich"
        " abklären.",
    "flag.bmi_light_older": "Ihr Gewicht ist für Ihr Alter etwas niedrig. Bitte versuchen Sie nicht,"
        " abzunehmen. Eine Ärztin oder ein Arzt kann sich das mit Ihnen ansehen.",
    "flag.bmi_low_with_loss": "Ihr Gewicht ist für Ihre Größe niedrig, und es ist gesunken. Bitte"
        " lassen Sie das ärztlich abklären.",
    "flag.bmi_low_for_illness": "Ihr Gewicht ist etwas niedrig, und Sie haben abgenommen oder essen"
        " wenig. Eine Ärztin oder ein Arzt kann Ihnen helfen.",
    "flag.bmi_low": "Ihr Gewicht ist für Ihre Größe niedrig. Wenn das neu ist, kann eine Ärztin oder"
        " ein Arzt es sich mit Ihnen ansehen.",
    "flag.loss_fast": "Sie haben ungewollt und schnell abgenommen. Bitte lassen Sie die Ursache"
        " ärztlich abklären.",
    "flag.loss_with_worry": "Sie haben mehr abgenommen, als Ihnen guttut. Bitte lassen Sie das ärztlich"
        " abklären.",
    "flag.height_lost": "Sie sind kleiner als bei der letzten Messung. Bitte sagen Sie das einer Ärztin"
        " oder einem Arzt, damit Ihre Knochen untersucht werden können.",
    "flag.loss_unplanned": "Sie haben ungewollt abgenommen. Bitte lassen Sie die Ursache ärztlich"
        " abklären.",
    "flag.loss_large_not_asked": "Sie haben in kurzer Zeit viel abgenommen. Bitte lassen Sie das"
        " ärztlich abklären.",
    "flag.weakness": "Eine Ärztin oder ein Arzt kann herausfinden, warum Sie sich schwach fühlen,"
        " langsam gehen oder stürzen.",
    "flag.not_well": "Es geht Ihnen heute nicht gut, darum kann das Messen warten. Wenn es nicht besser"
        " wird, gehen Sie bitte in eine Arztpraxis.",
    "flag.loss_large_undated": "Sie haben viel abgenommen. Wenn Sie das nicht geplant haben, lassen Sie"
    " es bitte ärztlich abklären.",
    "flag.loss_not_asked": "Ihr Gewicht ist gesunken. Wenn Sie nicht abnehmen wollten, kann eine Ärztin"
        " oder ein Arzt herausfinden, warum.",
    "flag.loss_planned_fast": "Sie nehmen schnell ab. Langsamer ist besser für Ihre Muskeln. Eine"
        " Ärztin oder ein Arzt kann Ihnen beim Planen helfen.",
    "flag.weight_with_signs": "Wegen einiger Ihrer Antworten ist eine ärztliche Untersuchung sinnvoll.",
    "flag.bmi_very_far_above": "Bitte lassen Sie sich ärztlich untersuchen, falls noch kein Termin"
        " besteht.",
    "flag.bmi_far_above": "Bitte lassen Sie sich ärztlich untersuchen, falls noch kein Termin"
        " besteht.",
    "flag.waist_six_tenths": "Ihr Taillenumfang ist im Verhältnis zu Ihrer Größe erhöht. Das kann"
        " für Ihre Gesundheit wichtig sein. Bitte lassen Sie sich ärztlich untersuchen.",
    "flag.weight_and_waist": "Bitte lassen Sie sich ärztlich untersuchen, wenn Sie das dieses Jahr noch"
        " nicht getan haben.",
    "flag.central_fat": "Ihr Taillenumfang ist im Verhältnis zu Ihrer Größe erhöht. Am Gewicht"
        " allein sieht man das nicht. Sie können darüber mit uns oder mit einer Ärztin oder einem Arzt"
        " sprechen.",
    "flag.fat_very_low": "Ihr Körper hat sehr wenig Fett, und etwas davon braucht er. Bitte"
        " setzen Sie sich kein niedrigeres Ziel. Eine Ärztin oder ein Arzt kann sich das mit"
        " Ihnen ansehen.",
    "flag.folds_very_low": "Ihr Körper hat sehr wenig Fett, und etwas davon braucht er. Bitte"
        " setzen Sie sich kein niedrigeres Ziel. Eine Ärztin oder ein Arzt kann sich das mit"
        " Ihnen ansehen.",
    "flag.fat_near_minimum": "Ihr Körper hat wenig Fett, und etwas davon braucht er. Bitte setzen"
        " Sie sich kein niedrigeres Ziel.",
    "flag.lean_low_with_loss": "Sie haben abgenommen, und ein Teil davon können Muskeln sein. Eine"
        " Ärztin oder ein Arzt kann Ihnen helfen, sie wieder aufzubauen.",
    "flag.lean_low": "Etwas mehr Muskeln würden Ihnen guttun. Wenn Sie gerade abnehmen, gehen Sie bitte"
        " auch in eine Arztpraxis.",
    "flag.muscle_and_weight": "Mehr Kraft ist jetzt wichtiger als Ihr Gewicht. Eine Ärztin oder"
        " ein Arzt kann Ihre Kraft mit Ihnen prüfen.",
    "flag.muscle_signs": "Mehr Kraft würde Ihnen guttun. Bitte lassen Sie Ihre Kraft und Ihr Gehen"
        " ärztlich prüfen.",
    "flag.bleeding": "Hautfalten zu messen kann bei Ihnen blaue Flecken hinterlassen; besser ist"
        " das Maßband. Fragen Sie dazu bitte Ihre Arztpraxis.",
    "flag.do_not_pinch": "Manche Stellen lassen wir besser aus, und das ist in Ordnung.",
    "flag.recent_surgery": "In der Nähe Ihrer Operation messen wir erst wieder, wenn alles verheilt"
        " ist.",
    "flag.belly_not_valid": "Ihre Taille lässt sich zurzeit schwer messen. Bitte richten Sie sich nicht"
        " allein danach.",
    "flag.body_not_valid": "Einige unserer Methoden wären bei Ihnen nicht richtig. In einer Arztpraxis"
        " gibt es andere.",
    "flag.medicines": "Manche Medikamente verschieben Fett oder Wasser im Körper. Darum kann unser"
        " Bereich danebenliegen.",
    "flag.anabolic_drugs": "Was Sie für den Muskelaufbau nehmen, bringt auch Wasser in den Körper."
        " Darum kann unser Bereich danebenliegen. Bitte sprechen Sie mit einer Ärztin oder einem Arzt"
        " darüber.",
    "flag.strong_build": "Gewicht und Größe allein zeigen nicht, was Muskel und was Fett ist. Bei"
        " Ihnen sagen der Taillenumfang und der Bereich für Körperfett mehr aus.",
    "careful_flag.refer_soon": "Wir können Ihnen helfen, einen Termin in einer Arztpraxis zu"
        " vereinbaren.",
    "careful_flag.refer_urgently": "Bitte lassen Sie sich heute ärztlich untersuchen. Wir können Ihnen"
        " beim Anrufen helfen.",
    "site.weight_kg": "das Gewicht",
    "site.height_cm": "die Körpergröße",
    "site.chest_mm": "eine Hautfalte an der Brust",
    "site.midaxillary_mm": "eine Hautfalte seitlich am Brustkorb",
    "site.triceps_mm": "eine Hautfalte hinten am Oberarm",
    "site.biceps_mm": "eine Hautfalte vorn am Oberarm",
    "site.subscapular_mm": "eine Hautfalte am oberen Rücken",
    "site.abdominal_mm": "eine Hautfalte am Bauch",
    "site.suprailiac_anterior_mm": "eine Hautfalte über der Hüfte",
    "site.suprailiac_midaxillary_mm": "eine Hautfalte über der Hüfte",
    "site.supraspinale_mm": "eine Hautfalte über der Hüfte",
    "site.thigh_mm": "eine Hautfalte am Oberschenkel",
    "site.calf_mm": "eine Hautfalte an der Wade",
    "site.chin_mm": "eine Hautfalte unter dem Kinn",
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
    "site.arm_relaxed_girth_cm": "den Oberarm, locker hängend",
    "site.arm_flexed_girth_cm": "den Oberarm, gebeugt und angespannt",
    "site.forearm_girth_cm": "den Unterarm",
    "site.wrist_girth_cm": "das Handgelenk",
    "site.elbow_breadth_cm": "die Breite des Ellenbogens",
    "site.knee_breadth_cm": "die Breite des Knies",
    "site.wrist_breadth_cm": "die Breite des Handgelenks",
    "band.severely_low": "sehr niedrig für die Größe",
    "band.clearly_low": "deutlich niedrig für die Größe",
    "band.low": "niedrig für die Größe",
    "band.usual": "im üblichen gesunden Bereich",
    "band.above": "über dem üblichen Bereich",
    "band.well_above": "deutlich über dem üblichen Bereich",
    "band.far_above": "weit über dem üblichen Bereich",
    "band.very_far_above": "sehr weit über dem üblichen Bereich",
    "band.light_for_age": "für dieses Alter eher leicht",
    "band.usual_for_age": "im Bereich mit dem geringsten Risiko in diesem Alter",
    "band.heavy_for_age": "über dem Bereich mit dem geringsten Risiko in diesem Alter",
    "band.small_for_height": "schmal im Verhältnis zur Größe",
    "band.under_half": "weniger als die halbe Körpergröße",
    "band.half_or_more": "die halbe Körpergröße oder mehr",
    "band.six_tenths_or_more": "60\u00a0% der Körpergröße oder mehr",
    "band.below_raised": "unter der Grenze für erhöhtes Risiko",
    "band.raised": "im Bereich mit erhöhtem Risiko",
    "band.high": "im Bereich mit hohem Risiko",
    "band.below_central": "unter der Grenze für Bauchfett",
    "band.central": "an oder über der Grenze für Bauchfett",
    "band.below_high_for_class": "nicht hoch für diese BMI-Klasse",
    "band.high_for_class": "hoch für diese BMI-Klasse",
    "band.lighter_match": "unter dem Bereich, der zu einem gesunden Gewicht passt",
    "band.healthy_match": "im Bereich, der zu einem gesunden Gewicht passt",
    "band.above_match": "über dem Bereich, der zu einem gesunden Gewicht passt",
    "band.well_above_match": "deutlich über dem Bereich, der zu einem gesunden Gewicht passt",
    "band.no_case_seen": "wo die Studie keine Fälle fand",
    "band.few_cases": "wo Fälle in der Studie selten waren",
    "band.risk_clusters": "wo Fälle häufiger wurden",
    "band.risk_common": "wo Fälle häufig waren",
    "band.below_bmi_30_match": "unter dem Wert, der zu einem BMI von 30 passt",
    "band.bmi_30_match_or_more": "ab dem Wert, der zu einem BMI von 30 passt",
    "band.below_span": "unter dem Referenzbereich",
    "band.in_span": "im Referenzbereich",
    "band.above_span": "über dem Referenzbereich",
    "band.below_minimum": "unter dem Mindestwert im Sport",
    "band.at_or_above_minimum": "beim Mindestwert im Sport oder darüber",
    "band.severe_shortage": "viel weniger Fett als üblich für die Größe",
    "band.moderate_shortage": "weniger Fett als üblich für die Größe",
    "band.mild_shortage": "etwas weniger Fett als üblich für die Größe",
    "band.usual_fat": "übliche Fettmenge für die Größe",
    "band.excess": "mehr Fett als üblich für die Größe",
    "band.class_1": "deutlich mehr Fett als üblich für die Größe (Klasse 1)",
    "band.class_2": "weit mehr Fett als üblich für die Größe (Klasse 2)",
    "band.class_3": "sehr viel mehr Fett als üblich für die Größe (Klasse 3)",
    "band.low_lean": "wenig fettfreie Masse für die Größe",
    "band.not_low_lean": "fettfreie Masse nicht niedrig für die Größe",
    "family.skinfold": "Hautfalten",
    "family.girth": "Umfänge",
    "family.mass_height": "Gewicht und Größe",
    "family.waist_height": "Taille und Größe",
    "page.title": "Ihre Messung",
    "page.title_careful": "Ihr Besuch bei uns",
    "page.day": "Datum",
    "page.tester": "Gemessen von",
    "page.code": "Ihr Code",
    "page.chance": "{band} ({chance}\u00a0von\u00a0100)",
    "page.almost_sure": "mehr als 99",
    "page.hardly": "weniger als 1",
    "page.change": "Was sich verändert hat",
    "page.weight_changed": "Ihr Gewicht hat sich von {earlier} auf {later} verändert.",
    "page.weight_real": "Ihr Gewicht hat sich von {earlier} auf {later} verändert. Das ist mehr"
        " als die Messungenauigkeit.",
    "page.share_no_telling": "Der Fettanteil am Gewicht kann dabei gleich geblieben sein.",
    "page.next": "Nächste Schritte",
    "page.repeat_soon": "Bitte verlassen Sie sich noch nicht auf diese Zahlen. Lassen Sie bald"
        " alles noch einmal messen.",
    "page.strength": "Ab 65 sind Kraft und sicheres Gehen wichtiger als der Körperfettanteil.",
    "page.ask": "Haben Sie Fragen? Wenden Sie sich an uns oder an Ihre Arztpraxis.",
    "page.measured": "Gemessen: {what}.",
    "page.weight": "Gewicht",
    "page.height": "Größe",
    "page.printed": "Die Formeln wurden genau so verwendet, wie sie veröffentlicht sind.",
    "page.sources": "Einstufung nach: {names}.",
    "standard.who": "WHO",
    "page.not_verified": "{name} (noch nicht an der Quelle geprüft)",
    "page.screening": "Dieses Blatt ist eine Orientierung, keine Diagnose.",
    "measure.fat_percent": "Körperfett",
    "measure.bmi": "Gewicht für Ihre Größe",
    "measure.waist_to_height": "Taille",
    "picture.likely": "{low} bis {high}\u00a0%",
    "picture.span": "{low} bis {high}\u00a0%",
    "picture.you": "Sie: {value}",
    "picture.axis.fat_percent": "Körperfett (% des Gewichts)",
    "picture.axis.bmi": "Body-Mass-Index (kg/m²)",
    "picture.axis.waist_to_height": "Taille geteilt durch Größe",
    "picture.method": "{name} {low} bis {high}\u00a0%",
    "picture.agreement": "Was jede Methode ergibt, mit ihrem eigenen Bereich: {methods}."
        " Schattiert dahinter alle Methoden zusammen: {low} bis {high}\u00a0%.",
    "picture.bands": "Einstufung nach {name} ({measure}), von niedrig nach hoch, mit der jeweiligen"
        " Wahrscheinlichkeit: {chances}. Schattiert dahinter der angegebene Bereich.",
    "picture.in_100": "{chance}\u00a0von\u00a0100",
    "picture.trend": "Bereich für Ihr Körperfett bei jedem Besuch: {visits}. Von Besuch zu"
        " Besuch: {steps}.",
    "picture.trend_whole": "Über alle Besuche: {points}.",
    "picture.visit": "{day} {low} bis {high}\u00a0%",
    "picture.real": "{points} (erkennbare Veränderung)",
    "picture.not_real": "keine erkennbare Veränderung",
    "picture.not_compared": "nicht verglichen",
    "picture.other_sites": "andere Stellen",
    "caption.agreement": "Dünne Linien: Bereich und bester Schätzwert jeder Methode. Dicke Linie:"
        " alle zusammen.",
    "caption.one_way": "Dünne Linie: eigener Bereich und bester Schätzwert. Dicke Linie: der"
        " angegebene Bereich.",
    "caption.bands": "Dunkler: wahrscheinlicher; heller: weniger wahrscheinlich.",
    "caption.trend": "Balken: Bereich an jedem Tag. Durchgezogene Linie: erkennbare Veränderung,"
        " auch wenn sich Balken überlappen; gepunktet: keine erkennbare Veränderung.",
    "no_range": "Heute nennen wir Ihnen keinen Wert für Ihr Körperfett.",
    "no_range_ask": "Bei Fragen wenden Sie sich bitte an uns oder an Ihre Arztpraxis.",
    "careful": "Danke, dass Sie gekommen sind.",
    "careful_why": "Heute lassen wir alle Zahlen und Ziele weg. Wichtiger ist, wie es Ihnen geht.",
    "both_sexes": "Nach den Formeln für Frauen liegt Ihr Körperfett wahrscheinlich zwischen"
        " {female_low} und {female_high}\u00a0%, nach denen für Männer zwischen {male_low} und"
        " {male_high}\u00a0%.",
    "both_sexes_why": "Niemand kann sagen, was besser zu Ihnen passt. Achten Sie darum auf Ihre"
        " Taille und auf Veränderungen im Laufe der Zeit.",
}
# fmt: on
