"""Plans: what a session measures, by name; sites in the order in which they are gone round."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Plan:
    """A choice of sites: ``female`` and ``male`` differ where the equations do."""

    key: str
    what: str
    female: tuple[str, ...]
    male: tuple[str, ...]

    def sites(self, sex: str) -> tuple[str, ...]:
        """Return the sites for one sex, weight and height first."""
        return ("weight_kg", "height_cm", *(self.female if sex == "female" else self.male))


_SEVEN = (
    "chest_mm", "midaxillary_mm", "triceps_mm", "subscapular_mm", "abdominal_mm",
    "suprailiac_anterior_mm", "thigh_mm",
)  # fmt: skip
_FOUR = ("biceps_mm", "triceps_mm", "subscapular_mm", "suprailiac_midaxillary_mm")
_TAPE_WOMEN = ("neck_cm", "waist_narrowest_cm", "waist_midpoint_cm", "hip_cm", "forearm_girth_cm")
_TAPE_MEN = ("neck_cm", "waist_midpoint_cm", "abdomen_navel_cm", "hip_cm", "forearm_girth_cm")
_WAIST = ("waist_midpoint_cm",)
# Women's seven folds without chest and side of the chest, which are offered last and may be left out.
PLANS: tuple[Plan, ...] = (
    Plan("seven", "seven folds and the waist", (*_SEVEN, *_WAIST), (*_SEVEN, *_WAIST)),
    Plan("four", "four folds of arm, back and hip, and the waist", (*_FOUR, *_WAIST),
         (*_FOUR, *_WAIST)),
    Plan("three", "three folds and the waist",
         ("triceps_mm", "suprailiac_anterior_mm", "thigh_mm", *_WAIST),
         ("chest_mm", "abdominal_mm", "thigh_mm", *_WAIST)),
    Plan("tape", "tape only, no pinching", _TAPE_WOMEN, _TAPE_MEN),
    Plan("quick", "weight, height and waist", _WAIST, _WAIST),
)  # fmt: skip
PLAN_BY_KEY = {plan.key: plan for plan in PLANS}

# Consent, item by item: code → what it means when the answer is no.
CONSENT: dict[str, str] = {
    "store": "nothing is kept after the session",
    "touch": "no folds; the client holds the tape",
    "uncover": "girths over one thin layer, no folds of covered sites",
    "mark": "no pen; the client holds a finger on the spot",
    "show": "results are not shown today",
}
# Mean that one light layer adds, and its spread [cm] (pilot of 50 people, abstract read; the printed
# limits as two standard deviations): waist 0.5, hip 2.6.
CLOTHING: dict[str, tuple[float, float]] = {"waist": (0.5, 1.04), "hip": (2.6, 1.70)}
# Why a site cannot be taken.
CANNOT: tuple[str, ...] = ("refused", "thick", "painful", "lift", "other")
