"""Deutsch: what a client hears or reads in a session, by the keys of ``text/en/spoken.py``."""

from __future__ import annotations

# fmt: off
GERMAN_SPOKEN: dict[str, str] = {
    "ask.sex": "Welche Rechenformeln passen am besten zu Ihnen: die für Frauen, die für Männer"
        " oder beide? Das muss nicht Ihrem Geschlecht entsprechen; bei „beide“ gibt es zwei"
        " Ergebnisse.",
    "ask.age_years": "Wie alt sind Sie?",
    "ask.guardian": "Ist ein Elternteil oder eine sorgeberechtigte Person hier und bleibt dabei?",
    "ask.go_on": "Möchten Sie, dass wir heute weitermachen?",
    "ask.still": "Das haben Sie uns beim letzten Mal gesagt. Stimmt alles noch?",
    "tell.before_consent": "Ich frage Sie zuerst nach Ihrer Gesundheit. Dann messe ich Ihr"
        " Gewicht, Ihre Größe und die Stellen, mit denen Sie einverstanden sind. Sie können jede"
        " Frage auslassen und das Messen jederzeit abbrechen. Alle, die mit diesen Aufzeichnungen"
        " arbeiten, können sie lesen. Ohne Ihre Zustimmung geht nichts an eine Ärztin oder einen"
        " Arzt. Sie können jederzeit verlangen, dass wir alles löschen.",
    "tell.skip": "Sie können jede Frage auslassen.",
    "tell.consent": "Sie können zu allem Nein sagen. Dann messen wir nur etwas anderes.",
    "tell.eating_concern": "Wir müssen heute nicht messen, und wir zeigen keine Zahlen. Wenn"
        " Ihnen das Essen Sorgen macht, sagen wir Ihnen gern, wer helfen kann.",
    "ask.consent.store": "Dürfen wir speichern, was Sie uns sagen und was wir heute messen? Wenn"
        " nicht, zeigen wir Ihnen die Ergebnisse einmal und speichern nichts.",
    "ask.pregnant": "Sind Sie zurzeit schwanger?",
    "ask.birth_months_ago": "Haben Sie in den letzten zwei Jahren entbunden?",
    "ask.periods_stopped": "Ist Ihre Periode seit drei Monaten oder länger ausgeblieben, ohne"
        " bekannten Grund?",
    "ask.eating_concern": "Haben oder hatten Sie eine Essstörung, oder macht Ihnen Essen, Ihr"
        " Gewicht oder das Messen Sorgen?",
    "ask.symptoms": "Hatten Sie in den letzten Wochen etwas davon?",
    "ask.conditions": "Trifft etwas davon auf Sie zu?",
    "ask.medicines": "Nehmen Sie eines dieser Medikamente?",
    "ask.surgery_months_ago": "Wurden Sie in den letzten zwölf Monaten operiert?",
    "ask.blood_pressure_mmhg": "Wurde Ihr Blutdruck in letzter Zeit gemessen, und kennen Sie das"
        " Ergebnis?",
    "ask.earlier_weight_kg": "Wissen Sie, wie viel Sie vor einigen Monaten gewogen haben?",
    "ask.athlete": "Trainieren Sie an den meisten Tagen intensiv, für einen Sport oder für mehr"
        " Kraft?",
    "ask.anabolic_drugs": "Nehmen Sie Anabolika (zum Beispiel Testosteron), wenn Sie das sagen"
        " möchten? Sie erhöhen Muskelmasse und Wasser im Körper; Methoden, die vom Gewicht"
        " ausgehen, überschätzen dann das Fett.",
    "ask.family_background": "Woher kommt Ihre Familie, wenn Sie das sagen möchten? Manche"
        " Grenzwerte hängen davon ab, und für Schwarze Erwachsene ist der Bereich ein anderer.",
    "more.birth_months_ago": "Vor wie vielen Monaten war die Geburt?",
    "more.surgery_months_ago": "Vor wie vielen Monaten war die Operation?",
    "more.operated": "Wo wurden Sie operiert: am Bauch, an der Brust oder woanders?",
    "more.blood_pressure_mmhg": "Wie hoch war Ihr Blutdruck, zum Beispiel 142/91?",
    "more.earlier_weight_kg": "Wie viel haben Sie vor einigen Monaten gewogen?",
    "more.earlier_weight_months_ago": "Vor wie vielen Monaten war das?",
    "ask.loss_wanted": "Sie wiegen weniger als die {weight}, von denen Sie uns erzählt haben."
        " Wollten Sie abnehmen?",
    "ask.consent.touch": "Darf ich Sie berühren, um die Stellen zu finden und das Maßband"
        " anzulegen?",
    "ask.consent.touch_tape": "Darf ich Sie berühren, um das Maßband anzulegen?",
    "ask.consent.pinch": "Darf ich Hautfalten abheben und mit einer Hautfaltenzange messen?",
    "ask.consent.uncover": "Dürfen wir die Kleidung an den Messstellen zur Seite schieben?",
    "ask.consent.chest_folds": "Zu diesem Plan gehören Hautfalten an der Brust. Man kann sie"
        " weglassen. Darf ich sie messen?",
    "ask.consent.chest_girths": "Zu diesem Plan gehört der Brustumfang. Man kann ihn weglassen."
        " Darf ich ihn messen?",
    "ask.consent.mark": "Darf ich die Stellen mit einem abwaschbaren Stift anzeichnen?",
    "ask.consent.writer": "Darf eine zweite Person die Zahlen eingeben, die ich ansage?",
    "ask.consent.show": "Möchten Sie die Ergebnisse heute sehen?",
    "ask.consent.share": "Dürfen wir die Ergebnisse an eine Ärztin oder einen Arzt schicken,"
        " falls das nötig wird?",
    "ask.consent.witness": "Möchten Sie, dass eine Vertrauensperson oder eine Person Ihres"
        " Geschlechts dabei ist oder Sie misst?",
    "ask.prepared.skin": "Ist Ihre Haut trocken und ohne Creme?",
    "ask.prepared.rested": "Haben Sie heute auf anstrengenden Sport, Sauna und heiße Bäder"
        " verzichtet?",
    "ask.plan": "Was sollen wir messen?",
    "plan.seven": "Sieben Hautfalten und die Taille.",
    "plan.four": "Vier Hautfalten (Arm, Rücken, Hüfte) und die Taille.",
    "plan.three": "Drei Hautfalten und die Taille.",
    "plan.tape": "Nur Maßband, keine Hautfalten.",
    "plan.quick": "Gewicht, Größe und Taille.",
    "plan.build": "Fünf Hautfalten, dazu Maßband an Taille, Arm und Wade: zeigt einen muskulösen"
        " Körperbau.",
    "plan.adaptive": "Gewicht, Größe und Taille, danach einzelne Stellen, die sich aus den"
        " Messungen ergeben.",
    "tell.then_chosen": "Danach wählen wir eine Stelle nach der anderen. Sie können jedes Mal Nein"
        " sagen.",
    "bare.chest": "Brust",
    "bare.side_of_chest": "Seite des Brustkorbs",
    "bare.upper_arm": "Oberarm",
    "bare.upper_back": "oberer Rücken",
    "bare.belly": "Bauch",
    "bare.waistband": "Haut über dem Hüftknochen (Hosenbund etwas tiefer)",
    "bare.thigh": "Oberschenkel",
    "bare.lower_leg": "Unterschenkel",
    "stand.scale": "Bitte ziehen Sie Schuhe und schwere Kleidung aus und leeren Sie die Taschen."
        " Stellen Sie sich ruhig in die Mitte der Waage.",
    "stand.board": "Bitte ziehen Sie die Schuhe aus. Fersen zusammen, Rücken an die Messlatte,"
        " und tief einatmen.",
    "stand.relaxed": "Bitte stehen Sie locker und lassen Sie die Arme hängen.",
    "stand.arm_lifted": "Bitte heben Sie im Stehen den rechten Arm etwas an.",
    "stand.elbow_then_hang": "Bitte beugen Sie den Ellenbogen im rechten Winkel. Dann lassen Sie"
        " den Arm hängen.",
    "stand.palm_forward": "Bitte lassen Sie den Arm hängen, mit der Handfläche nach vorn.",
    "stand.belly_relaxed": "Bitte lassen Sie den Bauch locker und atmen Sie ruhig aus.",
    "stand.arm_away": "Bitte stellen Sie die Füße zusammen und nehmen Sie den Arm zur Seite.",
    "stand.arm_across": "Bitte legen Sie den Arm über die Brust.",
    "stand.other_leg": "Bitte verlagern Sie Ihr Gewicht auf das andere Bein und beugen Sie das"
        " Knie ein wenig.",
    "stand.foot_on_box": "Bitte stellen Sie den Fuß auf den Kasten, sodass Hüfte und Knie im"
        " rechten Winkel sind.",
    "stand.mouth_closed": "Bitte halten Sie den Kopf gerade und den Mund geschlossen.",
    "stand.eyes_forward": "Bitte schauen Sie geradeaus und lassen Sie die Schultern sinken.",
    "stand.arms_lifted": "Bitte heben Sie die Arme, senken Sie sie wieder und atmen Sie ruhig aus.",
    "stand.arms_down": "Bitte lassen Sie die Arme hängen und atmen Sie ruhig aus.",
    "stand.breath": "Bitte stellen Sie die Füße zusammen, die Arme an den Seiten, und atmen Sie"
        " ruhig aus.",
    "stand.feet_together": "Bitte stellen Sie die Füße zusammen und lassen Sie die Muskeln locker.",
    "stand.both_feet": "Bitte stehen Sie auf beiden Füßen, mit gleichem Gewicht.",
    "stand.arm_hanging": "Bitte lassen Sie den Arm hängen.",
    "stand.fist": "Bitte halten Sie den Oberarm waagerecht nach vorn, beugen Sie den Ellenbogen"
        " und ballen Sie die Faust.",
    "stand.palm_up": "Bitte drehen Sie die Handfläche nach oben und lassen Sie den Arm locker.",
    "stand.palm_down": "Bitte drehen Sie die Handfläche nach unten.",
    "stand.elbow_bent": "Bitte beugen Sie den Ellenbogen im rechten Winkel.",
    "stand.seated": "Bitte setzen Sie sich, das Knie im rechten Winkel.",
    "told.age": "jetzt {age} Jahre",
    "told.since": "{months, plural, =0 {in diesem Monat} one {vor # Monat} other {vor # Monaten}}",
    "told.weight": "{weight}, {months, plural, =0 {in diesem Monat} one {vor # Monat} other {vor"
        " # Monaten}}",
    "told.place": "{months, plural, =0 {in diesem Monat} one {vor # Monat} other {vor # Monaten}}"
        " ({place})",
    "bare.clothing": "{worn, select, underwear {Unterwäsche, keine Schuhe} other {leichte"
        " Kleidung, keine Schuhe}}",
    "bare.free": "{worn, select, underwear {Unterwäsche, keine Schuhe} other {leichte Kleidung,"
        " keine Schuhe}}; frei: {places}",
    "bare.free_already": "{worn, select, underwear {Unterwäsche, keine Schuhe} other {leichte"
        " Kleidung, keine Schuhe}}; nur falls schon frei: {places}",
    "tell.planned": "Wir messen: {what}.",
    "tell.plan": "Etwa {span} {minutes, plural, one {Minute} other {Minuten}}. Kleidung:"
        " {clothing}.",
    "aloud.pair": (
        "{low, select,"
        " skinfold {Die Hautfalten ergeben}"
        " girth {Das Maßband ergibt}"
        " mass_height {Gewicht und Größe ergeben}"
        " other {Taille und Größe ergeben}"
        "} etwa {low_percent}\u00a0%, {high, select,"
        " skinfold {die Hautfalten}"
        " girth {das Maßband}"
        " mass_height {Gewicht und Größe}"
        " other {Taille und Größe}"
        "} etwa {high_percent}\u00a0%: {why, select,"
        " slip {Eine der Zahlen ist vielleicht falsch, darum messen wir noch einmal}"
        " more_muscle {Sie haben mehr Muskeln als die meisten, und das Gewicht allein zeigt"
        " nicht, was Muskel und was Fett ist}"
        " less_muscle {Das Gewicht allein zeigt nicht, wie viel davon Muskeln sind}"
        " belly_fat {Hautfalten zeigen nur das Fett direkt unter der Haut, ein Maßband um die"
        " Taille erfasst auch tieferes Fett}"
        " fat_under_skin {Bei Ihnen liegt mehr Fett direkt unter der Haut, und davon erfasst das"
        " Maßband weniger}"
        " one_part {Jede Methode erfasst einen anderen Teil des Körpers}"
        " weight_and_height {Gewicht und Größe zeigen nicht, was Muskel und was Fett ist}"
        " usual_gap {Sie wurden an verschiedenen Gruppen von Menschen entwickelt und liegen oft so"
        " weit auseinander}"
        " age_term {Sie berücksichtigen das Alter auf verschiedene Weise}"
        " deeper_fat {Hautfalten zeigen nur das Fett direkt unter der Haut, zu Ihrem Gewicht"
        " gehört auch tieferes Fett}"
        " under_skin {Bei Ihnen liegt mehr Fett direkt unter der Haut; Hautfalten zeigen es, das"
        " Gewicht allein nicht}"
        " other {Den Grund kennen wir noch nicht}"
        "}."
    ),
}
# fmt: on
