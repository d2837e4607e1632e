"""Site guide: where a site is, which way the fold runs, how the client stands; in our own words.

Facts from the site descriptions of the schools, see docs/measuring.md; ``status`` tells which of them
were recalled and not read. A guide belongs to the variant that most equations were built on; ``OTHERS``
tells how another variant differs.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

Status = Literal["verified", "partly from memory", "from memory"]


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark on the way between two landmarks, a share of the distance from the first."""

    first: str
    last: str
    share: float


@dataclass(frozen=True, slots=True)
class SiteGuide:
    """How one quantity is measured; ``mark`` where a distance has to be measured first."""

    name: str
    where: str
    direction: str
    posture: str
    variant: str = ""
    mark: Mark | None = None
    status: Status = "verified"


_ARM = Mark("bony tip of the shoulder", "point of the elbow", 0.5)
_THIGH = Mark("crease of the groin", "upper edge of the kneecap", 0.5)
_CHEST = Mark("front fold of the armpit", "nipple", 0.5)
_WAIST = Mark("lowest rib", "top of the hip bone", 0.5)
_STANDING = "standing at ease, arms hanging"
_BREATH = "feet together, arms at the sides, at the end of a normal breath out"
_TAPE = "tape level all round, snug, no dent"
_BONE = "calliper square to the bone"

GUIDES: tuple[SiteGuide, ...] = (
    SiteGuide("weight_kg", "middle of a checked scale on a hard level floor", "",
              "shoes and heavy clothes off, pockets empty, standing still"),
    SiteGuide("height_cm", "crown of the head; lower edge of the eye level with the ear canal", "",
              "shoes off, heels together, back to the board, a deep breath in"),
    SiteGuide("chest_mm", "on the line from the front fold of the armpit to the nipple, halfway",
              "diagonal, along that line", _STANDING, "half", _CHEST),
    SiteGuide("midaxillary_mm", "on the line straight down from the middle of the armpit, level with"
              " the lower tip of the breastbone", "vertical", "standing, right arm a little lifted",
              "vertical"),
    SiteGuide("triceps_mm", "back of the upper arm, on its middle line, halfway down", "vertical",
              "elbow bent square to find the mark, then the arm hangs", "olecranon", _ARM,
              "partly from memory"),
    SiteGuide("biceps_mm", "front of the upper arm over the muscle, level with the triceps mark",
              "vertical", "arm hanging, palm forward", "level"),
    SiteGuide("subscapular_mm", "1 to 2 cm below the lower tip of the right shoulder blade (a hand"
              " behind the back shows it)", "diagonal, half a right angle down and outwards",
              "shoulder and arm relaxed", "below_tip"),
    SiteGuide("abdominal_mm", "2 cm to the right of the navel, never inside it", "vertical",
              "belly relaxed, a normal breath out", "vertical_2cm"),
    SiteGuide("suprailiac_anterior_mm", "just above the crest of the hip bone, on the line down from"
              " the front fold of the armpit", "diagonal, along the crest",
              "feet together, arm out of the way"),
    SiteGuide("suprailiac_midaxillary_mm", "just above the crest of the hip bone, on the line down"
              " from the middle of the armpit", "diagonal, down and forward",
              "arm folded out of the way"),
    SiteGuide("supraspinale_mm", "where the line from the front tip of the hip bone to the armpit"
              " crosses the level of the crest", "diagonal, down and inwards", _STANDING,
              status="from memory"),
    SiteGuide("thigh_mm", "front of the thigh, on its middle line, halfway down", "vertical",
              "weight on the other leg, knee a little bent", "standing", _THIGH,
              "partly from memory"),
    SiteGuide("calf_mm", "inner side of the calf where it is thickest", "vertical",
              "foot on a box, knee bent square", status="partly from memory"),
    SiteGuide("chin_mm", "under the chin, midway to the voice box", "front to back",
              "head level, mouth closed", status="from memory"),
    SiteGuide("neck_cm", "just below the bump of the voice box", _TAPE,
              "eyes forward, shoulders down"),
    SiteGuide("chest_girth_cm", "level with the middle of the breastbone", _TAPE,
              "arms lifted to place the tape, then down; a normal breath out",
              status="from memory"),
    SiteGuide("breast_girth_cm", "at the largest level of the breast", _TAPE,
              "arms down; a normal breath out", status="from memory"),
    SiteGuide("waist_narrowest_cm", "at the smallest level between ribs and hip bone", _TAPE,
              _BREATH),
    SiteGuide("waist_midpoint_cm", "at the side, midway between the lowest rib and the top of the hip"
              " bone", _TAPE, _BREATH, mark=_WAIST),
    SiteGuide("waist_iliac_cm", "just above the top of the right hip bone", _TAPE, _BREATH),
    SiteGuide("abdomen_navel_cm", "level with the middle of the navel", _TAPE, _BREATH),
    SiteGuide("hip_cm", "at the largest level of the buttocks, seen from the side", _TAPE,
              "feet together, muscles relaxed"),
    SiteGuide("thigh_upper_girth_cm", "just below the fold under the buttock", _TAPE, "weight even",
              status="from memory"),
    SiteGuide("thigh_mid_girth_cm", "midway from the crease of the groin to the top of the kneecap",
              _TAPE, "weight even", mark=_THIGH),
    SiteGuide("knee_girth_cm", "over the middle of the kneecap", _TAPE, "weight even, knee straight",
              status="from memory"),
    SiteGuide("calf_girth_cm", "where the calf is largest", _TAPE, "weight even"),
    SiteGuide("ankle_girth_cm", "smallest, above the ankle bones", _TAPE, "weight even",
              status="from memory"),
    SiteGuide("arm_relaxed_girth_cm", "midway between the tip of the shoulder and the point of the"
              " elbow", _TAPE, "arm hanging", mark=_ARM),
    SiteGuide("arm_flexed_girth_cm", "largest, over the tensed muscle", _TAPE,
              "arm forward, elbow bent, fist made", status="from memory"),
    SiteGuide("forearm_girth_cm", "largest, below the elbow", _TAPE, "palm up, relaxed",
              status="from memory"),
    SiteGuide("wrist_girth_cm", "smallest, on the hand side of the bony knobs", _TAPE,
              "palm up, relaxed", status="from memory"),
    SiteGuide("elbow_breadth_cm", "over the two knobs of the elbow", _BONE, "elbow bent square",
              status="from memory"),
    SiteGuide("knee_breadth_cm", "over the two knobs of the knee", _BONE,
              "sitting, knee bent square", status="from memory"),
    SiteGuide("wrist_breadth_cm", "over the two knobs of the wrist", _BONE, "palm down",
              status="from memory"),
)  # fmt: skip
_BY_NAME = {guide.name: guide for guide in GUIDES}


