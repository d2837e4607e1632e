"""The schematic person: every site lies where its guide says, and its pictures can be read by all."""

from __future__ import annotations

import re
from collections import Counter
from itertools import combinations, pairwise
from xml.etree import ElementTree

import numpy as np
import pytest
from matplotlib.path import Path as Polygon

from figures import draw_sites
from foldspan.figures.body import body_svg
from foldspan.figures.body_labels import spread
from foldspan.figures.body_site import site_svg
from foldspan.protocol.body import outline as drawn
from foldspan.protocol.body.curves import VIEWS, Point, View, across, outline, sampled
from foldspan.protocol.body.landmarks import LANDMARKS, landmark
from foldspan.protocol.body.place import Place
from foldspan.protocol.body.places import PLACES, place_of
from foldspan.protocol.plans import PLANS
from foldspan.protocol.site_guide import GUIDES, OTHERS, guide_for

HEIGHT = 170.0
SVG = "{http://www.w3.org/2000/svg}"
FOLDS = [place for place in PLACES.values() if place.kind == "skinfold"]
# typed from the guide: what is seen from where; the arms hang at an angle of some 11 degrees
VIEW_OF = {
    "front": "weight chest biceps abdominal supraspinale thigh calf neck chest_girth breast_girth "
    "waist_narrowest waist_iliac abdomen_navel thigh_mid_girth knee_girth calf_girth ankle_girth "
    "forearm_girth wrist_girth elbow_breadth knee_breadth wrist_breadth",
    "back": "triceps subscapular thigh_upper_girth arm_relaxed_girth",
    "side": "height midaxillary suprailiac_anterior suprailiac_midaxillary chin waist_midpoint hip "
    "arm_flexed_girth",
}
ON_THE_MIDLINE = {
    "weight_kg", "neck_cm", "chest_girth_cm", "breast_girth_cm", "waist_narrowest_cm",
    "waist_iliac_cm", "abdomen_navel_cm",
}  # fmt: skip
# from the head down
ORDER: dict[View, tuple[str, ...]] = {
    "front": (
        "neck_cm", "chest_girth_cm", "chest_mm", "breast_girth_cm", "biceps_mm",
        "waist_narrowest_cm", "waist_iliac_cm", "supraspinale_mm", "abdominal_mm",
        "forearm_girth_cm", "wrist_girth_cm", "thigh_mid_girth_cm", "knee_girth_cm",
        "calf_girth_cm", "ankle_girth_cm", "weight_kg",
    ),
    "back": ("triceps_mm", "subscapular_mm", "thigh_upper_girth_cm"),
    "side": (
        "height_cm", "chin_mm", "arm_flexed_girth_cm", "midaxillary_mm", "waist_midpoint_cm",
        "suprailiac_midaxillary_mm", "suprailiac_anterior_mm", "hip_cm",
    ),
}  # fmt: skip
EVERY = pytest.mark.parametrize(
    "place", PLACES.values(), ids=lambda place: f"{place.name}-{place.variant}"
)


def far(point: Point, other: Point) -> float:
    return float(np.hypot(point.x - other.x, point.y - other.y))


# --- places ---


def test_every_guide_has_a_place_in_the_view_where_it_is_seen() -> None:
    assert set(PLACES) == {(guide.name, guide.variant) for guide in (*GUIDES, *OTHERS)}
    seen = {name: view for view, names in VIEW_OF.items() for name in names.split()}
    assert {place.name.rsplit("_", 1)[0]: place.view for place in PLACES.values()} == seen


@EVERY
def test_a_place_lies_on_the_person_and_on_the_right_side(place: Place) -> None:
    skin = Polygon(outline(place.view))
    if place.kind in ("mass", "height"):
        assert place.at.y == (HEIGHT if place.kind == "mass" else 0.0)
    else:
        assert skin.contains_point(place.at)
    if place.ends:
        assert all(skin.contains_point(place.at.towards(end, 0.99)) for end in place.ends)
    if place.name in ON_THE_MIDLINE:
        assert place.at.x == pytest.approx(0.0, abs=1e-9)
    elif place.view != "side":
        # facing us, the client's right is on our left
        assert place.at.x < 0.0 if place.view == "front" else place.at.x > 0.0


def test_folds_of_different_sites_lie_apart() -> None:
    usual = [place_of(guide.name) for guide in GUIDES]
    for place, other in combinations([place for place in usual if place.kind == "skinfold"], 2):
        assert place.view != other.view or far(place.at, other.at) > 2.0, (place.name, other.name)


@pytest.mark.parametrize("view", VIEWS)
def test_sites_follow_down_the_body_as_in_the_guide(view: View) -> None:
    levels = [place_of(name).at.y for name in ORDER[view]]
    assert all(above < below for above, below in pairwise(levels))


