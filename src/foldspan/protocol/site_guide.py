"""Site guide: where a site is, which way the fold runs, how the client stands; in our own words.

Facts from the site descriptions of the schools, see docs/measuring.md; ``status`` tells which of them
were recalled and not read. A guide belongs to the variant that most equations were built on; ``OTHERS``
tells how another variant differs.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

Status = Literal["verified", "partly verified", "not verified in print"]


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark on the way between two landmarks, a share of the distance from the first.

    ``usual`` are shares of the height between which the whole distance lies in nearly all adults; asked
    back beyond. Our proposal, no source: wide of what the proportions of adult bodies allow.
    """

    first: str
    last: str
    share: float
    usual: tuple[float, float]


@dataclass(frozen=True, slots=True)
class SiteGuide:
    """How one quantity is measured; ``mark`` where a distance has to be measured first.

    ``tip`` is a sentence on how to find the place, or what to do where it cannot be found.
    """

    name: str
    where: str
    direction: str
    posture: str
    variant: str = ""
    mark: Mark | None = None
    status: Status = "verified"
    tip: str = ""


_ARM = Mark("bony tip of the shoulder", "point of the elbow", 0.5, (0.16, 0.27))
_THIGH = Mark("crease of the groin", "upper edge of the kneecap", 0.5, (0.15, 0.33))
_CHEST = Mark("front fold of the armpit", "nipple", 0.5, (0.03, 0.15))
_WAIST = Mark("lowest rib", "top of the hip bone", 0.5, (0.01, 0.14))
_STANDING = "standing at ease, arms hanging"
_BREATH = "feet together, arms at the sides, at the end of a normal breath out"
_TAPE = "tape level all round, snug, no dent"
_LIMB = "right side; tape square to the limb, snug, no dent"
# not verified in print: how the client shows the crease (surveys), what stands in for a narrowest
# level (ISAK)
_CREASE = (
    "To show the crease of the groin, the client bends the hip (sits, or lifts the knee a little), then"
    " takes the position above."
)
_NO_NARROWEST = (
    "If there is no narrowest level, take it midway between the lowest rib and the top of the hip bone,"
    " and add a note (not verified in print)."
)
_BONE = "calliper square to the bone"

GUIDES: tuple[SiteGuide, ...] = (
    SiteGuide("weight_kg", "middle of a checked scale on a hard level floor", "",
              "shoes and heavy clothes off, pockets empty, standing still"),
    SiteGuide("height_cm", "crown of the head; lower edge of the eye socket level with the ear canal"
              " (Frankfort plane)", "",
              "shoes off, heels together, back to the board, a deep breath in"),
    SiteGuide("chest_mm", "on the line from the front fold of the armpit to the nipple, halfway",
              "diagonal, along that line", _STANDING, "half", _CHEST),
    SiteGuide("midaxillary_mm", "on the line straight down from the middle of the armpit, level with"
              " the lower tip of the breastbone (xiphoid process), not the joint above it", "vertical",
              "standing, right arm a little lifted", "vertical"),
    SiteGuide("triceps_mm", "back of the upper arm, on its middle line, halfway down", "vertical",
              "elbow bent to 90 degrees to find the mark, then the arm hangs", "olecranon", _ARM,
              "partly verified"),
    SiteGuide("biceps_mm", "front of the upper arm over the muscle, level with the triceps mark",
              "vertical", "arm hanging, palm forward", "level"),
    SiteGuide("subscapular_mm", "1 to 2 cm below the lower tip of the right shoulder blade (a hand"
              " behind the back shows it)", "diagonal, 45 degrees down and outwards",
              "shoulder and arm relaxed", "below_tip"),
    SiteGuide("abdominal_mm", "2 cm to the right of the navel, never inside it", "vertical",
              "belly relaxed, a normal breath out", "vertical_2cm"),
    SiteGuide("suprailiac_anterior_mm", "just above the top of the hip bone (iliac crest), on the line"
              " down from the front fold of the armpit", "diagonal, along the crest",
              "feet together, arm out of the way"),
    SiteGuide("suprailiac_midaxillary_mm", "just above the top of the hip bone (iliac crest), on the"
              " line down from the middle of the armpit", "diagonal, down and forward",
              "arm folded out of the way"),
    SiteGuide("supraspinale_mm", "where the line from the front tip of the hip bone to the front fold of"
              " the armpit crosses the level of the top of the hip bone, some 5 to 7 cm above that tip",
              "diagonal, 45 degrees down and inwards", _STANDING,
              status="not verified in print"),
    SiteGuide("thigh_mm", "front of the thigh, on its middle line, halfway from the crease of the groin"
              " to the kneecap", "vertical",
              "weight on the other leg, knee a little bent", "standing", _THIGH,
              "partly verified", _CREASE),
    SiteGuide("calf_mm", "inner side of the calf where it is thickest", "vertical",
              "foot on a box, hip and knee at 90 degrees", status="partly verified"),
    SiteGuide("chin_mm", "under the chin, midway to the voice box", "front to back",
              "head level, mouth closed", status="not verified in print"),
    SiteGuide("neck_cm", "just below the bump of the voice box", _TAPE,
              "eyes forward, shoulders down"),
    SiteGuide("chest_girth_cm", "level with the middle of the breastbone", _TAPE,
              "arms lifted to place the tape, then down; a normal breath out",
              status="not verified in print"),
    SiteGuide("breast_girth_cm", "at the largest level of the breast", _TAPE,
              "arms down; a normal breath out", status="not verified in print"),
    SiteGuide("waist_narrowest_cm", "at the smallest level between ribs and hip bone", _TAPE,
              _BREATH, tip=_NO_NARROWEST),
    SiteGuide("waist_midpoint_cm", "at the side, midway between the lowest rib and the top of the hip"
              " bone", _TAPE, _BREATH, mark=_WAIST),
    SiteGuide("waist_iliac_cm", "just above the top of the right hip bone", _TAPE, _BREATH),
    SiteGuide("abdomen_navel_cm", "level with the middle of the navel", _TAPE, _BREATH),
    SiteGuide("hip_cm", "at the largest level of the buttocks, seen from the side", _TAPE,
              "feet together, muscles relaxed"),
    SiteGuide("thigh_upper_girth_cm", "just below the fold under the buttock", _LIMB, "weight even",
              status="not verified in print"),
    SiteGuide("thigh_mid_girth_cm", "midway from the crease of the groin to the top of the kneecap",
              _LIMB, "weight even", mark=_THIGH, tip=_CREASE),
    SiteGuide("knee_girth_cm", "over the middle of the kneecap", _LIMB, "weight even, knee straight",
              status="not verified in print"),
    SiteGuide("calf_girth_cm", "where the calf is largest", _LIMB, "weight even"),
    SiteGuide("ankle_girth_cm", "smallest, above the ankle bones", _LIMB, "weight even",
              status="not verified in print"),
    SiteGuide("arm_relaxed_girth_cm", "midway between the tip of the shoulder and the point of the"
              " elbow", _LIMB, "arm hanging", mark=_ARM),
    SiteGuide("arm_flexed_girth_cm", "largest, over the tensed muscle", _LIMB,
              "arm forward and level, elbow bent, fist clenched", status="not verified in print"),
    SiteGuide("forearm_girth_cm", "largest, below the elbow", _LIMB,
              "elbow straight, palm up, relaxed",
              status="not verified in print"),
    SiteGuide("wrist_girth_cm", "smallest, on the hand side of the bony knobs", _LIMB,
              "palm up, relaxed", status="not verified in print"),
    SiteGuide("elbow_breadth_cm", "over the two knobs of the elbow", _BONE, "elbow bent to 90 degrees",
              status="not verified in print"),
    SiteGuide("knee_breadth_cm", "over the two knobs of the knee", _BONE,
              "sitting, knee bent to 90 degrees", status="not verified in print"),
    SiteGuide("wrist_breadth_cm", "over the two knobs of the wrist", _BONE, "palm down",
              status="not verified in print"),
)  # fmt: skip
_BY_NAME = {guide.name: guide for guide in GUIDES}


