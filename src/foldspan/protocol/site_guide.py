"""Site guide: where a site is, which way the fold runs, how the client stands; in our own words.

Facts from the site descriptions of the schools (see docs/measuring.md for the sources); "memory" marks
those that were recalled and not read. A guide belongs to one variant of a site, the one that most
equations were built on; ``VARIANT_GUIDES`` tells how another variant differs.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class SiteGuide:
    """How one quantity is measured.

    ``mark`` names the two ends between which the mark is measured and the share of the way from the
    first; "" where no distance is needed.
    """

    name: str
    where: str
    direction: str
    posture: str
    variant: str = ""
    mark_from: str = ""
    mark_to: str = ""
    mark_share: float | None = None
    status: Literal["read", "partly from memory", "from memory"] = "read"


def _fold(
    name: str, where: str, direction: str, posture: str, variant: str, status: str,
    mark: tuple[str, str, float] | None = None,
) -> SiteGuide:  # fmt: skip
    first, last, share = mark or ("", "", None)
    return SiteGuide(name, where, direction, posture, variant, first, last, share, status)  # type: ignore[arg-type]


def _girth(name: str, where: str, posture: str, status: str = "read") -> SiteGuide:
    return SiteGuide(name, where, "tape level all round, snug, no dent", posture, status=status)  # type: ignore[arg-type]


_STANDING = "standing at ease, arms hanging"
_BREATH = "feet together, arms at the sides, at the end of a normal breath out"

GUIDES: tuple[SiteGuide, ...] = (
    SiteGuide("weight_kg", "middle of a checked scale on a hard level floor", "",
              "shoes and heavy clothes off, pockets empty, standing still"),
    SiteGuide("height_cm", "crown of the head; lower edge of the eye level with the ear canal", "",
              "shoes off, heels together, back to the board, a deep breath in"),
    _fold("chest_mm", "on the line from the front fold of the armpit to the nipple", "along that line",
          _STANDING, "half", "partly from memory", ("front fold of the armpit", "nipple", 0.5)),
    _fold("midaxillary_mm", "on the line straight down from the middle of the armpit, level with the lower"
          " tip of the breastbone", "upright", "standing, right arm a little lifted", "vertical", "read"),
    _fold("triceps_mm", "back of the upper arm, on its middle line", "upright",
          "elbow bent square to find the mark, then the arm hangs", "olecranon", "read",
          ("bony tip of the shoulder", "point of the elbow", 0.5)),
    _fold("biceps_mm", "front of the upper arm over the muscle, 1 cm above the level of the triceps mark",
          "upright", "arm hanging, palm forward", "1cm_above", "read"),
    _fold("subscapular_mm", "just below the lower tip of the right shoulder blade (a hand behind the back"
          " shows it)", "slanting, half a right angle down and outwards", "shoulder and arm relaxed",
          "below_tip", "read"),
    _fold("abdominal_mm", "2 cm to the right of the navel, never inside it", "upright",
          "belly relaxed, a normal breath out", "vertical_2cm", "read"),
    _fold("suprailiac_anterior_mm", "just above the crest of the hip bone, on the line down from the front"
          " fold of the armpit", "slanting along the crest", "feet together, arm out of the way", "",
          "read"),
    _fold("suprailiac_midaxillary_mm", "just above the crest of the hip bone, on the line down from the"
          " middle of the armpit", "slanting down and forward", "arm folded out of the way", "", "read"),
    _fold("supraspinale_mm", "where the line from the front tip of the hip bone to the armpit crosses the"
          " level of the crest", "slanting down and inwards", _STANDING, "", "from memory"),
    _fold("thigh_mm", "front of the thigh, on its middle line", "upright",
          "weight on the other leg, knee a little bent", "standing", "read",
          ("crease of the groin", "upper edge of the kneecap", 0.5)),
    _fold("calf_mm", "inner side of the calf where it is thickest", "upright",
          "foot on a box, knee bent square", "", "partly from memory"),
    _fold("chin_mm", "under the chin, midway to the voice box", "front to back",
          "head level, mouth closed", "", "from memory"),
    _girth("neck_cm", "just below the bump of the voice box", "eyes forward, shoulders down"),
    _girth("chest_girth_cm", "level with the middle of the breastbone",
           "arms lifted to place the tape, then down; a normal breath out", "from memory"),
    _girth("breast_girth_cm", "at the largest level of the breast", "arms down; a normal breath out",
           "from memory"),
    _girth("waist_narrowest_cm", "at the smallest level between ribs and hip bone", _BREATH),
    _girth("waist_midpoint_cm", "midway between the lowest rib and the top of the hip bone, at the side",
           _BREATH),
    _girth("waist_iliac_cm", "just above the top of the right hip bone", _BREATH),
    _girth("abdomen_navel_cm", "level with the middle of the navel", _BREATH),
    _girth("hip_cm", "at the largest level of the buttocks, seen from the side",
           "feet together, muscles relaxed"),
    _girth("thigh_upper_girth_cm", "just below the fold under the buttock", "weight even",
           "from memory"),
    _girth("thigh_mid_girth_cm", "midway from the crease of the groin to the top of the kneecap",
           "weight even"),
    _girth("knee_girth_cm", "over the middle of the kneecap", "weight even, knee straight",
           "from memory"),
    _girth("calf_girth_cm", "where the calf is largest", "weight even"),
    _girth("ankle_girth_cm", "smallest, above the ankle bones", "weight even", "from memory"),
    _girth("arm_relaxed_girth_cm", "midway between the tip of the shoulder and the point of the elbow",
           "arm hanging"),
    _girth("arm_flexed_girth_cm", "largest, over the tensed muscle", "arm forward, elbow bent, fist made",
           "from memory"),
    _girth("forearm_girth_cm", "largest, below the elbow", "palm up, relaxed", "from memory"),
    _girth("wrist_girth_cm", "smallest, on the hand side of the bony knobs", "palm up, relaxed",
           "from memory"),
    SiteGuide("elbow_breadth_cm", "over the two knobs of the elbow", "calliper square to the bone",
              "elbow bent square", status="from memory"),
    SiteGuide("knee_breadth_cm", "over the two knobs of the knee", "calliper square to the bone",
              "sitting, knee bent square", status="from memory"),
    SiteGuide("wrist_breadth_cm", "over the two knobs of the wrist", "calliper square to the bone",
              "palm down", status="from memory"),
)  # fmt: skip
GUIDE_BY_NAME = {guide.name: guide for guide in GUIDES}

# quantity → variant → how it differs from the guide above
VARIANT_GUIDES: dict[str, dict[str, str]] = {
    "chest_mm": {"third": "a third of the way from the armpit (women)"},
    "midaxillary_mm": {"horizontal": "the fold runs level"},
    "triceps_mm": {
        "radiale": "midway to the outer top of the forearm bone, not to the elbow point"
    },
    "biceps_mm": {"level": "level with the triceps mark"},
    "subscapular_mm": {"2cm_along": "2 cm from the tip along the lines of the skin"},
    "abdominal_mm": {
        "vertical_5cm": "5 cm to the side of the navel, broad grip",
        "horizontal_3cm": "3 cm to the side and 1 cm below the navel, the fold runs level",
    },
    "thigh_mm": {"seated": "sitting, knee bent square; the client may lift the thigh from below"},
}
# Every fold: said once at the start of a round.
FOLD_TECHNIQUE = (
    "Right side, dry bare skin. Lift the fold 1 cm beside the mark, jaws square to it and on the mark; keep"
    " hold, let the calliper go, read after about 2 seconds, open the jaws before you take it off."
)
TAPE_TECHNIQUE = (
    "Tape level all round, snug but without a dent; look from the side or use a mirror."
)


def mark_at(share: float, distance: float, step: float = 0.1) -> float:
    """Return where the mark stands on the way, rounded to what a tape shows.

    Parameters
    ----------
    share : float
        Share of the way from the first end.
    distance, step : float
        Distance measured and step of the tape, in one unit.
    """
    return round(round(share * distance / step) * step, 6)