def _other(name: str, variant: str, status: Status, **changes: str | Mark | None) -> SiteGuide:
    return replace(_BY_NAME[name], variant=variant, status=status, **changes)  # type: ignore[arg-type]


# the same folds at another variant of their site
OTHERS: tuple[SiteGuide, ...] = (
    _other("chest_mm", "third", "from memory", mark=replace(_CHEST, share=1.0 / 3.0),
           where="on the line from the front fold of the armpit to the nipple, a third of the way"),
    _other("midaxillary_mm", "horizontal", "from memory", direction="horizontal"),
    _other("triceps_mm", "radiale", "from memory",
           mark=replace(_ARM, last="outer top of the forearm bone (radius), at the elbow")),
    _other("biceps_mm", "1cm_above", "verified",
           where="front of the upper arm over the muscle, 1 cm above the level of the triceps mark"),
    _other("subscapular_mm", "2cm_along", "verified",
           where="2 cm from the lower tip of the right shoulder blade along the lines of the skin"),
    _other("abdominal_mm", "vertical_5cm", "verified", where="5 cm to the right of the navel's middle",
           direction="vertical, broad grip"),
    _other("abdominal_mm", "horizontal_3cm", "from memory", direction="horizontal",
           where="3 cm to the right of the navel and 1 cm below it"),
    _other("thigh_mm", "seated", "from memory",
           posture="sitting, knee bent square; the client may lift the thigh from below"),
)  # fmt: skip
_BY_VARIANT = {(guide.name, guide.variant): guide for guide in (*GUIDES, *OTHERS)}
# Said once at the start of the first round.
FOLD_TECHNIQUE = (
    "Right side, dry bare skin. Lift the fold 1 cm beside the mark, jaws square to it and on the"
    " mark; keep hold, let the calliper go, read after about 2 seconds, open the jaws before you"
    " take it off."
)
TAPE_TECHNIQUE = (
    "Tape level all round, snug but without a dent; look from the side or use a mirror."
)


def guide_for(name: str, variant: str = "") -> SiteGuide:
    """Return the guide to a quantity, at a variant of its site if one is named.

    Raises
    ------
    KeyError
        For a quantity that is not measured, or a variant that it has not.
    """
    return _BY_VARIANT[name, variant] if variant else _BY_NAME[name]


def mark_at(share: float, distance: float, step: float) -> float:
    """Return where the mark stands on the way, rounded to what a tape shows.

    Parameters
    ----------
    share : float
        Share of the way from the first landmark.
    distance, step : float
        Distance measured and step of the tape, in one unit.
    """
    return round(round(share * distance / step) * step, 6)
