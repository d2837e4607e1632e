"""Wording of an answer: the words and sentences of its codes, in one place to translate or tone down."""

from __future__ import annotations

FAMILY_NAMES = {
    "skinfold": "skinfolds",
    "girth": "girths",
    "mass_height": "weight for height",
    "waist_height": "waist for height",
}
SCALE_NAMES = {
    "density": "underwater weighing (density)",
    "dxa": "DXA",
}
# said in the first lines of every answer for those who measure
REFERENCE_SENTENCES = {
    "density": "Reference method: underwater weighing (density).",
    "dxa": (
        "Reference method: DXA, as scans of the US national survey read; scanners differ by 1 to 3"
        " points."
    ),
}
VERDICT_SENTENCES = {
    "agree": "The methods agree: they differ no more than they usually do.",
    "strained": (
        "The methods are strained: they differ more than they usually do at this body size (chance"
        " below 1 in 10)."
    ),
    "disagree": (
        "The methods disagree: they differ far more than they usually do at this body size (chance"
        " below 1 in 100). Measure again before you rely on it."
    ),
    "single": "Only one family of methods could be used, so nothing could be compared.",
}
# the one advice where methods disagree, on every page for those who measure
MEASURE_AGAIN = (
    "Measure every site once more from fresh marks before you rely on the range: a repeat hardly"
    " narrows it, but it can reveal a slip."
)
# said between that advice and what else could be measured
ONLY_THEN = "If the methods still disagree after that, these come next, going by today's readings:"
SIZE_WORDS = {
    "agree": "that is ordinary",
    "strained": "that is more than usual",
    "disagree": "that is far more than usual",
}
WIDENED_SENTENCES = {
    True: "The range was widened for it.",
    False: "The methods that carry the answer agree, so the range was not widened.",
}
BUDGET_NAMES = {
    "published": "printed error of the equations",
    "new_people": "carrying equations to new people",
    "limits": "outside an equation's sample",
    "shared": "what all methods miss together",
    "scale": "moving between the two scales",
    "conversion": "density to fat",
    "tester": "readings",
    "waist_site": "waist at another level",
    "local": "what the site's correction leaves open",
    "outside": "results from elsewhere",
    "disagreement": "disagreement of the methods",
}
LEFT_OUT_WORDS = {
    "wrong_sex": "built for the other sex",
    "missing_input": "a measurement it needs was not taken",
    "outside_age": "outside the ages it was built on",
    "outside_span": "outside the sizes it was built on",
    "site_differs": "a fold was taken at another variant of its site",
    "disputed": "its printed digits are disputed",
    "scale_end": "a reading stopped at the end of the scale",
    "waist_bridged": "another waist level stands in",
    "youth_only": "built for people under 18",
    "athletes_only": "built for athletes",
    "obesity_only": "built for a body mass index of 30 and more",
    "clinical_only": "built for a clinical group",
    "other_ancestry": "built for one ancestry only, not stated here",
    "same_sample": "another form built on the same people is in use",
    "no_sound_value": "returns no sound value here",
    "on_request": "kept for comparison, not for the range",
    "wide_scatter": "its answers scatter too widely in the survey (over 5.0 points)",
    "reads_far_off": "as printed it is too far off in the survey (over 6.3 points)",
    "off_in_others": "too far off in people it was not built on (over 6.3 points)",
    "little_known": "too little is known of its digits, sample and error",
}

# Always, and where a result could hurt someone. Screening wording after NICE NG246 (ask, do not
# blame), IOC 2023 and Athletics Australia (first do no harm); words ours.
CAUTIONS = {
    "screening": (
        "This is a screening estimate, not a diagnosis. Local rules and licensed practice come"
        " first."
    ),
    "shared_error": (
        "All methods can miss the same way for one person; the range includes that, a single number"
        " does not."
    ),
    "low_fat": (
        "The range reaches down to the least fat that a body needs. Do not aim lower; with fainting,"
        " fast loss, low mood or worry about food, see a clinician."
    ),
    "low_fat_women": (
        "The range reaches down to the least fat that a body needs. Do not aim lower; with fainting,"
        " missed periods, fast loss or worry about food, see a clinician."
    ),
    "older": (
        "From 65 on, muscle is often lost unseen: strength and walking tell more than fat percentage."
    ),
    "young_adult": (
        "At 18 and 19 adult classes and growth charts can differ; both are shown, and a clinician reads"
        " them together."
    ),
    "eating": (
        "Numbers about the body can weigh on people. Ask before showing them; stop if they distress."
    ),
    "large_body": (
        "Few equations were built on bodies this large; here the tape is a steadier guide than folds."
    ),
}


# problem code → why there is no adult range, and what to do instead
SEX_WORDS = {"female": "women", "male": "men"}
REFUSAL_WORDS = {
    "E201": (
        "under 18 there is no adult range: a growing body needs growth charts",
        "Offer a growth-chart check with a parent and a clinician.",
    ),
    "E202": (
        "none of these methods works in pregnancy or for about six months after it",
        "Leave fat percentage and waist aside; the midwife or doctor watches weight.",
    ),
    "E204": (
        "none of these methods works in the first six months after a birth",
        "You may keep the measurements; measure again later. The midwife or doctor watches weight.",
    ),
    "E205": (
        "with a limb, or part of one, missing, weight and equations do not mean what they usually do",
        "You may keep the measurements and follow each by itself; a clinician has methods that fit.",
    ),
    "E207": (
        "which equations fit is left open, so there is no single range: both answers stand side by side",
        "Go by waist to height, whose limits are the same for both sexes, and by changes over time."
        " With female or male as sex there is one range.",
    ),
    "E206": (
        "fluid in the tissues or the belly, or dialysis, changes weight, girths and folds",
        "You may keep the measurements; a doctor should judge the fluid and watch the weight.",
    ),
}


LOCAL_USED = (
    "The site's own correction is applied: learnt on {people} people against a reference method, on the"
    " scale of {scale}{made}."
)
LOCAL_LEFT = (
    "The site's own correction does not cover this sex and these methods, so it is not applied."
)
# by the scale of the answer: nothing is levelled on that of underwater weighing anyway
PRINTED_SENTENCES = {
    "dxa": "Equations are taken as printed: what the US survey showed them to read off is left in.",
    "density": "Equations are taken as printed: those given by age group jump at its limits.",
}


def verdict_sentence(verdict: str | None, inflation: float | None) -> str:
    """Return what the verdict means, and whether the range was widened for it."""
    sentence = VERDICT_SENTENCES[verdict or "single"]
    if verdict in ("strained", "disagree"):
        sentence += " " + WIDENED_SENTENCES[(inflation or 1.0) > 1.0]
    return sentence


def capital(text: str) -> str:
    """Return the text with its first letter large, the rest as it is."""
    return f"{text[0].upper()}{text[1:]}"


def verb(family: str) -> str:
    """Return ``read`` for a family named in the plural, else ``reads``; a key is one thing."""
    return "read" if family.endswith("s") and family in FAMILY_NAMES.values() else "reads"