def test_hip_bone_and_groin_bound_what_lies_above_them() -> None:
    crest, groin = landmark("side", "top of the hip bone"), landmark("front", "groin crease")
    assert place_of("suprailiac_midaxillary_mm").at.y < crest.y < groin.y
    # the crest falls away to its front tip
    assert crest.y < place_of("suprailiac_anterior_mm").at.y < landmark("front", "groin crease").y
    # "about 5 to 7 cm above that tip"
    tip = landmark("front", "front tip of the hip bone")
    assert 5.0 < far(tip, place_of("supraspinale_mm").at) < 7.0


@pytest.mark.parametrize("place", [place for place in PLACES.values() if place.way], ids=str)
def test_a_mark_stands_at_its_share_of_a_distance_that_bodies_have(place: Place) -> None:
    guide = guide_for(place.name, place.variant)
    assert place.way
    first, last = place.way
    if guide.mark is None:  # the middle of the breastbone
        assert place.at == first.towards(last, 0.5)
        return
    assert {guide.mark.first, guide.mark.last} <= set(place.named)
    low, high = guide.mark.usual
    assert low < far(first, last) / HEIGHT < high
    # at the level of the share; an arm is met on its midline, a tape in its middle
    (left, right) = across(place.view, place.at, first.angle_to(last) - 90.0)
    mark = first.towards(last, guide.mark.share)
    assert far(mark, place.at) < 0.25 * far(left, right)
    down = np.array(last) - first
    beside = (np.array(mark) - place.at) @ down / np.hypot(*down)
    assert beside == pytest.approx(0.0, abs=0.35)


def test_centimetres_from_a_landmark_are_those_of_the_guide() -> None:
    navel, tip = landmark("front", "navel"), landmark("back", "lower tip of the shoulder blade")
    counts = Counter({variant: 0 for name, variant in PLACES if name == "abdominal_mm"})
    for variant in counts:
        place, where = place_of("abdominal_mm", variant), guide_for("abdominal_mm", variant).where
        right = re.findall(r"(\d) cm to the right", where)
        down = re.findall(r"(\d) cm below", where) or ["0"]
        assert navel.x - place.at.x == pytest.approx(float(*right))
        assert place.at.y - navel.y == pytest.approx(float(*down))
    below, along = (
        place_of("subscapular_mm", variant).at for variant in ("below_tip", "2cm_along")
    )
    assert below.x == tip.x
    assert 1.0 < below.y - tip.y < 2.0
    assert far(along, tip) == pytest.approx(2.0)
    assert along.x - tip.x == pytest.approx(along.y - tip.y)
    level, above = (place_of("biceps_mm", variant).at for variant in ("level", "1cm_above"))
    assert far(level, above) == pytest.approx(1.0)
    assert level.y > above.y
    assert level.y == pytest.approx(place_of("triceps_mm").at.y)


@pytest.mark.parametrize("place", FOLDS, ids=lambda place: f"{place.name}-{place.variant}")
def test_a_fold_runs_as_the_words_say(place: Place) -> None:
    words = guide_for(place.name, place.variant).direction
    angle = place.angle % 180.0
    if words.startswith("vertical"):
        assert angle == pytest.approx(90.0, abs=12.0)
    elif words.startswith("diagonal"):
        assert min(abs(angle - 45.0), abs(angle - 135.0)) < 10.0
        # down and to the viewer's right: outwards behind, inwards in front, forward from the side
        assert angle < 90.0
    else:
        assert words in ("horizontal", "front to back")
        assert angle == 0.0


@EVERY
def test_the_landmarks_named_are_those_of_the_guide(place: Place) -> None:
    guide = guide_for(place.name, place.variant)
    mark = f"{guide.mark.first} {guide.mark.last}" if guide.mark else ""
    words = set(re.findall(r"[a-z']+", f"{guide.where} {mark} {guide.tip}".lower()))
    words |= {"top", "tip", "of"}  # the ends of a bone that the guide names
    for name in place.named:
        assert set(re.findall(r"[a-z']+", name.lower())) <= words, name


def test_girths_at_the_widest_and_narrowest_are_there() -> None:
    def wide(place: Place) -> float:
        assert place.ends
        return far(*place.ends)

    calf, ankle, waist = map(place_of, ("calf_girth_cm", "ankle_girth_cm", "waist_narrowest_cm"))
    for place, more in ((calf, 1.0), (ankle, -1.0), (waist, -1.0)):
        for off in (-2.0, -1.0, 1.0, 2.0):
            at = place.at.moved(off, 90.0)
            assert more * (wide(place) - far(*across("front", at, 0.0))) >= -0.02, place.name
    hip = place_of("hip_cm")
    assert hip.ends
    assert min(hip.ends).x == pytest.approx(float(outline("side")[:, 0].min()), abs=0.01)


