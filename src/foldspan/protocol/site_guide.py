"""Site guide: where a site is, which way the fold runs, how the client stands; in our own words.

Facts from the site descriptions of the protocols, see docs/measuring.md; ``status`` tells which of them
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


_ARM = Mark("tip of the shoulder", "point of the elbow", 0.5, (0.16, 0.27))
_THIGH = Mark("groin crease", "upper edge of the kneecap", 0.5, (0.15, 0.33))
_CHEST = Mark("front fold of the armpit", "nipple", 0.5, (0.03, 0.15))
_WAIST = Mark("lowest rib", "top of the hip bone", 0.5, (0.01, 0.14))
_STANDING = "standing relaxed, arms hanging"
_BREATH = "feet together, arms at the sides, after a normal breath out"
_TAPE = "tape horizontal all round, snug, not denting the skin"
_LIMB = "right side; tape at right angles to the limb, snug, not denting the skin"
# not verified in print: how the client shows the crease (surveys), what stands in for a narrowest
# level (ISAK)
_CREASE = (
    "To find the groin crease, the client bends the hip (sits, or lifts the knee slightly),"
    " then returns to the position above."
)
_NO_NARROWEST = (
    "If there is no narrowest level, measure midway between the lowest rib and the iliac"
    " crest and add a note (not verified in print)."
)
_BONE = "calliper at right angles to the bone"

GUIDES: tuple[SiteGuide, ...] = (
    SiteGuide("weight_kg", (
        "stand in the middle of a checked weighing scale on a hard, level floor"
    ), "",
              "shoes and heavy clothes off, pockets empty, standing still"),
    SiteGuide("height_cm", "to the top of the head (vertex), head in the Frankfort plane:"
                           " lower edge of the eye socket level with the ear canal", "",
              "shoes off, heels together, back against the board, deep breath in"),
    SiteGuide("chest_mm", (
        "halfway along the line from the front fold of the armpit (anterior axillary fold)"
        " to the nipple"
    ),
              "diagonal, along that line", _STANDING, "half", _CHEST),
    SiteGuide("midaxillary_mm", "on the line straight down from the middle of the armpit"
                                " (midaxillary line), level with the tip of the breastbone"
                                " (xiphoid process), not the joint above it", "vertical",
              "standing, right arm lifted slightly", "vertical"),
    SiteGuide("triceps_mm", (
        "back of the upper arm, on the midline, halfway between the tip of the shoulder"
        " (acromion) and the point of the elbow (olecranon)"
    ), "vertical",
              "elbow bent to 90 degrees to find the mark, then the arm hangs", "olecranon", _ARM,
              "partly verified"),
    SiteGuide("biceps_mm", (
        "front of the upper arm, over the middle of the biceps, level with the triceps mark"
    ),
              "vertical", "arm hanging, palm forward", "level"),
    SiteGuide("subscapular_mm", "1 to 2 cm below the lower tip of the right shoulder blade"
                                " (inferior angle of the scapula; a hand behind the back"
                                " shows it)", "diagonal, 45 degrees down and outwards",
              "shoulder and arm relaxed", "below_tip"),
    SiteGuide("abdominal_mm", "2 cm to the right of the navel, never inside it", "vertical",
              "abdomen relaxed, after a normal breath out", "vertical_2cm"),
    SiteGuide("suprailiac_anterior_mm", "just above the top of the hip bone (iliac crest),"
                                        " on the line down from the front fold of the armpit"
                                        " (anterior axillary line)", "diagonal, along the crest",
              "feet together, arm out of the way"),
    SiteGuide("suprailiac_midaxillary_mm", "just above the top of the hip bone (iliac"
                                           " crest), on the line down from the middle of the"
                                           " armpit (midaxillary line)", "diagonal, down and forward",
              "arm folded across the chest"),
    SiteGuide("supraspinale_mm", "where the line from the front tip of the hip bone"
                                 " (anterior superior iliac spine) to the front fold of the"
                                 " armpit crosses the level of the iliac crest, about 5 to 7"
                                 " cm above that tip",
              "diagonal, 45 degrees down and inwards", _STANDING,
              status="not verified in print"),
    SiteGuide("thigh_mm", "front of the thigh, on the midline, halfway between the groin"
                          " crease and the upper edge of the kneecap (patella)", "vertical",
              "weight on the other leg, knee slightly bent", "standing", _THIGH,
              "partly verified", _CREASE),
    SiteGuide("calf_mm", "inner side of the calf (medial), at its thickest", "vertical",
              "foot on a box, hip and knee at 90 degrees", status="partly verified"),
    SiteGuide("chin_mm", "under the chin, midway to the Adam's apple", "front to back",
              "head level, mouth closed", status="not verified in print"),
    SiteGuide("neck_cm", "just below the larynx (Adam's apple)", _TAPE,
              "eyes forward, shoulders down"),
    SiteGuide("chest_girth_cm", "level with the middle of the breastbone (sternum)", _TAPE,
              "arms lifted to place the tape, then lowered; after a normal breath out",
              status="not verified in print"),
    SiteGuide("breast_girth_cm", "at the fullest part of the bust", _TAPE,
              "arms down; after a normal breath out", status="not verified in print"),
    SiteGuide("waist_narrowest_cm", "at the narrowest point between ribs and hip bone", _TAPE,
              _BREATH, tip=_NO_NARROWEST),
    SiteGuide("waist_midpoint_cm", "midway between the lowest rib and the top of the hip"
                                   " bone (iliac crest), measured at the side", _TAPE, _BREATH,
              mark=_WAIST),
    SiteGuide("waist_iliac_cm", "just above the top of the right hip bone (iliac crest)", _TAPE,
              _BREATH),
    SiteGuide("abdomen_navel_cm", "level with the middle of the navel", _TAPE, _BREATH),
    SiteGuide("hip_cm", "at the fullest part of the buttocks, seen from the side", _TAPE,
              "feet together, muscles relaxed"),
    SiteGuide("thigh_upper_girth_cm", "just below the buttock crease (gluteal fold)", _LIMB, (
        "weight on both feet"
    ),
              status="not verified in print"),
    SiteGuide("thigh_mid_girth_cm", (
        "midway between the groin crease and the upper edge of the kneecap (patella)"
    ),
              _LIMB, "weight on both feet", mark=_THIGH, tip=_CREASE),
    SiteGuide("knee_girth_cm", "over the middle of the kneecap", _LIMB, (
        "weight on both feet, knee straight"
    ),
              status="not verified in print"),
    SiteGuide("calf_girth_cm", "at the largest part of the calf", _LIMB, "weight on both feet"),
    SiteGuide("ankle_girth_cm", "at the narrowest point above the ankle bones", _LIMB, (
        "weight on both feet"
    ),
              status="not verified in print"),
    SiteGuide("arm_relaxed_girth_cm", "midway between the tip of the shoulder (acromion) and"
                                      " the point of the elbow (olecranon)", _LIMB, "arm hanging",
              mark=_ARM),
    SiteGuide("arm_flexed_girth_cm", "at the largest point of the flexed and tensed upper arm", _LIMB,
              "upper arm forward and horizontal, elbow bent, fist clenched",
              status="not verified in print"),
    SiteGuide("forearm_girth_cm", "at the largest point below the elbow", _LIMB,
              "elbow straight, palm up, relaxed",
              status="not verified in print"),
    SiteGuide("wrist_girth_cm", (
        "at the narrowest point, on the hand side of the wrist bones (styloid processes)"
    ), _LIMB,
              "palm up, relaxed", status="not verified in print"),
    SiteGuide("elbow_breadth_cm", (
        "across the two bony points of the elbow (epicondyles of the humerus)"
    ), _BONE, "elbow bent to 90 degrees",
              status="not verified in print"),
    SiteGuide("knee_breadth_cm", (
        "across the two bony points of the knee (epicondyles of the femur)"
    ), _BONE,
              "sitting, knee bent to 90 degrees", status="not verified in print"),
    SiteGuide("wrist_breadth_cm", (
        "across the two bony points of the wrist (styloid processes)"
    ), _BONE, "palm down",
              status="not verified in print"),
)  # fmt: skip
_BY_NAME = {guide.name: guide for guide in GUIDES}


def _other(name: str, variant: str, status: Status, **changes: str | Mark | None) -> SiteGuide:
    return replace(_BY_NAME[name], variant=variant, status=status, **changes)  # type: ignore[arg-type]


# the same folds at another variant of their site
OTHERS: tuple[SiteGuide, ...] = (
    _other("chest_mm", "third", "not verified in print", mark=replace(_CHEST, share=1.0 / 3.0),
           where=(
               "a third of the way along the line from the front fold of the armpit"
               " (anterior axillary fold) to the nipple"
           )),
    _other("midaxillary_mm", "horizontal", "not verified in print", direction="horizontal",
           where="on the line straight down from the middle of the armpit (midaxillary"
                 " line), level with the joint between the breastbone and its tip"
                 " (xiphisternal junction)"),
    _other("triceps_mm", "radiale", "not verified in print",
           mark=replace(_ARM, last="top outer edge of the forearm bone at the elbow (radiale)"),
           where="back of the upper arm, on the midline, halfway between the tip of the shoulder"
                 " (acromion) and the top outer edge of the forearm bone at the elbow (radiale)"),
    _other("biceps_mm", "1cm_above", "verified",
           where=(
               "front of the upper arm, over the middle of the biceps, 1 cm above the level"
               " of the triceps mark"
           )),
    _other("subscapular_mm", "2cm_along", "verified",
           where=(
               "2 cm from the lower tip of the right shoulder blade, along the natural fold"
               " of the skin"
           )),
    _other("abdominal_mm", "vertical_5cm", "verified", where=(
        "5 cm to the right of the middle of the navel"
    ),
           direction="vertical, wide grip"),
    _other("abdominal_mm", "horizontal_3cm", "not verified in print", direction="horizontal",
           where="3 cm to the right of the navel and 1 cm below it"),
    _other("thigh_mm", "seated", "not verified in print",
           posture=(
               "sitting, knee bent to 90 degrees; the client may support the thigh from below"
           )),
)  # fmt: skip
_BY_VARIANT = {(guide.name, guide.variant): guide for guide in (*GUIDES, *OTHERS)}
# Said once at the start of the first round.
FOLD_TECHNIQUE = (
    "Right side, dry bare skin. Pinch the skinfold between thumb and index finger so that"
    " the jaws go on the mark: 1 cm below the fingers on a vertical fold, 1 cm to the side on"
    " a diagonal or horizontal one (some protocols: 2 cm). Jaws at right angles to the fold,"
    " halfway between its crest and its base. Keep holding the fold, release the trigger"
    " fully, read after about 2 seconds, and open the jaws before you take the calliper away."
)
TAPE_TECHNIQUE = (
    "Tape horizontal all round the trunk, at right angles to a limb; snug, but not denting"
    " the skin. Limbs on the right side. Check from the side or in a mirror."
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
