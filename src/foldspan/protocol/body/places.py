"""Places of all sites on the figure: each follows from the landmarks by the rule of its guide."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from foldspan.protocol.body.curves import Point, View, across, sampled
from foldspan.protocol.body.landmarks import landmark
from foldspan.protocol.body.outline import HEIGHT, SIDE_CREST
from foldspan.protocol.body.place import (
    JUST,
    Place,
    direction,
    fold,
    furthest,
    known,
    share_of_way,
    tape,
    where,
)
from foldspan.protocol.site_guide import GUIDES, OTHERS, SiteGuide, guide_for

# flesh over the bony points of a breadth, so that the bar ends at the bone; our choice
_OVER_BONE = 0.5
_HALF, _LARGEST, _NARROWEST = "halfway", "at its largest", "at its narrowest"
_SHARES = {0.5: _HALF, 1.0 / 3.0: "a third of the way"}


# --- weight and height ---


def _weight(guide: SiteGuide) -> Place:
    return Place(guide.name, guide.variant, "front", Point(0.0, HEIGHT), 0.0)


def _height(guide: SiteGuide) -> Place:
    vertex = landmark("side", "vertex")
    plane = known("side", "ear canal", "lower edge of the eye socket")
    ear, eye = plane.values()
    return Place(
        guide.name, guide.variant, "side", vertex, 0.0,
        named={"top of the head (vertex)": vertex, **plane}, lines=((ear, eye),),
    )  # fmt: skip


# --- folds ---


def _chest(guide: SiteGuide) -> Place:
    at, way = share_of_way(guide, "front")
    assert guide.mark is not None
    names = guide.mark.first, guide.mark.last
    found = fold(guide, "front", at, *names, along=way[0].angle_to(way[1]))
    return replace(found, way=way, apart=_SHARES[guide.mark.share])


def _midaxillary(guide: SiteGuide) -> Place:
    level = (
        "tip of the breastbone" if guide.variant == "vertical"
        else "joint between the breastbone and its tip"
    )  # fmt: skip
    armpit, bone = landmark("side", "middle of the armpit"), landmark("side", level)
    at = Point(armpit.x, bone.y)
    lines = ((armpit, at), (bone, at))
    return fold(guide, "side", at, "middle of the armpit", level, lines=lines)


def _triceps(guide: SiteGuide) -> Place:
    """Halfway down to the landmark, on the midline of the arm behind, which ends at the olecranon."""
    top, foot = landmark("back", "tip of the shoulder"), landmark("back", "point of the elbow")
    half, way = share_of_way(guide, "back")
    assert guide.mark is not None
    along = np.array(foot) - top
    share = float(((np.array(half) - top) * along).sum() / (along * along).sum())
    at = top.towards(foot, share)
    lines = ((half, at),) if guide.variant == "radiale" else ()
    names = guide.mark.first, guide.mark.last
    return replace(
        fold(guide, "back", at, *names, lines=lines, along=top.angle_to(foot)), way=way, apart=_HALF
    )


def _biceps(guide: SiteGuide) -> Place:
    behind = _triceps(guide_for("triceps_mm"))
    up = 1.0 if guide.variant == "1cm_above" else 0.0
    # seen from the front everything of the back is mirrored
    level = Point(-behind.at.x, behind.at.y)
    along = 180.0 - behind.angle
    at = level.moved(-up, along)
    edges = across("front", level, along - 90.0)
    found = fold(guide, "front", at, lines=(edges,), along=along)
    return replace(
        found, named={"level of the triceps mark": edges[0]},
        apart="1 cm above it" if up else "",
    )  # fmt: skip


def _subscapular(guide: SiteGuide) -> Place:
    name = "lower tip of the shoulder blade"
    tip = landmark("back", name)
    # 1 to 2 cm below it, or 2 cm along the fold
    is_below = guide.variant == "below_tip"
    at = tip.moved(1.5, 90.0) if is_below else tip.moved(2.0, direction(guide, "back", 90.0))
    found = fold(guide, "back", at, name, lines=((tip, at),))
    return replace(found, apart="1 to 2 cm below" if is_below else "2 cm along the fold")


# to the client's right of the navel, and below it [cm]
_FROM_NAVEL = {"vertical_2cm": (2.0, 0.0), "vertical_5cm": (5.0, 0.0), "horizontal_3cm": (3.0, 1.0)}


def _abdominal(guide: SiteGuide) -> Place:
    navel = landmark("front", "navel")
    right, down = _FROM_NAVEL[guide.variant]
    beside = Point(navel.x - right, navel.y)
    at = Point(beside.x, navel.y + down)
    lines = ((navel, beside), (beside, at)) if down else ((navel, at),)
    apart = f"{right:g} cm to the right" + (f", {down:g} cm down" if down else "")
    return replace(fold(guide, "front", at, "navel", lines=lines), apart=apart)


def _crest_at(x: float) -> tuple[float, float]:
    """Height of the top of the hip bone at a place along it, and its direction there [degrees]."""
    crest = sampled(SIDE_CREST)[::-1]
    y, beyond = np.interp([x, x + 0.5], crest[:, 0], crest[:, 1])
    return float(y), Point(x, float(y)).angle_to(Point(x + 0.5, float(beyond)))


def _suprailiac(guide: SiteGuide) -> Place:
    part = "front fold" if guide.name == "suprailiac_anterior_mm" else "middle"
    armpit = landmark("side", f"{part} of the armpit")
    level, slope = _crest_at(armpit.x)
    at = Point(armpit.x, level - JUST)
    names = f"{part} of the armpit", "top of the hip bone"
    return fold(guide, "side", at, *names, lines=((armpit, at),), along=slope)


def _supraspinale(guide: SiteGuide) -> Place:
    names = "front fold of the armpit", "front tip of the hip bone", "top of the hip bone"
    armpit, spine, crest = known("front", *names).values()
    at = spine.towards(armpit, (crest.y - spine.y) / (armpit.y - spine.y))
    return fold(guide, "front", at, *names, lines=((spine, armpit), (crest, at)))


def _thigh(guide: SiteGuide) -> Place:
    at, way = share_of_way(guide, "front")
    assert guide.mark is not None
    names = guide.mark.first, guide.mark.last
    return replace(
        fold(guide, "front", at, *names, along=way[0].angle_to(way[1])), way=way, apart=_HALF
    )


def _calf(guide: SiteGuide) -> Place:
    """On the inner side, which from the front is the edge: the fold stands just within it."""
    at, angle = _thickest_calf()
    edges = across("front", at, angle)
    inner = max(edges)
    found = fold(guide, "front", inner.moved(-1.4, angle), lines=(edges,))
    return replace(found, apart=_LARGEST)


def _chin(guide: SiteGuide) -> Place:
    names = "chin", "Adam's apple"
    chin, apple = known("side", *names).values()
    middle = chin.towards(apple, 0.5)
    # the skin runs above the straight line between them
    skin = across("side", Point(middle.x, chin.y - 2.0), 90.0)[1]
    return fold(guide, "side", skin.moved(-0.3, 90.0), *names)


# --- girths ---


def _level(guide: SiteGuide, y: float, *names: str, view: View = "front") -> Place:
    return tape(guide, view, Point(0.0, y), *names)


def _neck(guide: SiteGuide) -> Place:
    return _level(guide, landmark("front", "Adam's apple").y + JUST, "Adam's apple")


def _chest_girth(guide: SiteGuide) -> Place:
    """The tape passes under the arms, above where they part from the trunk in the drawing."""
    names = "top of the breastbone", "tip of the breastbone"
    top, tip = known("front", *names).values()
    at = top.towards(tip, 0.5)
    parts = landmark("front", "armpit").y
    found = _level(guide, max(at.y, parts), *names)
    assert found.ends is not None
    left, right = found.ends
    return replace(
        found, at=at, ends=(left._replace(y=at.y), right._replace(y=at.y)), way=(top, tip),
        apart=_HALF,
    )  # fmt: skip


def _breast_girth(guide: SiteGuide) -> Place:
    return replace(_level(guide, furthest(np.argmax, 44.0, 54.0)), apart="at the fullest part")


def _waist_narrowest(guide: SiteGuide) -> Place:
    names = "lowest rib", "top of the hip bone"
    rib, crest = known("front", *names).values()
    at, _ = where(np.argmin, "front", Point(0.0, rib.y), Point(0.0, crest.y))
    return _level(guide, at.y, *names)


def _waist_midpoint(guide: SiteGuide) -> Place:
    at, way = share_of_way(guide, "side")
    found = _level(guide, at.y, "lowest rib", "top of the hip bone", view="side")
    return replace(found, way=way, apart=_HALF)


def _waist_iliac(guide: SiteGuide) -> Place:
    name = "top of the hip bone"
    return _level(guide, landmark("front", name).y - JUST, name)


def _abdomen_navel(guide: SiteGuide) -> Place:
    return _level(guide, landmark("front", "navel").y, "navel")


def _hip(guide: SiteGuide) -> Place:
    found = _level(guide, furthest(np.argmin, 74.0, 91.0), view="side")
    return replace(found, apart="at the fullest part of the buttocks")


def _thigh_upper(guide: SiteGuide) -> Place:
    name = "buttock crease"
    return tape(guide, "back", landmark("back", name).moved(JUST, 90.0), name)


def _thigh_mid(guide: SiteGuide) -> Place:
    at, way = share_of_way(guide, "front")
    names = "groin crease", "upper edge of the kneecap"
    return replace(tape(guide, "front", at, *names), way=way, apart=_HALF)


def _knee(guide: SiteGuide) -> Place:
    name = "middle of the kneecap"
    return tape(guide, "front", landmark("front", name), name)


def _thickest_calf() -> tuple[Point, float]:
    knee, ankle = known("front", "middle of the kneecap", "middle of the ankle").values()
    return where(np.argmax, "front", knee.towards(ankle, 0.15), knee.towards(ankle, 0.7))


def _calf_girth(guide: SiteGuide) -> Place:
    at, angle = _thickest_calf()
    return replace(tape(guide, "front", at, angle=angle), apart=_LARGEST)


def _ankle(guide: SiteGuide) -> Place:
    knee, ankle = known("front", "middle of the kneecap", "middle of the ankle").values()
    at, angle = where(np.argmin, "front", knee.towards(ankle, 0.7), ankle)
    return replace(tape(guide, "front", at, angle=angle), apart=_NARROWEST)


def _arm_relaxed(guide: SiteGuide) -> Place:
    at, way = share_of_way(guide, "back")
    names = "tip of the shoulder", "point of the elbow"
    return replace(
        tape(guide, "back", at, *names, angle=way[0].angle_to(way[1]) - 90.0), way=way, apart=_HALF
    )


def _arm_flexed(guide: SiteGuide) -> Place:
    names = "middle of the lifted shoulder", "point of the lifted elbow"
    shoulder, elbow = known("side", *names).values()
    clear, bend = shoulder.towards(elbow, 0.3), shoulder.towards(elbow, 0.75)
    at, angle = where(np.argmax, "side", clear, bend)
    return replace(tape(guide, "side", at, angle=angle), apart=_LARGEST)


def _forearm_axis() -> tuple[Point, Point]:
    return landmark("front", "middle of the elbow"), landmark("front", "middle of the wrist")


def _forearm(guide: SiteGuide) -> Place:
    elbow, wrist = _forearm_axis()
    at, angle = where(np.argmax, "front", elbow.towards(wrist, 0.12), elbow.towards(wrist, 0.6))
    return replace(tape(guide, "front", at, angle=angle), apart=_LARGEST)


def _wrist(guide: SiteGuide) -> Place:
    elbow, wrist = _forearm_axis()
    at, angle = where(np.argmin, "front", elbow.towards(wrist, 1.03), elbow.towards(wrist, 1.12))
    return replace(tape(guide, "front", at, angle=angle), apart=_NARROWEST)


# --- breadths ---


def _bar(guide: SiteGuide, at: Point, angle: float) -> Place:
    left, right = across("front", at, angle)
    ends = left.moved(_OVER_BONE, angle), right.moved(-_OVER_BONE, angle)
    middle = left.towards(right, 0.5)
    found = Place(guide.name, guide.variant, "front", middle, angle, ends)
    return replace(found, apart="from bony point to bony point")


def _elbow_breadth(guide: SiteGuide) -> Place:
    elbow = landmark("front", "middle of the elbow")
    return _bar(guide, elbow, landmark("front", "tip of the shoulder").angle_to(elbow) - 90.0)


def _knee_breadth(guide: SiteGuide) -> Place:
    return _bar(guide, landmark("front", "middle of the kneecap"), 0.0)


def _wrist_breadth(guide: SiteGuide) -> Place:
    elbow, wrist = _forearm_axis()
    return _bar(guide, wrist, elbow.angle_to(wrist) - 90.0)


_RULES: dict[str, Callable[[SiteGuide], Place]] = {
    "weight_kg": _weight,
    "height_cm": _height,
    "chest_mm": _chest,
    "midaxillary_mm": _midaxillary,
    "triceps_mm": _triceps,
    "biceps_mm": _biceps,
    "subscapular_mm": _subscapular,
    "abdominal_mm": _abdominal,
    "suprailiac_anterior_mm": _suprailiac,
    "suprailiac_midaxillary_mm": _suprailiac,
    "supraspinale_mm": _supraspinale,
    "thigh_mm": _thigh,
    "calf_mm": _calf,
    "chin_mm": _chin,
    "neck_cm": _neck,
    "chest_girth_cm": _chest_girth,
    "breast_girth_cm": _breast_girth,
    "waist_narrowest_cm": _waist_narrowest,
    "waist_midpoint_cm": _waist_midpoint,
    "waist_iliac_cm": _waist_iliac,
    "abdomen_navel_cm": _abdomen_navel,
    "hip_cm": _hip,
    "thigh_upper_girth_cm": _thigh_upper,
    "thigh_mid_girth_cm": _thigh_mid,
    "knee_girth_cm": _knee,
    "calf_girth_cm": _calf_girth,
    "ankle_girth_cm": _ankle,
    "arm_relaxed_girth_cm": _arm_relaxed,
    "arm_flexed_girth_cm": _arm_flexed,
    "forearm_girth_cm": _forearm,
    "wrist_girth_cm": _wrist,
    "elbow_breadth_cm": _elbow_breadth,
    "knee_breadth_cm": _knee_breadth,
    "wrist_breadth_cm": _wrist_breadth,
}
PLACES: dict[tuple[str, str], Place] = {
    (guide.name, guide.variant): _RULES[guide.name](guide) for guide in (*GUIDES, *OTHERS)
}


def place_of(name: str, variant: str = "") -> Place:
    """Return where a site lies on the figure, at a variant of its site if one is named.

    Raises
    ------
    KeyError
        For a quantity that is not measured, or a variant that it has not.
    """
    return PLACES[name, variant or guide_for(name).variant]