# --- the person ---


def test_the_person_has_the_proportions_told() -> None:
    for view in VIEWS:
        levels = outline(view)[:, 1]
        assert levels.min() == pytest.approx(0.0, abs=0.01)
        assert levels.max() == pytest.approx(HEIGHT, abs=0.1)
    assert HEIGHT / landmark("side", "chin").y == pytest.approx(7.5, abs=0.2)
    skin = outline("front")
    assert np.allclose(skin[:, 0], -skin[::-1, 0], atol=1e-9)


def test_landmarks_lie_on_lines_that_are_drawn() -> None:
    """What is felt as bone or seen on the skin; the middles of limbs are no lines."""
    lines = {
        "front": (*drawn.FRONT_LINES, *drawn.FRONT_MIDDLE),
        "back": drawn.BACK_LINES,
        "side": drawn.SIDE_LINES,
    }
    unseen = (
        "middle of the elbow",
        "wrist",
        "ankle",
        "middle of the kneecap",
        "lifted",
        "eye",
    )
    for view in VIEWS:
        points = np.concatenate([*map(sampled, lines[view]), outline(view)])
        for name, place in LANDMARKS[view].items():
            if not any(word in name for word in unseen):
                assert np.hypot(*(points - place).T).min() < 1.3, (view, name)


# --- pictures ---


def test_numbers_stand_one_below_the_other() -> None:
    wanted, heights = [10.0, 10.5, 30.0, 9.0], [4.0, 4.0, 4.0, 2.0]
    found = spread(wanted, heights)
    order = sorted(range(4), key=lambda label: found[label])
    assert order == [3, 0, 1, 2]
    for upper, lower in pairwise(order):
        assert found[lower] - found[upper] >= (heights[upper] + heights[lower]) / 2.0 - 1e-9
    assert found[2] == 30.0
    assert np.mean(np.subtract(found, wanted)[[0, 1, 3]]) == pytest.approx(0.0)


def read(picture: str) -> ElementTree.Element:
    """The picture as a tree, after what a strict page asks of every one."""
    tree = ElementTree.fromstring(picture)
    assert tree.tag == f"{SVG}svg"
    assert tree.attrib["role"] == "img"
    assert [element.tag for element in tree[:2]] == [f"{SVG}title", f"{SVG}desc"]
    assert all(element.text for element in tree[:2])
    for element in tree.iter():
        assert "style" not in element.attrib
        assert "id" not in element.attrib  # several stand on one page
    return tree


def texts(tree: ElementTree.Element) -> list[str]:
    return [element.text or "" for element in tree.iter(f"{SVG}text")]


@pytest.mark.parametrize("plan", PLANS, ids=lambda plan: plan.key)
def test_the_sites_of_a_plan_are_numbered_in_its_order_and_can_be_read(plan) -> None:  # type: ignore[no-untyped-def]
    sites = plan.sites("female")
    tree = read(body_svg(sites))
    numbers = [int(text) for text in texts(tree) if text.isdigit()]
    assert sorted(numbers) == list(range(1, len(sites) + 1))
    width = float(tree.attrib["viewBox"].split()[2])
    sizes = {float(element.attrib["font-size"]) for element in tree.iter(f"{SVG}text")}
    assert min(sizes) * 360.0 / width >= 11.0
    assert not list(tree.iter(f"{SVG}style"))


def test_a_view_by_itself_keeps_the_numbers_of_the_plan() -> None:
    sites = ("chest_mm", "triceps_mm", ("abdominal_mm", "vertical_5cm"))
    assert {"1", "3", "front"} <= set(texts(read(body_svg(sites, views=("front",)))))
    assert "2" in texts(read(body_svg(sites, views=("back",))))
    plain = texts(read(body_svg(sites, is_numbered=False, title="Where", desc="Three sites")))
    assert sorted(plain) == ["L", "L", "R", "R", "back", "front"]
    with pytest.raises(KeyError):
        body_svg(["shoe_cm"])


@EVERY
def test_a_close_up_names_the_landmarks_of_its_site(place: Place) -> None:
    tree = read(site_svg((place.name, place.variant)))
    said = " ".join(texts(tree))
    assert [name for name in place.named if name not in said] == []
    assert place.apart in said


def test_the_pictures_and_the_page_are_those_of_today() -> None:
    made = dict(draw_sites.pictures())
    assert {path.name for path in draw_sites.FOLDER.iterdir()} == set(made)
    for name, picture in made.items():
        assert (draw_sites.FOLDER / name).read_text(encoding="utf-8") == f"{picture}\n", name
        read(picture)
    (page,) = draw_sites.SHOWN.findall(draw_sites.PAGE.read_text(encoding="utf-8"))
    assert page == draw_sites.shown()
