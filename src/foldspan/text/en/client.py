"""Wording for the client: short words, the range first, no blame, at most 150 words."""

from __future__ import annotations

from foldspan.quantities import BY_NAME

# the same for a client of twelve: short words, no blame, no jargon
CLIENT_REASONS = {
    "slip": "One number may have been written down wrong. We would like to measure it again.",
    "more_muscle": (
        "Your arms or legs have more muscle than most. Muscle is heavy too, so your weight"
        " alone gives a number that is too high."
    ),
    "less_muscle": (
        "Your arms or legs have less muscle than we would expect from your weight, so your"
        " weight alone gives a number that is too low."
    ),
    "belly_fat": (
        "Skin folds only show the fat just under the skin. A tape round the waist picks up"
        " deeper fat too."
    ),
    "fat_under_skin": (
        "More of your fat lies just under the skin, where a tape at the waist picks up less of it."
    ),
    "trunk_fat": (
        "You carry more fat on your trunk than on your arms and legs. Some methods look at"
        " one part only."
    ),
    "limb_fat": (
        "You carry more fat on your arms and legs than on your trunk. Some methods look at"
        " one part only."
    ),
    "bmi_reads_high": (
        "Weight and height cannot tell muscle from fat. Measuring your arm with a tape would help."
    ),
    "bmi_reads_low": (
        "Weight and height cannot tell muscle from fat. Measuring your arm with a tape would help."
    ),
    "": (
        "Each method was worked out by measuring other people, so it may be a bit high or low"
        " for you."
    ),
}
CLIENT_VERDICTS = {
    "agree": "The different methods gave similar results.",
    "strained": "The methods do not agree very well today.",
    "disagree": "The methods gave different answers today. It is best to measure again.",
    "single": "We could use only one method, so we had nothing to compare it with.",
    # more than ordinary, but a reason was found that makes most of it
    "explained": "The methods gave different answers. We think we know why.",
}
CLIENT_OPENING = (
    "Your body fat is probably between {low}% and {high}%. If we measured 100"
    " people like this, the range would contain the true value for about 80 of them."
)
# said where the trainer's page carries the caution of the same code
CLIENT_CAUTIONS = {
    "low_fat": (
        "Every body needs some fat, so please do not aim lower. A doctor can help you with this."
    ),
    "low_fat_women": (
        "Every body needs some fat, so please do not aim lower. A doctor can help you with this."
    ),
}
CLIENT_WHY_RANGE = (
    "No method can measure body fat exactly. That is why you get a range and not one number."
)
CLIENT_NEXT = "Next time we could also measure {what}. That would give a narrower range."
CLIENT_END = (
    "This is a screening check, not a diagnosis. You can skip the numbers if you like. If any"
    " worry you, talk to us or your doctor."
)
CLIENT_NO_RANGE = "We are not giving you a body-fat number today."
CLIENT_NO_RANGE_ASK = "If you have questions, please ask us or a doctor."
CLIENT_NO_RANGE_WHY = {
    "E201": (
        "You are still growing, so adult numbers do not fit you. A doctor can use a growth"
        " chart with you."
    ),
    "E202": (
        "These methods do not work during pregnancy. Your midwife or doctor can keep an eye on your"
        " weight."
    ),
    "E204": (
        "These methods do not work in the first six months after giving birth. Your midwife or"
        " doctor can keep an eye on your weight."
    ),
    "E205": "Our methods would not give you the right number. A doctor can use others.",
    "E206": "Our methods would not give you the right number today. A doctor can use others.",
    "E207": "We worked out two results. Please ask us to show you both.",
    "E203": "We need to measure a little more first.",
}
CLIENT_BOTH_SEXES = (
    "With the equations made for women, your body fat is probably between {female_low}% and"
    " {female_high}%; with those made for men, between {male_low}% and {male_high}%."
)
CLIENT_BOTH_SEXES_WHY = (
    "Nobody can say which suits you better, so go by your waist and by changes over time."
)
CLIENT_OUTSIDE = {
    "fits": "The {percent}% that you were given elsewhere fits with this.",
    "apart": "The {percent}% that you were given elsewhere does not fit well with this.",
    "used": "The range also uses the {percent}% that you were given elsewhere.",
    "other_day": "The {percent}% that you were given elsewhere was measured at another time.",
    "does_not_add_up": (
        "The sheet that gave you {percent}% has a mistake: its own numbers do not add up."
    ),
}
CLIENT_STOP = "The numbers can wait for another day."
CLIENT_CAREFUL = "Thank you for coming."
CLIENT_CAREFUL_WHY = "Today we are leaving out all numbers and goals. How you feel matters more."
# how soon stands beside or behind it
CLIENT_CAREFUL_FLAGS = {
    "refer_soon": "We can help you to make an appointment with a doctor.",
    "refer_urgently": "Please see a doctor today. We can help you to call.",
}
CLIENT_CAREFUL_END = "You can stop at any time. You can always talk to us or to a doctor."
# what a client would have to look up → plain words
CLIENT_SITES = {
    "subscapular_mm": "a skin fold on the upper back",
    "triceps_mm": "a skin fold at the back of the arm",
    "biceps_mm": "a skin fold at the front of the arm",
    "suprailiac_anterior_mm": "a skin fold above the hip",
    "suprailiac_midaxillary_mm": "a skin fold above the hip",
    "supraspinale_mm": "a skin fold above the hip",
    "midaxillary_mm": "a skin fold at the side of the chest",
    "abdominal_mm": "a skin fold on the belly",
    "thigh_mm": "a skin fold on the thigh",
    "calf_mm": "a skin fold on the calf",
    "chest_mm": "a skin fold on the chest",
    "chin_mm": "a skin fold under the chin",
    "waist_narrowest_cm": "your waist",
    "waist_midpoint_cm": "your waist",
    "waist_iliac_cm": "your waist",
    "abdomen_navel_cm": "your waist at the navel",
    "weight_kg": "your weight",
    "height_cm": "your height",
    "neck_cm": "your neck",
    "chest_girth_cm": "round your chest",
    "breast_girth_cm": "round your bust",
    "hip_cm": "your hips",
    "thigh_upper_girth_cm": "your thigh, at the top",
    "thigh_mid_girth_cm": "your thigh, in the middle",
    "knee_girth_cm": "your knee",
    "calf_girth_cm": "your calf",
    "ankle_girth_cm": "your ankle",
    "arm_relaxed_girth_cm": "your upper arm",
    "arm_flexed_girth_cm": "your upper arm, flexed",
    "forearm_girth_cm": "your forearm",
    "wrist_girth_cm": "your wrist",
}


def client_site(name: str) -> str:
    """Return a measured quantity in words that a client need not look up."""
    return CLIENT_SITES.get(name, BY_NAME[name].label)
