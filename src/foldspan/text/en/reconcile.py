"""Wording of an answer: the words and sentences of its codes, in one place to translate or tone down."""

from __future__ import annotations

FAMILY_NAMES = {
    "skinfold": "skinfolds",
    "girth": "girths",
    "mass_height": "BMI-based equations",
    "waist_height": "waist-to-height ratio",
}
REFERENCE_NAMES = {
    "density": "underwater weighing (density)",
    "dxa": "DXA",
}
# said in the first lines of every answer for those who measure
REFERENCE_SENTENCES = {
    "density": "Reference method: underwater weighing (density).",
    "dxa": (
        "Reference method: DXA, as measured in the US national survey (NHANES). DXA scanners"
        " differ from one another by 1 to 3 percentage points."
    ),
}
VERDICT_SENTENCES = {
    "agree": "The methods agree: they differ no more than they normally do.",
    "strained": (
        "The methods agree poorly: they differ more than usual for this body size (a difference"
        " as large is seen in about 10% of people)."
    ),
    "disagree": (
        "The methods disagree: they differ far more than usual for this body size (a"
        " difference as large is seen in 1% to 2% of people). Measure again before you rely on"
        " the range."
    ),
    "single": "Only one method group could be used, so there was nothing to compare it with.",
}
# the one advice where methods disagree, on every page for those who measure
MEASURE_AGAIN = (
    "Measure every site once more from fresh marks before you rely on the range. A repeat"
    " will hardly narrow it, but it can reveal a mistake."
)
# said between that advice and what else could be measured
ONLY_THEN = "If the methods still disagree, measure these next (order based on today's readings):"
SIZE_WORDS = {
    "agree": "this is normal",
    "strained": "this is more than usual",
    "disagree": "this is far more than usual",
}
WIDENED_SENTENCES = {
    True: "The range has been widened to allow for this.",
    False: "The methods that count most in the range agree, so it has not been widened.",
}
BUDGET_NAMES = {
    "published": "equations' published error (SEE)",
    "new_people": "applying equations to new people",
    "limits": "outside an equation's sample",
    "shared": "error common to all methods",
    "reference_method": "converting between reference methods",
    "conversion": "density-to-fat conversion",
    "tester": "readings",
    "waist_site": "waist taken at another level",
    "local": "uncertainty of your local correction",
    "outside": "results from elsewhere",
    "disagreement": "disagreement between methods",
}
LEFT_OUT_WORDS = {
    "wrong_sex": "developed for the other sex",
    "missing_input": "a measurement it needs was not taken",
    "outside_age": "client outside the age range of its sample",
    "outside_span": "client outside the size range of its sample",
    "site_differs": "a skinfold was taken at a different version of its site",
    "disputed": "its coefficients are disputed",
    "scale_end": "a reading reached the end of the calliper's scale",
    "waist_bridged": "waist estimated from another level",
    "youth_only": "developed for under-18s",
    "athletes_only": "developed for athletes",
    "obesity_only": "developed for BMI 30 and above",
    "clinical_only": "developed for a clinical group",
    "other_ancestry": "developed for one ancestry, which is not stated for this client",
    "same_sample": "another equation from the same study is used",
    "no_sound_value": "gives no valid result for this client",
    "on_request": "kept for comparison only",
    "wide_scatter": "too imprecise in the US survey (scatter above 5.0 percentage points)",
    "reads_far_off": (
        "as published, too far off in the US survey (by more than 6.3 percentage points)"
    ),
    "off_in_others": (
        "too far off in people outside its own sample (by more than 6.3 percentage points)"
    ),
    "little_known": "too little is known about its coefficients, sample and error",
}

# Always, and where a result could hurt someone. Screening wording after NICE NG246 (ask, do not
# blame), IOC 2023 and Athletics Australia (first do no harm); words ours.
CAUTIONS = {
    "screening": (
        "This is a screening estimate, not a diagnosis. Local rules and professional"
        " judgement come first."
    ),
    "shared_error": (
        "All methods can be wrong in the same direction for one person. The range allows for"
        " this; a single number does not."
    ),
    "low_fat": (
        "The range reaches down to the minimum fat a body needs. Do not aim lower. If there"
        " is fainting, rapid weight loss, low mood or worry about food, refer to a clinician."
    ),
    "low_fat_women": (
        "The range reaches down to the minimum fat a body needs. Do not aim lower. If there"
        " is fainting, missed periods, rapid weight loss or worry about food, refer to a"
        " clinician."
    ),
    "older": (
        "From age 65, muscle loss may not show: strength and walking speed tell you more than"
        " body-fat percentage."
    ),
    "young_adult": (
        "At 18 and 19, adult categories and growth charts can disagree. Both are shown; a"
        " clinician can interpret them together."
    ),
    "eating": (
        "Body measurements can be upsetting. Ask before you show them, and stop if they"
        " cause distress."
    ),
    "large_body": (
        "Few equations were developed on bodies this large. Girths are more reliable than"
        " skinfolds here."
    ),
}


# problem code → why there is no adult range, and what to do instead
SEX_WORDS = {"female": "women", "male": "men"}
REFUSAL_WORDS = {
    "E201": (
        "no adult range under 18: growing bodies need growth charts",
        "Offer a growth-chart check with a clinician, with a parent present.",
    ),
    "E202": (
        "these methods do not work in pregnancy or for about six months after it",
        "Do not use body-fat percentage or waist. The midwife or doctor will monitor weight.",
    ),
    "E204": (
        "these methods do not work in the first six months after a birth",
        (
            "You can keep the measurements and measure again after that. The midwife or"
            " doctor will monitor weight."
        ),
    ),
    "E205": (
        "with all or part of a limb missing, weight and the equations are not valid",
        (
            "You can keep the measurements and follow each one over time. A clinician has"
            " suitable methods."
        ),
    ),
    "E207": (
        "you chose both sets of equations, so there is no single range: both results are shown",
        "Go by waist-to-height ratio, whose limits are the same for both sexes, and by"
        " change over time. With sex set to female or male there is one range.",
    ),
    "E206": (
        "oedema, fluid in the abdomen or dialysis changes weight, girths and skinfolds",
        ("You can keep the measurements. A doctor should assess the fluid and monitor weight."),
    ),
}


LOCAL_USED = (
    "Your local correction is applied (based on {people} people; reference method:"
    " {reference_method}{made})."
)
LOCAL_LEFT = (
    "Your local correction does not cover this sex and these methods, so it was not applied."
)
# by the reference method of the answer: with underwater weighing nothing is corrected anyway
PRINTED_SENTENCES = {
    "dxa": (
        "Equations are used as published: their known errors in the US survey are not corrected."
    ),
    "density": (
        "Equations are used as published: the result of one given by age group jumps at each age"
        " limit."
    ),
}


def verdict_sentence(verdict: str | None, inflation: float | None) -> str:
    """Return what the verdict means, and whether the range was widened for it."""
    sentence = VERDICT_SENTENCES[verdict or "single"]
    if verdict in ("strained", "disagree"):
        sentence += " " + WIDENED_SENTENCES[(inflation or 1.0) > 1.0]
    return sentence


def capital(text: str) -> str:
    """Return the text with its first letter large, the rest as it is."""
    return f"{text[:1].upper()}{text[1:]}"


def verb(family: str) -> str:
    """Return ``give`` for a method group named in the plural, else ``gives``; a key is one thing."""
    return "give" if family.endswith("s") and family in FAMILY_NAMES.values() else "gives"
