"""French: what a client hears or reads in a session, by the keys of ``text/en/spoken.py``."""

from __future__ import annotations

# fmt: off
FRENCH_SPOKEN: dict[str, str] = {
    "ask.sex": "Avec quelles équations devons-nous faire les calculs\u00a0: celles établies pour"
        " les femmes, celles établies pour les hommes, ou les deux\u00a0? Ce n’est pas forcément"
        " votre genre\u00a0; avec les deux, il y a deux résultats.",
    "ask.age_years": "Quel âge avez-vous\u00a0?",
    "ask.guardian": "Êtes-vous avec l’un de vos parents ou une personne responsable de vous, qui"
        " va rester\u00a0?",
    "ask.go_on": "Voulez-vous continuer les mesures aujourd’hui\u00a0?",
    "ask.still": "Voici ce que vous nous avez dit la dernière fois. Est-ce que tout est encore"
        " exact\u00a0?",
    "tell.before_consent": "Je vais d’abord vous poser des questions sur votre santé. Ensuite, je"
        " mesurerai votre poids, votre stature et les endroits que vous acceptez. Vous pouvez"
        " passer une question et arrêter à tout moment. Toutes les personnes qui utilisent ce"
        " registre peuvent lire ce qui y est conservé. Rien n’est transmis à un cabinet médical"
        " sans votre accord. Vous pouvez à tout moment nous demander de tout effacer.",
    "tell.skip": "Vous pouvez passer n’importe quelle question.",
    "tell.consent": "Vous pouvez répondre non à chaque point. Cela change seulement ce que nous"
        " mesurons.",
    "tell.eating_concern": "Rien ne nous oblige à mesurer aujourd’hui, et nous ne montrerons aucun"
        " chiffre. Si l’alimentation est un souci pour vous, nous pouvons vous dire qui peut vous"
        " aider.",
    "ask.consent.store": "Pouvons-nous conserver ce que vous nous dites et ce que nous mesurons"
        " aujourd’hui\u00a0? Sinon, nous vous montrons les résultats une fois et ne conservons"
        " rien.",
    "ask.pregnant": "Êtes-vous enceinte\u00a0?",
    "ask.birth_months_ago": "Avez-vous accouché au cours des deux dernières années\u00a0?",
    "ask.periods_stopped": "Vos règles ont-elles disparu depuis trois mois ou plus, sans raison"
        " connue\u00a0?",
    "ask.eating_concern": "Avez-vous ou avez-vous eu un trouble alimentaire, ou bien"
        " l’alimentation, votre poids ou les mesures sont-ils un souci pour vous\u00a0?",
    "ask.symptoms": "Avez-vous eu l’un de ces signes au cours des dernières semaines\u00a0?",
    "ask.conditions": "Êtes-vous dans l’une de ces situations\u00a0?",
    "ask.medicines": "Prenez-vous l’un de ces médicaments\u00a0?",
    "ask.surgery_months_ago": "Avez-vous subi une opération au cours des douze derniers"
        " mois\u00a0?",
    "ask.blood_pressure_mmhg": "A-t-on pris votre tension récemment, et connaissez-vous le"
        " résultat\u00a0?",
    "ask.earlier_weight_kg": "Savez-vous combien vous pesiez il y a quelques mois\u00a0?",
    "ask.athlete": "Vous entraînez-vous intensément presque tous les jours, pour un sport ou pour"
        " gagner en force\u00a0?",
    "ask.anabolic_drugs": "Si vous voulez bien le dire, prenez-vous des anabolisants (comme la"
        " testostérone)\u00a0? Ils ajoutent du muscle et de l’eau, et les méthodes fondées sur le"
        " poids surestiment alors la graisse.",
    "ask.family_background": "Si vous voulez bien le dire, quelle est l’origine géographique de"
        " votre famille\u00a0? Certaines limites de santé en dépendent, et la fourchette change"
        " pour les personnes noires adultes.",
    "more.birth_months_ago": "À combien de mois remonte l’accouchement\u00a0?",
    "more.surgery_months_ago": "À combien de mois remonte l’opération\u00a0?",
    "more.operated": "Où l’opération a-t-elle eu lieu\u00a0: au ventre, à la poitrine ou"
        " ailleurs\u00a0?",
    "more.blood_pressure_mmhg": "Quelle était votre tension, en mmHg, par exemple 142/91\u00a0?",
    "more.earlier_weight_kg": "Combien pesiez-vous il y a quelques mois\u00a0?",
    "more.earlier_weight_months_ago": "Il y a combien de mois\u00a0?",
    "ask.loss_wanted": "Vous pesez moins que les {weight} dont vous nous avez parlé. Vouliez-vous"
        " perdre du poids\u00a0?",
    "ask.consent.touch": "Puis-je vous toucher pour trouver les endroits et placer le mètre"
        " ruban\u00a0?",
    "ask.consent.touch_tape": "Puis-je vous toucher pour placer le mètre ruban\u00a0?",
    "ask.consent.pinch": "Puis-je soulever des plis cutanés et les mesurer avec la pince\u00a0?",
    "ask.consent.uncover": "Pouvons-nous écarter les vêtements aux endroits à mesurer\u00a0?",
    "ask.consent.chest_folds": "Ce programme comprend des plis cutanés sur la poitrine, que l’on"
        " peut laisser de côté. Puis-je les mesurer\u00a0?",
    "ask.consent.chest_girths": "Ce programme comprend le tour de poitrine, que l’on peut laisser"
        " de côté. Puis-je le mesurer\u00a0?",
    "ask.consent.mark": "Puis-je marquer la peau avec un feutre lavable\u00a0?",
    "ask.consent.writer": "Une autre personne peut-elle noter les chiffres que je lis à voix"
        " haute\u00a0?",
    "ask.consent.show": "Voulez-vous voir les résultats aujourd’hui\u00a0?",
    "ask.consent.share": "Pouvons-nous envoyer les résultats à un cabinet médical si c’est"
        " nécessaire\u00a0?",
    "ask.consent.witness": "Souhaitez-vous qu’une personne de confiance, ou une personne de votre"
        " sexe, soit présente ou prenne les mesures\u00a0?",
    "ask.prepared.skin": "Votre peau est-elle sèche et sans crème\u00a0?",
    "ask.prepared.rested": "Avez-vous passé la journée jusqu’ici sans effort intense, sans sauna"
        " et sans bain chaud\u00a0?",
    "ask.plan": "Que souhaitez-vous que nous mesurions\u00a0?",
    "plan.seven": "Sept plis cutanés et le tour de taille.",
    "plan.four": "Quatre plis cutanés (bras, dos, hanche) et le tour de taille.",
    "plan.three": "Trois plis cutanés et le tour de taille.",
    "plan.tape": "Mètre ruban seulement, sans plis cutanés.",
    "plan.quick": "Poids, stature et tour de taille.",
    "plan.build": "Cinq plis cutanés, et les tours de taille, de bras et de mollet\u00a0: montre"
        " si la musculature est développée.",
    "plan.adaptive": "Poids, stature et tour de taille, puis un endroit après l’autre, selon les"
        " mesures.",
    "tell.then_chosen": "Ensuite, nous choisissons un endroit après l’autre. Vous pouvez dire non à"
        " chacun.",
    "bare.chest": "la poitrine",
    "bare.side_of_chest": "le côté de la poitrine",
    "bare.upper_arm": "le haut du bras",
    "bare.upper_back": "le haut du dos",
    "bare.belly": "le ventre",
    "bare.waistband": "la peau au-dessus de l’os de la hanche (ceinture un peu baissée)",
    "bare.thigh": "la cuisse",
    "bare.lower_leg": "le bas de la jambe",
    "stand.scale": "Retirez vos chaussures et les vêtements lourds et videz vos poches, s’il vous"
        " plaît. Tenez-vous sans bouger au milieu de la balance.",
    "stand.board": "Retirez vos chaussures, s’il vous plaît. Talons joints, dos contre la toise,"
        " et inspirez à fond.",
    "stand.relaxed": "Tenez-vous debout sans effort, les bras le long du corps, s’il vous plaît.",
    "stand.arm_lifted": "Debout, levez un peu le bras droit, s’il vous plaît.",
    "stand.elbow_then_hang": "Pliez le coude à angle droit, s’il vous plaît. Ensuite, laissez"
        " pendre le bras.",
    "stand.palm_forward": "Laissez pendre le bras, la paume vers l’avant, s’il vous plaît.",
    "stand.belly_relaxed": "Relâchez le ventre et soufflez sans forcer, s’il vous plaît.",
    "stand.arm_away": "Joignez les pieds et écartez le bras, s’il vous plaît.",
    "stand.arm_across": "Croisez le bras devant la poitrine, s’il vous plaît.",
    "stand.other_leg": "Mettez votre poids sur l’autre jambe et pliez un peu le genou, s’il vous"
        " plaît.",
    "stand.foot_on_box": "Posez le pied sur la caisse, la hanche et le genou à angle droit, s’il"
        " vous plaît.",
    "stand.mouth_closed": "Gardez la tête droite et la bouche fermée, s’il vous plaît.",
    "stand.eyes_forward": "Regardez droit devant vous et relâchez les épaules, s’il vous plaît.",
    "stand.arms_lifted": "Levez les bras, baissez-les à nouveau et soufflez sans forcer, s’il"
        " vous plaît.",
    "stand.arms_down": "Laissez pendre les bras et soufflez sans forcer, s’il vous plaît.",
    "stand.breath": "Joignez les pieds, les bras le long du corps, et soufflez sans forcer, s’il"
        " vous plaît.",
    "stand.feet_together": "Joignez les pieds et relâchez les muscles, s’il vous plaît.",
    "stand.both_feet": "Répartissez votre poids sur les deux pieds, s’il vous plaît.",
    "stand.arm_hanging": "Laissez pendre le bras, s’il vous plaît.",
    "stand.fist": "Tendez le haut du bras devant vous à l’horizontale, pliez le coude et serrez"
        " le poing, s’il vous plaît.",
    "stand.palm_up": "Tournez la paume vers le haut et relâchez le bras, s’il vous plaît.",
    "stand.palm_down": "Tournez la paume vers le bas, s’il vous plaît.",
    "stand.elbow_bent": "Pliez le coude à angle droit, s’il vous plaît.",
    "stand.seated": "Asseyez-vous, le genou à angle droit, s’il vous plaît.",
    "told.age": "{age}\u00a0ans maintenant",
    "told.since": "{months, plural, =0 {ce mois-ci} one {il y a # mois} other {il y a # mois}}",
    "told.weight": "{weight}, {months, plural, =0 {ce mois-ci} one {il y a # mois} other {il y a"
        " # mois}}",
    "told.place": "{months, plural, =0 {ce mois-ci} one {il y a # mois} other {il y a # mois}}"
        " ({place})",
    "bare.clothing": "{worn, select, underwear {sous-vêtements, sans chaussures} other {vêtements"
        " légers, sans chaussures}}",
    "bare.free": "{worn, select, underwear {sous-vêtements, sans chaussures} other {vêtements"
        " légers, sans chaussures}}\u00a0; à découvert\u00a0: {places}",
    "bare.free_already": "{worn, select, underwear {sous-vêtements, sans chaussures} other"
        " {vêtements légers, sans chaussures}}\u00a0; seulement si déjà à découvert\u00a0:"
        " {places}",
    "tell.planned": "Nous allons mesurer\u00a0: {what}.",
    "tell.plan": "Environ {span} {minutes, plural, one {minute} other {minutes}}. Tenue\u00a0:"
        " {clothing}.",
    "aloud.pair": (
        "{low, select,"
        " skinfold {Les plis cutanés donnent}"
        " girth {Le mètre ruban donne}"
        " mass_height {Le poids et la stature donnent}"
        " other {Le tour de taille et la stature donnent}"
        "} environ {low_percent}\u00a0%, {high, select,"
        " skinfold {les plis cutanés}"
        " girth {le mètre ruban}"
        " mass_height {le poids et la stature}"
        " other {le tour de taille et la stature}"
        "} environ {high_percent}\u00a0%\u00a0: {why, select,"
        " slip {un des chiffres est peut-être faux, alors reprenons la mesure}"
        " more_muscle {vous avez plus de muscle que la plupart des gens, et le poids seul ne"
        " distingue pas le muscle de la graisse}"
        " less_muscle {le poids seul ne dit pas quelle part est du muscle}"
        " belly_fat {les plis cutanés ne montrent que la graisse située juste sous la peau, mais"
        " le tour de taille tient aussi compte de la graisse plus profonde}"
        " fat_under_skin {chez vous, davantage de graisse se trouve juste sous la peau, et le"
        " mètre ruban en montre moins}"
        " one_part {chaque méthode regarde une autre partie du corps}"
        " weight_and_height {le poids et la stature ne distinguent pas le muscle de la graisse}"
        " usual_gap {elles ont été mises au point sur des groupes de personnes différents, et un"
        " tel écart est fréquent}"
        " age_term {elles tiennent compte de l’âge de manières différentes}"
        " deeper_fat {les plis cutanés ne montrent que la graisse située juste sous la peau, mais"
        " votre poids comprend aussi la graisse plus profonde}"
        " under_skin {chez vous, davantage de graisse se trouve juste sous la peau, où les plis"
        " cutanés la montrent et où le poids seul ne la montre pas}"
        " other {nous n’en connaissons pas encore la raison}"
        "}."
    ),
}
# fmt: on
