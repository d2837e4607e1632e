"""French for the client's page: the range in one line, its dots, what they come to, and the pictures."""

from __future__ import annotations

# fmt: off
FRENCH_PAGE: dict[str, str] = {
    "page.title": "Vos mesures",
    "page.title_careful": "Votre visite d’aujourd’hui",
    "page.day": "Date",
    "page.tester": "Mesures prises par",
    "page.code": "Votre code",
    "page.lead": "Masse grasse probable\u00a0: de {low} à {high}\u00a0%",
    "page.dots": "Aucune méthode n’est exacte. Les 20 points sont des valeurs possibles, d’égale"
        " probabilité\u00a0; 16 sont dans cette fourchette.",
    "page.apart": "Les mesures d’aujourd’hui ne concordent pas. Refaisons-les.",
    "page.apart_sites": "Nous aimerions mesurer à nouveau\u00a0: {sites}.",
    "page.apart_all": "Nous aimerions refaire toutes les mesures.",
    "page.until_then": "D’ici là, nous pouvons seulement dire que votre masse grasse se situe"
        " probablement entre {low} et {high}\u00a0%.",
    "page.chance": "{band} ({chance}\u00a0sur\u00a0100)",
    "page.almost_sure": "plus de 99",
    "page.hardly": "moins de 1",
    "page.next": "Et maintenant\u00a0?",
    "page.repeat_soon": "Revenez bientôt pour que nous refassions toutes les mesures\u00a0; d’ici"
        " là, ne vous fiez pas à ces chiffres.",
    "page.strength": "À partir de 65\u00a0ans, la force et une marche assurée comptent plus que le"
        " taux de masse grasse.",
    "page.ask": "Posez-nous vos questions, ou parlez-en avec votre médecin.",
    "page.contact": "Contact",
    "page.methods": "Résultat de chaque méthode",
    "page.read_or_not": "Rien ne vous oblige à lire les chiffres. Si l’un d’eux vous inquiète,"
        " parlez-en avec nous ou avec votre médecin.",
    "page.measured": "Nous avons relevé\u00a0: {what}.",
    "page.weight": "poids",
    "page.height": "stature",
    "page.printed": "Les équations ont été utilisées exactement comme elles ont été publiées.",
    "page.sources": "Sources\u00a0: {names}.",
    "standard.who": "OMS",
    "page.not_verified": "{name} (limites pas encore vérifiées à la source)",
    "page.screening": "Cette feuille donne un repère, pas un diagnostic.",
    "measure.fat_percent": "Masse grasse",
    "measure.bmi": "Poids pour votre stature",
    "measure.waist_to_height": "Tour de taille",
    "zone.lighter_match": "plus basse",
    "zone.above_match": "plus élevée",
    "zone.well_above_match": "nettement plus élevée",
    "zones.all": "Les 20 points sont tous dans la zone «\u00a0{zone}\u00a0».",
    "picture.likely": "{low} à {high}\u00a0%",
    "picture.span": "{low} à {high}\u00a0%",
    "picture.you": "vous\u00a0: {value}",
    "picture.axis.fat_percent": "masse grasse (% du poids)",
    "picture.axis.bmi": "indice de masse corporelle (kg/m²)",
    "picture.axis.waist_to_height": "tour de taille divisé par la stature",
    "picture.method": "{name} {low} à {high}\u00a0%",
    "picture.agreement": "Ce que donne chaque méthode, avec sa propre fourchette\u00a0: {methods}."
        " En ombré derrière, toutes les méthodes ensemble\u00a0: {low} à {high}\u00a0%.",
    "picture.bands": "Catégories selon {name} ({measure}), de basse à haute, avec la probabilité"
        " de chacune\u00a0: {chances}. En ombré derrière, la fourchette donnée.",
    "picture.dots": "Vingt points sur une ligne de masse grasse, tous aussi probables\u00a0; 16 se"
        " situent entre {low} et {high}\u00a0%.",
    "picture.in_100": "{chance}\u00a0sur\u00a0100",
    "picture.trend": "Fourchette de masse grasse à chaque visite\u00a0: {visits}. D’une visite à"
        " l’autre\u00a0: {steps}.",
    "picture.trend_whole": "Sur toutes les visites\u00a0: {points}.",
    "picture.visit": "{day} {low} à {high}\u00a0%",
    "picture.real": "{points} (changement certain)",
    "picture.not_real": "pas de changement certain",
    "picture.not_compared": "non comparé",
    "picture.other_sites": "autres endroits",
    "caption.agreement": "Traits fins\u00a0: fourchette et meilleure estimation de chaque méthode."
        " Trait épais\u00a0: toutes ensemble.",
    "caption.one_way": "Trait fin\u00a0: fourchette et meilleure estimation de la méthode. Trait"
        " épais\u00a0: la fourchette donnée.",
    "caption.bands": "Plus foncé\u00a0: plus probable\u00a0; plus clair\u00a0: moins probable.",
    "caption.trend": "Barres\u00a0: fourchette de chaque jour. Trait plein\u00a0: changement"
        " certain, même si des barres se recouvrent\u00a0; pointillé\u00a0: pas de changement"
        " certain.",
    "zone.healthy_match": "habituelle pour {sex, select, female {les femmes} other {les hommes}}"
        " de votre âge",
    "zones.two": "{first} des 20 points sont dans la zone «\u00a0{zone}\u00a0» et {second} dans"
        " «\u00a0{second_zone}\u00a0».",
    "zones.three": "{first} des 20 points sont dans la zone «\u00a0{zone}\u00a0», {second} dans"
        " «\u00a0{second_zone}\u00a0» et {third} dans «\u00a0{third_zone}\u00a0».",
    "zones.four": "{first} des 20 points sont dans la zone «\u00a0{zone}\u00a0», {second} dans"
        " «\u00a0{second_zone}\u00a0», {third} dans «\u00a0{third_zone}\u00a0» et {fourth} dans"
        " «\u00a0{fourth_zone}\u00a0».",
    "page.masses": "Sur vos {weight}, environ {fat_low} à {fat_high} {unit} sont de la"
        " graisse\u00a0; une partie est indispensable. Le reste, {rest_low} à {rest_high} {unit},"
        " est de la masse maigre\u00a0: muscles, os, organes et eau.",
    "page.repeat": "Prochaines mesures pas avant {weeks, plural, one {# semaine} other {#"
        " semaines}}, par la même personne, avec le même matériel.",
    "page.repeat_then": "Ensuite, prochaines mesures pas avant {weeks, plural, one {# semaine}"
        " other {# semaines}}, par la même personne, avec le même matériel.",
    "page.folds": "{count, plural, one {# pli cutané} other {# plis cutanés}}",
    "page.girths": "{count, plural, one {# tour} other {# tours}} au mètre ruban",
    "page.breadths": "la largeur de {count, plural, one {# os} other {# os}}",
    "page.scale": "La fourchette estime le résultat {reference_method, select, density {d’une"
        " pesée sous l’eau} other {d’un examen DXA (par rayons X)}}.",
    "page.local": "Nous avons comparé nos mesures à celles {reference_method, select, density"
        " {d’une pesée sous l’eau} other {d’un examen DXA}}, et cette fourchette en tient compte.",
}
# fmt: on
