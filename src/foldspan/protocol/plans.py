"""Plans: what a session measures, by name; sites in the order in which they are gone round."""

from __future__ import annotations

from dataclasses import dataclass

from foldspan.protocol.effort import minutes


@dataclass(frozen=True, slots=True)
class Plan:
    """A choice of sites: ``female`` and ``male`` differ where the equations do."""

    key: str
    what: str
    female: tuple[str, ...]
    male: tuple[str, ...]

    def sites(self, sex: str) -> tuple[str, ...]:
        """Return the sites for one sex, weight and height first."""
        return (*ALWAYS, *(self.female if sex == "female" else self.male))


# Part of every plan.
ALWAYS = ("weight_kg", "height_cm")
_SEVEN = (
    "chest_mm", "midaxillary_mm", "triceps_mm", "subscapular_mm", "abdominal_mm",
    "suprailiac_anterior_mm", "thigh_mm",
)  # fmt: skip
_FOUR = ("biceps_mm", "triceps_mm", "subscapular_mm", "suprailiac_midaxillary_mm")
_TAPE_WOMEN = ("neck_cm", "waist_narrowest_cm", "waist_midpoint_cm", "hip_cm", "forearm_girth_cm")
_TAPE_MEN = ("neck_cm", "waist_midpoint_cm", "abdomen_navel_cm", "hip_cm", "forearm_girth_cm")
_WAIST = ("waist_midpoint_cm",)
# lean arm and calf: the girth less the fold around it
_BUILD = (*_FOUR, "calf_mm", *_WAIST, "arm_relaxed_girth_cm", "calf_girth_cm")
PLANS: tuple[Plan, ...] = (
    Plan("seven", "seven skinfolds and the waist", (*_SEVEN, *_WAIST), (*_SEVEN, *_WAIST)),
    Plan("four", "four skinfolds (arm, back, hip) and the waist", (*_FOUR, *_WAIST),
         (*_FOUR, *_WAIST)),
    Plan("three", "three skinfolds and the waist",
         ("triceps_mm", "suprailiac_anterior_mm", "thigh_mm", *_WAIST),
         ("chest_mm", "abdominal_mm", "thigh_mm", *_WAIST)),
    Plan("tape", "tape only, no skinfolds", _TAPE_WOMEN, _TAPE_MEN),
    Plan("quick", "weight, height and waist", _WAIST, _WAIST),
    Plan("build", "five skinfolds, waist, arm and calf girths: shows a muscular build",
         _BUILD, _BUILD),
    Plan("adaptive", "weight, height and waist, then one site at a time, chosen to narrow the range most"
         " for its time", _WAIST, _WAIST),
)  # fmt: skip
PLAN_BY_KEY = {plan.key: plan for plan in PLANS}

# The plan that chooses as it goes, and what it may choose: what a fold calliper or a tape can take.
ADAPTIVE = "adaptive"
CHOSEN_KINDS = ("skinfold", "girth")

# Consent, item by item; a no changes nothing but the plan.
CONSENT: tuple[str, ...] = (
    "touch", "pinch", "uncover", "mark", "chest", "writer", "witness", "show", "share",
)  # fmt: skip
# Why a site cannot be taken.
CANNOT: tuple[str, ...] = ("refused", "thick", "painful", "lift", "skin", "skipped", "other")
# Folds and girths for which clothes have to be opened or taken off; other girths lie bare with a sleeve
# or a trouser leg rolled up (common practice, no source).
COVERED: tuple[str, ...] = (
    "chest_mm", "midaxillary_mm", "subscapular_mm", "abdominal_mm", "suprailiac_anterior_mm",
    "suprailiac_midaxillary_mm", "supraspinale_mm", "thigh_mm", "chest_girth_cm", "breast_girth_cm",
    "thigh_upper_girth_cm", "thigh_mid_girth_cm",
)  # fmt: skip
# Minutes of a session besides the measuring: talk, consent, questions (common practice, no source).
MINUTES_BESIDES = 5.0


def minutes_of(sites: tuple[str, ...]) -> float:
    """Return the minutes of a session that measures these sites twice."""
    return MINUTES_BESIDES + sum(minutes(name) for name in sites)