def _other(name: str, variant: str, status: Status, **changes: str | Mark | None) -> SiteGuide:
    return replace(_BY_NAME[name], variant=variant, status=status, **changes)  # type: ignore[arg-type]


# the same folds at another variant of their site
OTHERS: tuple[SiteGuide, ...] = (
    _other("chest_mm", "third", "not verified in print", mark=replace(_CHEST, share=1.0 / 3.0),
           where="on the line from the front fold of the armpit to the nipple, a third of the way"),
    _other("midaxillary_mm", "horizontal", "not verified in print", direction="horizontal",
           where="on the line straight down from the middle of the armpit, level with the joint between"
           " breastbone and its lower tip (xiphisternal junction)"),
    _other("triceps_mm", "radiale", "not verified in print",
           mark=replace(_ARM, last="outer top of the forearm bone (radius), at the elbow")),
    _other("biceps_mm", "1cm_above", "verified",
           where="front of the upper arm over the muscle, 1 cm above the level of the triceps mark"),
    _other("subscapular_mm", "2cm_along", "verified",
           where="2 cm from the lower tip of the right shoulder blade along the lines of the skin"),
    _other("abdominal_mm", "vertical_5cm", "verified", where="5 cm to the right of the navel's middle",
           direction="vertical, broad grip"),
    _other("abdominal_mm", "horizontal_3cm", "not verified in print", direction="horizontal",
           where="3 cm to the right of the navel and 1 cm below it"),
    _other("thigh_mm", "seated", "not verified in print",
           posture="sitting, knee bent to 90 degrees; the client may lift the thigh from below"),
)  # fmt: skip
_BY_VARIANT = {(guide.name, guide.variant): guide for guide in (*GUIDES, *OTHERS)}
# Said once at the start of the first round.
FOLD_TECHNIQUE = (
    "Right side, dry bare skin. Pinch the fold between thumb and index finger so that the jaws land on"
    " the mark: 1 cm below the fingers on a vertical fold, 1 cm beside them on a slanting or level one"
    " (some schools: 2 cm). Jaws square to the fold, halfway between its crest and its base. Keep"
    " holding the fold, release the trigger fully, read after about 2 seconds, and open the jaws before"
    " you take the calliper away."
)
TAPE_TECHNIQUE = (
    "Tape level all round the trunk, square to a limb; snug, but it must not dent the skin. Limbs on the"
    " right. Look from the side or use a mirror."
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
