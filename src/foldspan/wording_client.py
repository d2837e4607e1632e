"""Wording for the client: short words, the range first, no blame, at most 150 words."""

from __future__ import annotations

import math
from collections.abc import Sequence

from foldspan.errormodel import SCALE_OFFSET
from foldspan.explanation import Explanation
from foldspan.result import SpokenFlag
from foldspan.standards.fat_percent import LEAST_FAT
from foldspan.standards.rules import RULE_BY_CODE
from foldspan.wording import CAUTIONS, FAMILY_NAMES
from foldspan.wording_explain import label

# the same for a client of twelve: short words, no blame, no jargon
CLIENT_REASONS = {
    "slip": "One number may be written down wrong. We want to take it again.",
    "more_muscle": (
        "Your arms or legs show strong muscle. Muscle is heavy too, so your weight alone says too much."
    ),
    "less_muscle": (
        "Your arms or legs show less muscle than your weight lets us expect, so your weight alone says"
        " too little."
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
    "E202": "While you are pregnant, and for some months after, no way of measuring fat is right.",
    "E204": "In the first months after a birth no way of measuring fat is right.",
    "E205": "Our ways of measuring do not fit you. A doctor has others.",
    "E206": "Our ways of measuring do not fit you today. A doctor has others.",
    "E203": "We need to measure a little more first.",
}
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
CLIENT_CAREFUL_FLAGS = {
    "refer_soon": "Please see a doctor soon. We can help you with that.",
    "refer_urgently": "Please see a doctor today. We can help you to call.",
}
# flags that no other may push off the client's page
ALWAYS_TOLD = ("self_harm", "eating_concern")
# ladders of flags that speak about weight, fat or muscle
ABOUT_THE_BODY = ("low_weight", "high_weight", "loss", "low_fat", "lean", "muscle")
CLIENT_CAREFUL_END = (
    "You can stop at any time. You can talk to us or to a doctor whenever you like."
)
MOST_CLIENT_WORDS, MOST_OUTSIDE_WORDS, MOST_FLAGS = 150, 2, 2
# a reason is told to the client if it makes this share of the difference
CLIENT_SHARE = 0.25
# an offer is made to the client if it narrows the range by this much [points]
WORTH_OFFERING = 0.5
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
}


def client_words(explanation: Explanation) -> str:
    """Return the client's explanation: the range first, short words, at most 150 of them.

    Where careful words are called for it holds no number at all, and where a doctor is needed today
    nothing but that.
    """
    result = explanation.result
    told = [one for one in result.flags if one.level != "inform"]
    urgent = [one for one in told if one.level == "refer_urgently"]
    careful = result.health.careful
    if urgent:
        return " ".join([*_flag_words(urgent, careful=careful), CLIENT_STOP])
    flags = _flag_words(told, careful=careful)
    if careful:
        return " ".join([CLIENT_CAREFUL, *flags, CLIENT_CAREFUL_END])
    if result.fat_percent.likely is None:
        code = result.problems[0].code if result.problems else "E203"
        why = CLIENT_NO_RANGE_WHY[code]
        return " ".join([CLIENT_NO_RANGE.format(why=why), *flags])
    low, high = result.fat_percent.likely
    reasons, verdict = _client_reasons(explanation)
    opening = [
        CLIENT_OPENING.format(low=math.floor(low), high=math.ceil(high)),
        CLIENT_WHY_RANGE,
        CLIENT_VERDICTS[verdict],
    ]
    heeded = flags or _client_cautions(explanation)
    elsewhere = _client_outside(explanation)
    offer = [] if heeded else _client_offer(explanation)
    # what is too much for one page is left out: the second reason first, then the offer, then what was
    # told elsewhere; never what a doctor should see
    text = ""
    for kept, said, offered in (
        (reasons, elsewhere, offer),
        (reasons[:1], elsewhere, offer),
        (reasons[:1], elsewhere, []),
        ([], [], []),
    ):
        text = " ".join([*opening, *kept, *said, *offered, *heeded, CLIENT_END])
        if len(text.split()) <= MOST_CLIENT_WORDS:
            break
    return text


