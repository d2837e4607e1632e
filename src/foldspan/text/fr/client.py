"""French: the sentences of the client's page in French, by the keys of ``text.catalogue.CLIENT_KEYS``.

Words are those that France, Belgium, Switzerland and Québec share.
"""

from __future__ import annotations

# A doctor is "votre médecin", or "consulter", where any doctor will do and soon.
# Height is "stature" and the waist "tour de taille", never "taille" alone; "masse maigre" is all that is
# not fat.
# \u00a0 keeps what belongs together on one line, as before ; : ? % and inside « ».
# fmt: off
FRENCH_SENTENCES: dict[str, str] = {
    "opening": "Votre masse grasse représente probablement entre {low} et {high}\u00a0% de votre"
        " poids. Sur 100 personnes comme vous, la fourchette contiendrait la vraie valeur pour"
        " environ 80.",
    "why_range": "Aucune méthode ne mesure exactement la masse grasse. C’est pourquoi nous vous"
        " donnons une fourchette et non un seul chiffre.",
    "next": "La prochaine fois, nous pourrions aussi mesurer\u00a0: {what}. La fourchette serait"
        " plus étroite.",
    "end": "C’est un simple repère, pas un diagnostic. Rien ne vous oblige à lire les chiffres. Si"
        " l’un d’eux vous inquiète, parlez-en avec nous ou avec votre médecin.",
    "stop": "Les chiffres peuvent attendre un autre jour.",
    "careful_end": "Vous pouvez arrêter cette visite à tout moment. Vous pouvez nous parler quand"
        " vous le souhaitez, ou parler à votre médecin.",
    "verdict.agree": "Les méthodes donnent des résultats proches.",
    "verdict.strained": "Les méthodes concordent moins bien aujourd’hui.",
    "verdict.disagree": "Les méthodes donnent aujourd’hui des résultats différents. Le mieux est"
        " de refaire les mesures.",
    "verdict.single": "Nous n’avons pu utiliser qu’une seule méthode, sans pouvoir la comparer à"
        " une autre.",
    "verdict.explained": "Les méthodes donnent des résultats différents. Nous pensons savoir"
        " pourquoi.",
    "reason.slip": "Un chiffre a peut-être été mal noté. Nous aimerions refaire cette mesure.",
    "reason.more_muscle": "Vos bras ou vos jambes sont plus musclés que la moyenne. Le muscle pèse"
        " aussi, et le poids seul donne un chiffre trop élevé.",
    "reason.less_muscle": "Vos bras ou vos jambes sont moins musclés que votre poids ne le laisse"
        " supposer. Le poids seul donne donc un chiffre trop bas.",
    "reason.belly_fat": "Les plis cutanés ne montrent que la graisse située juste sous la peau. Le"
        " tour de taille tient aussi compte de la graisse plus profonde.",
    "reason.fat_under_skin": "Chez vous, davantage de graisse se trouve juste sous la peau. Le"
        " tour de taille en montre moins.",
    "reason.trunk_fat": "Vous avez plus de graisse sur le tronc que sur les bras et les jambes."
        " Certaines méthodes ne regardent qu’une partie du corps.",
    "reason.limb_fat": "Vous avez plus de graisse sur les bras et les jambes que sur le tronc."
        " Certaines méthodes ne regardent qu’une partie du corps.",
    "reason.bmi_reads_high": "Le poids et la stature ne distinguent pas le muscle de la graisse."
        " Mesurer aussi votre bras au mètre ruban nous aiderait.",
    "reason.bmi_reads_low": "Le poids et la stature ne distinguent pas le muscle de la graisse."
        " Mesurer aussi votre bras au mètre ruban nous aiderait.",
    "reason.none": "Chaque méthode a été mise au point sur d’autres personnes\u00a0; chez vous,"
        " elle peut donner un chiffre un peu trop haut ou trop bas.",
    "caution.low_fat": "Tout corps a besoin d’un peu de graisse\u00a0: mieux vaut ne pas viser"
        " plus bas. Votre médecin peut vous aider.",
    "caution.low_fat_women": "Tout corps a besoin d’un peu de graisse\u00a0: mieux vaut ne pas"
        " viser plus bas. Votre médecin peut vous aider.",
    "no_range_why.E201": "Votre croissance n’est pas terminée, et les chiffres des adultes ne vous"
        " conviennent pas. Votre médecin peut regarder une courbe de croissance avec vous.",
    "no_range_why.E202": "Ces méthodes ne conviennent pas pendant la grossesse. Votre sage-femme"
        " ou votre médecin peut suivre votre poids.",
    "no_range_why.E204": "Ces méthodes ne conviennent pas pendant les six mois qui suivent une"
        " naissance. Votre sage-femme ou votre médecin peut suivre votre poids.",
    "no_range_why.E205": "Chez vous, nos méthodes ne donneraient pas un chiffre juste. En cabinet"
        " médical, il en existe d’autres.",
    "no_range_why.E206": "Chez vous, nos méthodes ne donneraient pas un chiffre juste aujourd’hui."
        " En cabinet médical, il en existe d’autres.",
    "no_range_why.E207": "Nous avons calculé deux résultats. Demandez-nous de vous montrer les"
        " deux.",
    "no_range_why.E203": "Nous devons d’abord prendre encore quelques mesures.",
    "elsewhere.fits": "Les {percent}\u00a0% qu’on vous a indiqués ailleurs concordent avec ce"
        " résultat.",
    "elsewhere.apart": "Les {percent}\u00a0% qu’on vous a indiqués ailleurs ne concordent pas bien"
        " avec ce résultat.",
    "elsewhere.used": "La fourchette tient compte aussi des {percent}\u00a0% qu’on vous a indiqués"
        " ailleurs.",
    "elsewhere.other_day": "Les {percent}\u00a0% qu’on vous a indiqués ailleurs ont été mesurés à"
        " un autre moment.",
    "elsewhere.does_not_add_up": "La fiche qui vous indique {percent}\u00a0% contient une"
        " erreur\u00a0: ses propres chiffres ne vont pas ensemble.",
    "flag.heart_signs": "Cela ne peut pas attendre\u00a0: appelez tout de suite le numéro"
        " d’urgence. Nous nous arrêtons là et restons avec vous jusqu’à l’arrivée des secours.",
    "flag.fainting": "Vous nous avez dit avoir perdu connaissance, ou presque. Allez consulter"
        " aujourd’hui. Nous prendrons les mesures une autre fois.",
    "flag.self_harm": "Merci de nous l’avoir dit. Vous n’avez pas à affronter cela sans aide."
        " Votre médecin ou une ligne d’écoute peut vous aider aujourd’hui, et nous vous aiderons à"
        " les joindre.",
    "flag.one_leg_swollen": "Consultez aujourd’hui pour faire examiner votre jambe.",
    "flag.belly_urgent": "Consultez aujourd’hui pour faire examiner votre ventre.",
    "flag.belly_fluid": "Faites examiner votre ventre par votre médecin, dès aujourd’hui en cas de"
        " douleur, de fièvre ou de peau jaune.",
    "flag.yellow_skin": "Faites examiner votre peau et vos yeux par votre médecin, dès aujourd’hui"
        " en cas de fièvre, de douleur ou de somnolence.",
    "flag.thirst_urgent": "Votre soif demande un avis médical aujourd’hui. N’attendez pas.",
    "flag.thirst_and_urine": "Votre médecin peut chercher pourquoi vous avez si soif. En cas de"
        " vomissements ou de somnolence, consultez dès aujourd’hui.",
    "flag.pressure_very_high": "Votre tension artérielle était très élevée. Allez consulter"
        " aujourd’hui. En cas de douleur dans la poitrine, de confusion ou de difficulté à"
        " respirer, appelez tout de suite le numéro d’urgence.",
    "flag.pregnancy_signs": "Appelez aujourd’hui votre sage-femme ou votre médecin.",
    "flag.pressure_raised": "Votre tension artérielle était élevée. Une seule valeur élevée n’est"
        " pas un diagnostic. Faites-la contrôler par votre médecin.",
    "flag.swelling": "À cause du gonflement, nos chiffres seraient faux. Votre médecin peut en"
        " trouver la cause.",
    "flag.uneven_body": "Votre médecin peut examiner les changements de votre corps dont vous nous"
        " avez parlé.",
    "flag.eating_concern": "L’alimentation est-elle un souci pour vous\u00a0? Vous n’avez pas à"
        " affronter cela sans aide. Votre médecin ou un service spécialisé dans les troubles"
        " alimentaires peut vous aider.",
    "flag.periods_stopped": "Vos règles se sont arrêtées. Votre médecin peut chercher pourquoi."
        " D’ici là, ne vous fixez pas d’objectif.",
    "flag.stress_fractures": "Si une blessure revient sans cesse, faites-la examiner par votre"
        " médecin.",
    "flag.bmi_severely_low": "Votre poids est très bas pour votre stature. Allez consulter"
        " aujourd’hui. Nous pouvons vous aider à appeler.",
    "flag.bmi_clearly_low": "Votre poids est bas pour votre stature. Votre médecin peut faire le"
        " point avec vous.",
    "flag.bmi_low_with_fast_loss": "Votre poids est bas pour votre stature, et il a baissé vite."
        " Allez consulter aujourd’hui. Nous pouvons vous aider à appeler.",
    "flag.thin_for_age_severely": "Votre poids est très bas pour votre stature. Allez consulter"
        " aujourd’hui, avec l’un de vos parents ou une personne de confiance. Nous pouvons vous"
        " aider à appeler.",
    "flag.thin_for_age": "Votre poids est bas pour votre stature. Consultez votre médecin, avec"
        " l’un de vos parents ou une personne de confiance.",
    "flag.low_weight_limb_severely": "Votre poids est très bas pour votre stature. Allez consulter"
        " aujourd’hui. Nous pouvons vous aider à appeler.",
    "flag.low_weight_limb": "Votre poids paraît bas. L’absence d’un membre peut"
        " l’expliquer\u00a0; votre médecin pourra le dire.",
    "flag.bmi_low_older": "Votre poids est bas pour votre âge. Faites le point avec votre médecin.",
    "flag.bmi_light_older": "Votre poids est un peu bas pour votre âge. N’essayez pas d’en perdre."
        " Votre médecin peut faire le point avec vous.",
    "flag.bmi_low_with_loss": "Votre poids est bas pour votre stature, et il a baissé. Faites le"
        " point avec votre médecin.",
    "flag.bmi_low_for_illness": "Votre poids est un peu bas, et vous avez maigri ou mangez peu."
        " Votre médecin peut vous aider.",
    "flag.bmi_low": "Votre poids est bas pour votre stature. Si c’est nouveau pour vous, votre"
        " médecin peut faire le point avec vous.",
    "flag.loss_fast": "Vous avez perdu du poids rapidement, sans le vouloir. Demandez à votre"
        " médecin d’en chercher la cause.",
    "flag.loss_unplanned": "Vous avez perdu du poids sans le vouloir. Votre médecin peut en"
        " chercher la cause.",
    "flag.loss_with_worry": "Votre poids a baissé plus qu’il ne le faudrait. Faites le point avec"
        " votre médecin.",
    "flag.height_lost": "Vous mesurez moins qu’avant. Dites-le à votre médecin, qui pourra faire"
        " examiner vos os.",
    "flag.loss_large_not_asked": "Vous avez perdu beaucoup de poids en peu de temps. Faites le"
        " point avec votre médecin.",
    "flag.loss_large_undated": "Vous avez perdu beaucoup de poids. Si ce n’était pas prévu, faites"
        " le point avec votre médecin.",
    "flag.weakness": "Votre médecin peut chercher pourquoi vous manquez de force, marchez"
        " lentement ou tombez.",
    "flag.not_well": "Vous ne vous sentez pas bien\u00a0; les mesures peuvent attendre. Si cela ne"
        " va pas mieux, consultez votre médecin.",
    "flag.loss_not_asked": "Votre poids a baissé. Si vous ne vouliez pas maigrir, votre médecin"
        " peut en chercher la cause.",
    "flag.loss_planned_fast": "Votre perte de poids est rapide. Plus lentement, c’est mieux pour"
        " vos muscles. Votre médecin peut vous aider à la planifier.",
    "flag.weight_with_signs": "Certaines de vos réponses sont à revoir avec votre médecin.",
    "flag.bmi_very_far_above": "Faites un bilan de santé avec votre médecin, sauf s’il est déjà"
        " prévu.",
    "flag.bmi_far_above": "Faites un bilan de santé avec votre médecin, sauf s’il est déjà prévu.",
    "flag.waist_six_tenths": "Votre tour de taille est élevé par rapport à votre stature. Cela"
        " peut avoir une incidence sur votre santé\u00a0: faites un bilan avec votre médecin.",
    "flag.weight_and_waist": "Si vous n’avez pas fait de bilan de santé avec votre médecin cette"
        " année, pensez à en faire un.",
    "flag.central_fat": "Votre tour de taille est élevé par rapport à votre stature. Le poids seul"
        " ne le montre pas. Vous pouvez en parler avec nous ou avec votre médecin.",
    "flag.fat_very_low": "Votre corps a très peu de graisse, et il lui en faut. Ne visez pas plus"
        " bas. Votre médecin peut faire le point avec vous.",
    "flag.folds_very_low": "Votre corps a très peu de graisse, et il lui en faut. Ne visez pas"
        " plus bas. Votre médecin peut faire le point avec vous.",
    "flag.fat_near_minimum": "Votre corps a peu de graisse, et il lui en faut. Ne visez pas plus"
        " bas.",
    "flag.lean_low_with_loss": "Vous avez perdu du poids, dont peut-être du muscle. Votre médecin"
        " peut vous aider à le retrouver.",
    "flag.lean_low": "Un peu plus de muscle vous ferait du bien. Si vous perdez du poids,"
        " consultez aussi votre médecin.",
    "flag.muscle_and_weight": "Pour le moment, gagner en force compte plus que votre poids. Votre"
        " médecin peut évaluer votre force avec vous.",
    "flag.muscle_signs": "Gagner en force vous ferait du bien. Votre médecin peut évaluer votre"
        " force et votre façon de marcher.",
    "flag.bleeding": "Mesurer les plis cutanés peut vous laisser des bleus\u00a0; le mètre ruban"
        " convient mieux. Parlez-en à votre médecin.",
    "flag.do_not_pinch": "Il vaut mieux ne pas toucher à certains endroits. Nous les laissons de"
        " côté, et c’est très bien ainsi.",
    "flag.recent_surgery": "Nous ne mesurerons pas près de la zone opérée avant sa guérison.",
    "flag.belly_not_valid": "Votre tour de taille est difficile à mesurer en ce moment\u00a0; ne"
        " vous fiez pas à cette seule mesure.",
    "flag.body_not_valid": "Certaines de nos méthodes ne seraient pas justes pour vous. En cabinet"
        " médical, il en existe d’autres.",
    "flag.medicines": "Certains médicaments déplacent la graisse ou l’eau dans le corps\u00a0:"
        " notre fourchette peut être décalée.",
    "flag.anabolic_drugs": "Ce que vous prenez pour gagner du muscle ajoute aussi de l’eau\u00a0:"
        " notre fourchette peut être décalée. Parlez-en à votre médecin.",
    "flag.strong_build": "Le poids et la stature confondent muscle et graisse. Fiez-vous plutôt au"
        " tour de taille et à la fourchette.",
    "careful_flag.refer_soon": "Nous pouvons vous aider à prendre rendez-vous avec votre médecin.",
    "careful_flag.refer_urgently": "Allez consulter aujourd’hui. Nous pouvons vous aider à"
        " appeler.",
    "band.severely_low": "très bas pour la stature",
    "band.clearly_low": "nettement bas pour la stature",
    "band.low": "bas pour la stature",
    "band.usual": "dans les valeurs habituelles d’un poids sain",
    "band.above": "au-dessus des valeurs habituelles",
    "band.well_above": "bien au-dessus des valeurs habituelles",
    "band.far_above": "largement au-dessus des valeurs habituelles",
    "band.very_far_above": "très largement au-dessus des valeurs habituelles",
    "band.light_for_age": "plutôt léger pour cet âge",
    "band.usual_for_age": "dans les valeurs de moindre risque à cet âge",
    "band.heavy_for_age": "au-dessus des valeurs de moindre risque à cet âge",
    "band.small_for_height": "petit par rapport à la stature",
    "band.under_half": "moins de la moitié de la stature",
    "band.half_or_more": "la moitié de la stature ou plus",
    "band.six_tenths_or_more": "60\u00a0% de la stature ou plus",
    "band.below_raised": "sous la limite du risque accru",
    "band.raised": "dans la zone de risque accru",
    "band.high": "dans la zone de risque élevé",
    "band.below_central": "sous la limite pour la graisse du ventre",
    "band.central": "à la limite pour la graisse du ventre ou au-dessus",
    "band.below_high_for_class": "pas élevé pour cette classe d’IMC",
    "band.high_for_class": "élevé pour cette classe d’IMC",
    "band.lighter_match": "sous les valeurs qui correspondent à un poids sain",
    "band.healthy_match": "dans les valeurs qui correspondent à un poids sain",
    "band.above_match": "au-dessus des valeurs qui correspondent à un poids sain",
    "band.well_above_match": "bien au-dessus des valeurs qui correspondent à un poids sain",
    "band.no_case_seen": "là où l’étude n’a vu aucun cas",
    "band.few_cases": "là où les cas étaient rares dans l’étude",
    "band.risk_clusters": "là où les cas devenaient plus fréquents",
    "band.risk_common": "là où les cas étaient fréquents",
    "band.below_bmi_30_match": "sous le niveau qui correspond à un IMC de 30",
    "band.bmi_30_match_or_more": "au niveau qui correspond à un IMC de 30 ou au-dessus",
    "band.below_span": "sous les valeurs de référence",
    "band.in_span": "dans les valeurs de référence",
    "band.above_span": "au-dessus des valeurs de référence",
    "band.below_minimum": "sous le minimum admis en sport",
    "band.at_or_above_minimum": "au minimum admis en sport ou au-dessus",
    "band.severe_shortage": "beaucoup moins de graisse que d’ordinaire pour la stature",
    "band.moderate_shortage": "moins de graisse que d’ordinaire pour la stature",
    "band.mild_shortage": "un peu moins de graisse que d’ordinaire pour la stature",
    "band.usual_fat": "graisse habituelle pour la stature",
    "band.excess": "plus de graisse que d’ordinaire pour la stature",
    "band.class_1": "nettement plus de graisse que d’ordinaire pour la stature (classe 1)",
    "band.class_2": "beaucoup plus de graisse que d’ordinaire pour la stature (classe 2)",
    "band.class_3": "beaucoup plus de graisse que d’ordinaire pour la stature, au niveau le plus"
        " élevé (classe 3)",
    "band.low_lean": "peu de masse maigre pour la stature",
    "band.not_low_lean": "masse maigre non basse pour la stature",
    "family.skinfold": "plis cutanés",
    "family.girth": "circonférences",
    "family.mass_height": "poids et stature",
    "family.waist_height": "tour de taille et stature",
    "no_range": "Aujourd’hui, nous ne vous donnons pas de chiffre pour votre masse grasse.",
    "no_range_ask": "Si vous avez des questions, n’hésitez pas à nous les poser ou à en parler à"
        " votre médecin.",
    "careful": "Merci de votre venue.",
    "careful_why": "Aujourd’hui, nous laissons de côté tous les chiffres et tous les objectifs."
        " Ce qui compte le plus, c’est comment vous vous sentez.",
    "both_sexes": "Avec les équations établies pour les femmes, votre masse grasse se situe"
        " probablement entre {female_low} et {female_high}\u00a0%\u00a0; avec celles établies"
        " pour les hommes, entre {male_low} et {male_high}\u00a0%.",
    "both_sexes_why": "Personne ne peut dire lesquelles vous conviennent le mieux\u00a0;"
        " fiez-vous plutôt à votre tour de taille et aux changements au fil du temps.",
}
# fmt: on
