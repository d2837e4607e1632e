"""Landmarks of the schematic person, by the words of the site guide; drawn by us, no source.

In centimetres of the figure of 170 cm: from the midline out to the client's right (in front and behind),
or forward from the middle of the armpit (from the side); then down from the vertex.
"""

from __future__ import annotations

from foldspan.protocol.body.curves import Point, View

_Landmarks = dict[str, tuple[float, float]]

_FRONT: _Landmarks = {
    "Adam's apple": (0.0, 25.4),
    "top of the breastbone": (0.0, 32.0),
    "tip of the breastbone": (0.0, 54.0),
    "front fold of the armpit": (15.0, 41.2),
    "armpit": (15.7, 44.4),
    "nipple": (10.2, 47.2),
    "lowest rib": (13.6, 61.4),
    "top of the hip bone": (14.5, 67.4),
    "front tip of the hip bone": (11.6, 73.6),
    "navel": (0.0, 68.0),
    "groin crease": (8.74, 79.7),
    "upper edge of the kneecap": (8.9, 119.0),
    "middle of the kneecap": (8.9, 121.5),
    "tip of the shoulder": (18.9, 32.2),
    "middle of the elbow": (24.0, 65.4),
    "middle of the wrist": (29.0, 88.4),
    "middle of the ankle": (8.8, 160.6),
}
_BACK: _Landmarks = {
    "tip of the shoulder": (18.9, 32.2),
    "point of the elbow": (24.0, 65.4),
    "top outer edge of the forearm bone at the elbow (radiale)": (27.3, 66.6),
    "lower tip of the shoulder blade": (8.6, 47.5),
    "buttock crease": (6.8, 92.6),
    "top of the hip bone": (14.5, 67.4),
}
_SIDE: _Landmarks = {
    "vertex": (-0.5, 0.0),
    "lower edge of the eye socket": (8.6, 12.8),
    "ear canal": (0.5, 12.8),
    "chin": (8.5, 22.2),
    "Adam's apple": (5.3, 25.6),
    "middle of the armpit": (0.0, 43.3),
    "front fold of the armpit": (5.4, 44.0),
    "joint between the breastbone and its tip": (9.8, 51.5),
    "tip of the breastbone": (9.6, 54.0),
    "lowest rib": (0.0, 61.2),
    "top of the hip bone": (0.0, 67.4),
    "front tip of the hip bone": (7.4, 73.6),
    "middle of the lifted shoulder": (4.0, 37.4),
    "point of the lifted elbow": (31.0, 36.6),
}
LANDMARKS: dict[View, _Landmarks] = {"front": _FRONT, "back": _BACK, "side": _SIDE}


def landmark(view: View, name: str) -> Point:
    """Return where a landmark of the client's right lies: seen from the front, the viewer's left."""
    x, y = LANDMARKS[view][name]
    return Point(-x if view == "front" and x else x, y)