def _flag_words(flags: Sequence[SpokenFlag], *, careful: bool) -> list[str]:
    """What the client is told of the flags, at most two sentences.

    Where careful words are called for no flag may speak about weight, fat or muscle: it says only that a
    doctor is needed, and how soon.
    """
    words = [
        CLIENT_CAREFUL_FLAGS.get(one.level, "")
        if careful and RULE_BY_CODE[one.code].ladder in ABOUT_THE_BODY
        else one.for_client
        for one in sorted(flags, key=lambda one: one.code not in ALWAYS_TOLD)
    ]
    return [word for word in dict.fromkeys(words) if word][:MOST_FLAGS]


def _client_reasons(explanation: Explanation) -> tuple[list[str], str]:
    """The reasons that make a good part of an unusual difference, and the word for the verdict."""
    verdict = explanation.result.verdict or "single"
    if any(
        joined and not one.consistent
        for one, joined in zip(explanation.outside, explanation.included, strict=True)
    ):
        verdict = "strained" if verdict in ("agree", "single") else verdict
    pairs = [one for one in explanation.pairs if set(one.between) <= set(FAMILY_NAMES)]
    if not pairs:
        return [], verdict
    widest = max(pairs, key=lambda one: abs(one.on_scale))
    worth = CLIENT_SHARE * abs(widest.on_scale)
    codes = [one.code for one in explanation.findings if one.code == "slip"]
    if not widest.is_ordinary and verdict != "agree":
        codes += [
            one.code
            for one in explanation.findings
            if one.code in CLIENT_REASONS and one.code != "slip" and (one.points or 0.0) >= worth
        ]
        if codes and widest.is_explained:
            verdict = "explained"
    return [CLIENT_REASONS[code] for code in codes[:2] or [""]], verdict


def _client_outside(explanation: Explanation) -> list[str]:
    """A word on what the client was told elsewhere, at most twice."""
    told = []
    for one, joined in zip(explanation.outside, explanation.included, strict=True):
        if one.fat_percent is None or one.on_scale is None:
            continue
        key = "used" if joined else "fits" if one.consistent else "apart"
        if {"old", "other_weight"} & set(one.remarks):
            key = "other_day"
        if "does_not_add_up" in one.remarks:
            key = "does_not_add_up"
        told.append(CLIENT_OUTSIDE[key].format(percent=round(one.fat_percent)))
    return told[:MOST_OUTSIDE_WORDS]


def _client_cautions(explanation: Explanation) -> list[str]:
    """Cautions in the client's words: low fat, where the likely range reaches it."""
    result = explanation.result
    if result.fat_percent.likely is None:
        return []
    moved = SCALE_OFFSET if result.scale == "dxa" else 0.0
    low = result.fat_percent.likely[0] - moved
    found = []
    for code, sex in (("low_fat", "male"), ("low_fat_women", "female")):
        if CAUTIONS[code] in result.cautions and low < LEAST_FAT[sex]:
            found.append(CLIENT_CAUTIONS[code])
    return found[:1]


def _client_offer(explanation: Explanation) -> list[str]:
    """What could be measured next time, if it tells enough; nothing that many would rather not."""
    is_large = CAUTIONS["large_body"] in explanation.result.cautions
    offers = [
        one
        for one in explanation.next_measurements
        if not (one.is_repeat or one.is_intimate or (is_large and one.needs_calliper))
    ]
    if not offers or offers[0].narrower_by < WORTH_OFFERING:
        return []
    plain = [CLIENT_SITES.get(label(name), label(name)) for name in offers[0].names]
    return [CLIENT_NEXT.format(what=", ".join(dict.fromkeys(plain)))]
