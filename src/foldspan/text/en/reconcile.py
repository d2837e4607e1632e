"""Wording: every sentence a person reads that comes from a code. One place to translate or tone down."""

from __future__ import annotations

from typing import Protocol

from foldspan.explanation.correction_used import LocalUsed
from foldspan.explanation.decomposition import ORDINARY
from foldspan.explanation.findings import Finding
from foldspan.quantities import BY_NAME
from foldspan.standards.fat_percent import LEAST_FAT

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


def caution_codes(
    sex: str, age: float, bmi: float | None, low: float | None, *, adult_range: bool = True
) -> list[str]:
    """Return the codes of ``CAUTIONS`` that apply.

    ``low`` is the lower end of the 95 % range before any widening for misfit, on the density scale
    [% fat], ``bmi`` in kg/m²; either may be None.
    """
    if not adult_range:  # adult limits say nothing about a child or a pregnancy
        return ["screening", "eating"]
    codes = ["screening", *([] if low is None else ["shared_error"]), "eating"]
    if low is not None and low < LEAST_FAT[sex]:
        codes.insert(0, "low_fat_women" if sex == "female" else "low_fat")
    if bmi is not None and bmi >= 35.0:
        codes.insert(0, "large_body")
    if age >= 65.0:
        codes.append("older")
    if 18.0 <= age < 20.0:
        codes.append("young_adult")
    return codes


FINDING_SENTENCES = {
    "families_apart": (
        "{First} {read} {points} points above {second}; measurement error alone explains up to"
        " {chance:.1f} in 9 cases of 10. All in all, {size}."
    ),
    "slip": "Measure again first: {sites}. {kind}, the visit would fit far better.",
    "age_term": "{share}: their equations reckon differently with age.",
    "usual_gap": "{share}: these equations stand so far apart in usual bodies of this size.",
    "more_muscle": (
        "{share}: lean limbs are larger than weight and height predict, and weight for height cannot"
        " tell muscle from fat."
    ),
    "less_muscle": (
        "{share}: lean limbs are smaller than weight and height predict, and weight for height cannot"
        " tell muscle from fat."
    ),
    "belly_fat": (
        "{share}: the waist is large for the folds, and folds do not see fat inside the belly."
    ),
    "fat_under_skin": "{share}: the waist is small for the folds; fat lies under the skin.",
    "trunk_fat": "{share}: folds of the trunk are thick for those of the limbs.",
    "limb_fat": "{share}: folds of the limbs are thick for those of the trunk.",
    "conversion": "{share}: density was turned to fat as for other people ({first} was made for these).",
    "bmi_reads_high": (
        "Weight for height reads {points} points above the other methods: it cannot tell muscle"
        " from fat, as in a strong build. The girth of a forearm, or of an arm with its triceps fold,"
        " would tell."
    ),
    "bmi_reads_low": (
        "Weight for height reads {points} points below the other methods: it cannot tell muscle"
        " from fat, as in a light build. The girth of a forearm, or of an arm with its triceps fold,"
        " would tell."
    ),
    "background": (
        "Background as stated: in the US survey these methods read {points} points too {second} in"
        " adults who describe themselves so; that is taken off. Within that group people differ far"
        " more than that. Left blank, the range is the one for everybody."
    ),
    "scale_moved": (
        "Some equations were built against {other}, which usually reads about 3 points {lower}."
        " They were moved {way} to match, which takes the answer {points} points {way}."
    ),
    "local_correction": (
        "Your site's own correction, learnt on {first} people, took the answer {points} points"
        " {second}."
    ),
    "waist_stood_in": (
        "The waist that some equations need was not taken; {sites} stood in (± {points})."
    ),
    "outside_limits": (
        "By {limits} some equations are beyond their sample (± {points} in the answer)."
    ),
    "third_reading_missing": (
        "Two readings differ by more than they should: {sites}. Take a third."
    ),
    "unsteady_reading": ("Three readings stay far apart: {sites}. Mark the site again and repeat."),
    "scale_end": (
        "Read at the end of the scale: {sites}. The fold may be thicker; rely on the tape."
    ),
    "over_clothing": (
        "Taken over one thin layer: {sites}. The published mean was taken off, its spread widens the"
        " range."
    ),
    "left_side": "Taken on the left, while the equations were built on the right: {sites}.",
    "site_variant": (
        "A fold was taken at another variant of its site than some equations were built on."
    ),
    "rarely_together": (
        "Rarely seen together in one body: {pair}. Check the site and the unit of both; they are used as"
        " given."
    ),
    "unusual_value": "Used as given although very unusual: {everything}.",
    "single_family": ("Only {first} could be used; another family would tell whether it is right."),
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
LIMIT_WORDS = {"age": "age", "size": "body size"}
SLIP_KINDS = {
    "": "With one of them put right",
    "unit": "In another unit",
    "decimal": "With the decimal point moved",
    "digits": "With two digits swapped",
    "tens": "With another tens digit",
    "misread": "Read a mark further",
    "exchanged": "With the two exchanged",
}


class Answer(Protocol):
    """What every answer names of the settings it was made with."""

    @property
    def scale(self) -> str:
        """The reference method."""

    @property
    def local(self) -> LocalUsed | None:
        """The site's own correction."""

    @property
    def as_printed(self) -> bool:
        """Whether equations were taken as printed."""


def local_sentence(local: LocalUsed | None) -> str:
    """Return which correction of the site's own an answer holds, "" where none was asked for."""
    if local is None:
        return ""
    if not local.is_applied:
        return LOCAL_LEFT
    made = f"; made on {local.made}" if local.made else ""
    return LOCAL_USED.format(people=local.people, scale=SCALE_NAMES[local.scale], made=made)


def printed_sentence(answer: Answer) -> str:
    """Return that equations were taken as printed, "" where they were not."""
    return PRINTED_SENTENCES[answer.scale] if answer.as_printed else ""


def made_with(answer: Answer) -> str:
    """Return what an answer was made with that is not usual, in sentences; "" for the usual."""
    return " ".join(filter(None, (local_sentence(answer.local), printed_sentence(answer))))


def share_of(finding: Finding) -> str:
    """How much of the difference a reason makes, in words."""
    if finding.points is None:
        return ""
    if finding.points >= 0.0:
        return f"{finding.points:.1f} points of the difference"
    return f"{-finding.points:.1f} points the other way"


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


def finding_sentence(finding: Finding) -> str:
    """Return a finding as one sentence for the trainer."""
    about = [FAMILY_NAMES.get(name, name) for name in finding.about]
    first, second = (*about, "", "")[:2]
    to_dxa = finding.about[:1] == ("dxa",)
    labels = [BY_NAME[name].label for name in finding.about if name in BY_NAME]
    limits = [LIMIT_WORDS[name] for name in finding.about if name in LIMIT_WORDS]
    return FINDING_SENTENCES[finding.code].format(
        points="" if finding.points is None else f"{abs(finding.points):.1f}",
        share=share_of(finding).capitalize(),
        kind=SLIP_KINDS.get(finding.about[0], "") if finding.about else "",
        first=first,
        First=first.capitalize(),
        read=verb(first),
        second=second,
        chance=ORDINARY * finding.detail.get("by_chance", 0.0),
        size=SIZE_WORDS.get(finding.verdict, ""),
        other="underwater weighing" if to_dxa else "DXA",
        lower="lower" if to_dxa else "higher",
        way="up" if to_dxa else "down",
        sites=", ".join(labels),
        limits=" and ".join(limits) or "body size",
        pair=" and ".join(labels),
        everything=", ".join(finding.about),
    )
