"""Wording for the client: short words, the range first, no blame, at most 150 words."""

from __future__ import annotations

from foldspan.quantities import BY_NAME

# the same for a client of twelve: short words, no blame, no jargon
CLIENT_REASONS = {
    "slip": "One number may be written down wrong. We want to take it again.",
    "more_muscle": (
        "Your arms or legs show strong muscle. Muscle is heavy too, so your weight alone gives too high"
        " a number."
    ),
    "less_muscle": (
        "Your arms or legs show less muscle than your weight lets us expect, so your weight alone gives"
        " too low a number."
    ),
    "belly_fat": (
        "Skin folds show only fat just under the skin. The tape also sees what lies deeper at your"
        " waist."
    ),
    "fat_under_skin": (
        "More of your fat sits just under the skin. The tape at the waist sees less of it."
    ),
    "trunk_fat": (
        "Your body keeps more fat on the trunk than on arms and legs. Some ways look at one part."
    ),
    "limb_fat": (
        "Your body keeps more fat on arms and legs than on the trunk. Some ways look at one part."
    ),
    "bmi_reads_high": "Weight and height cannot tell muscle from fat. A tape at the arm would help.",
    "bmi_reads_low": "Weight and height cannot tell muscle from fat. A tape at the arm would help.",
    "": "Each way was first tested on other people, so each one reads a bit high or low.",
}
CLIENT_VERDICTS = {
    "agree": "The ways we used fit together well.",
    "strained": "The ways we used do not fit together so well today.",
    "disagree": "The ways we used do not fit together today. It is best to measure once more.",
    "single": "We could use only one way, so there was nothing to hold it against.",
    # more than ordinary, but a reason was found that makes most of it
    "explained": "The ways we used do not fit together so well, and there is a likely reason.",
}
CLIENT_OPENING = (
    "Between {low} and {high} percent of your weight is likely to be fat. A range like this is right 8"
    " times out of 10."
)
# said where the trainer's page carries the caution of the same code
CLIENT_CAUTIONS = {
    "low_fat": "A body needs some fat, so please do not aim lower. A doctor can help you with this.",
    "low_fat_women": (
        "A body needs some fat, so please do not aim lower. A doctor can help you with this."
    ),
}
CLIENT_WHY_RANGE = (
    "No way to measure fat is exact. That is why we give you a range and not one number."
)
CLIENT_NEXT = "Next time we can also measure: {what}. Then the range can get smaller."
CLIENT_END = (
    "This is a check and not a test of your health. If the numbers worry you, you can talk to us or to a"
    " doctor. You do not have to look at them."
)
CLIENT_NO_RANGE = (
    "We do not give you a number for fat today. {why} If you have questions, ask us or a doctor."
)
CLIENT_NO_RANGE_WHY = {
    "E201": "Your body is still growing, and a doctor can read your growth with you.",
    "E202": (
        "While you are pregnant, our ways of measuring do not work. Your midwife or a doctor can follow"
        " your weight with you."
    ),
    "E204": (
        "In the first months after a birth our ways of measuring do not work. Your midwife or a doctor"
        " can follow your weight with you."
    ),
    "E205": "Our ways of measuring do not fit you. A doctor has others.",
    "E206": "Our ways of measuring do not fit you today. A doctor has others.",
    "E207": "We worked out two answers, and you can ask us to show you both.",
    "E203": "We need to measure a little more first.",
}
CLIENT_BOTH_SEXES = (
    "By the equations made for women your body fat is probably between {female_low} and {female_high}"
    " percent. By those made for men it is probably between {male_low} and {male_high} percent. Nobody"
    " can say which fits you better, so go by your waist and by changes over time."
)
CLIENT_OUTSIDE = {
    "fits": "The {percent} percent that you were told elsewhere can fit with this.",
    "apart": "The {percent} percent that you were told elsewhere does not fit well with this.",
    "used": "The range also uses the {percent} percent that you were told elsewhere.",
    "other_day": "The {percent} percent that you were told elsewhere is from another time.",
    "does_not_add_up": "The sheet with {percent} percent has a mistake in its own sums.",
}
CLIENT_STOP = "The numbers can wait for another day."
CLIENT_CAREFUL = (
    "Thank you for coming. We leave all numbers out today and set no goals. How you feel counts more."
)  # fmt: skip
# how soon stands beside or behind it
CLIENT_CAREFUL_FLAGS = {
    "refer_soon": "We can help you to get an appointment with a doctor.",
    "refer_urgently": "Please see a doctor today. We can help you to call.",
}
CLIENT_CAREFUL_END = (
    "You can stop at any time. You can talk to us or to a doctor whenever you like."
)
# labels that a client would have to look up → plain words
CLIENT_SITES = {
    "subscapular fold": "a fold on the upper back",
    "triceps fold": "a fold at the back of the arm",
    "biceps fold": "a fold at the front of the arm",
    "suprailiac fold, front armpit line": "a fold above the hip",
    "suprailiac fold, mid armpit line": "a fold above the hip",
    "supraspinale fold": "a fold above the hip",
    "midaxillary fold": "a fold at the side of the chest",
    "abdominal fold": "a fold on the belly",
    "front thigh fold": "a fold on the thigh",
    "inner calf fold": "a fold on the calf",
    "chest fold": "a fold on the chest",
    "chin fold": "a fold under the chin",
    "waist, narrowest": "your waist",
    "waist, midpoint": "your waist",
    "waist, top of hip bone": "your waist",
    "abdomen, navel": "your waist at the navel",
    "weight": "your weight",
    "height": "your height",
    "neck": "your neck",
    "chest girth": "the girth of your chest",
    "breast girth": "the girth over your breast",
    "hip": "your hip",
    "upper thigh girth": "your thigh, high up",
    "mid thigh girth": "your thigh, half-way",
    "knee girth": "your knee",
    "calf girth": "your calf",
    "ankle girth": "your ankle",
    "arm girth, relaxed": "your upper arm",
    "arm girth, flexed": "your upper arm, flexed",
    "forearm girth": "your forearm",
    "wrist girth": "your wrist",
}


def client_site(name: str) -> str:
    """Return a measured quantity in words that a client need not look up."""
    label = BY_NAME[name].label
    return CLIENT_SITES.get(label, label)
