"""Logo: a picture of theirs, looked at once when the settings are read; later it is only embedded.

An SVG may hold scripts and addresses of other files. It stands on a page as an image only, which runs
and fetches nothing, and one that holds such things is refused all the same.
"""

from __future__ import annotations

import io
import re
from xml.etree import ElementTree

from foldspan.extras import require

# a letterhead, no photograph (ours)
LARGEST, MOST_PIXELS = 300_000, 4000
KINDS = {"png": "image/png", "jpeg": "image/jpeg", "svg": "image/svg+xml"}
_STARTS = ((b"\x89PNG\r\n\x1a\n", "png"), (b"\xff\xd8\xff", "jpeg"))
_ACTIVE = ("script", "foreignObject", "handler", "iframe", "set")
_WITHIN = re.compile(r"#|data:image/(png|jpeg);")
_FETCHES = re.compile(r"@import|url\(\s*['\"]?(?!['\"]?#)", re.IGNORECASE)


def kind_of(logo: bytes) -> str:
    """Return ``png``, ``jpeg`` or ``svg`` by what a file holds, not by its name; "" for another."""
    for start, kind in _STARTS:
        if logo.startswith(start):
            return kind
    return "svg" if b"<svg" in logo[:2000] else ""


def fault_of(logo: bytes) -> str:
    """Return why a picture cannot be the logo, "" where it can."""
    if len(logo) > LARGEST:
        return f"larger than {LARGEST // 1000} kB"
    kind = kind_of(logo)
    if not kind:
        return "not a PNG, JPEG or SVG picture"
    return _fault_of_svg(logo) if kind == "svg" else _fault_of_pixels(logo, kind)


def size_of_pixels(logo: bytes, kind: str) -> tuple[int, int]:
    """Return the width and height of a PNG or JPEG [pixels]."""
    from matplotlib.image import imread

    high, wide = imread(io.BytesIO(logo), format=kind).shape[:2]
    return int(wide), int(high)


def _fault_of_pixels(logo: bytes, kind: str) -> str:
    require("pages")
    try:
        high, wide = size_of_pixels(logo, kind)
    except Exception:  # a damaged picture fails in as many ways as it has parts
        return "damaged: it cannot be read as a picture"
    if max(high, wide) > MOST_PIXELS:
        return f"more than {MOST_PIXELS} pixels wide or tall"
    return ""


def _fault_of_svg(logo: bytes) -> str:
    if b"<!ENTITY" in logo:
        return "an SVG that defines entities"
    try:
        root = ElementTree.fromstring(logo)  # without entities and so small it can harm nobody
    except (ElementTree.ParseError, ValueError, LookupError):
        return "damaged: it cannot be read as SVG"
    if _name(root.tag) != "svg":
        return "not a PNG, JPEG or SVG picture"
    for node in root.iter():
        if not isinstance(node.tag, str):
            continue
        name = _name(node.tag)
        is_active = name in _ACTIVE or name.startswith("animate")
        if is_active or any(_name(key).startswith("on") for key in node.attrib):
            return "an SVG with a script or an animation"
        if _reaches_out(node):
            return "an SVG that loads another file"
    return ""


def _reaches_out(node: ElementTree.Element) -> bool:
    """Whether a node of an SVG names a file or address outside it, where a picture would be fetched."""
    texts = [*node.attrib.values(), (node.text or "") if _name(node.tag) == "style" else ""]
    links = [value for key, value in node.attrib.items() if _name(key) in ("href", "src")]
    is_shown = _name(node.tag) != "a"  # an address that is clicked fetches nothing by itself
    return any(map(_FETCHES.search, texts)) or (
        is_shown and not all(_WITHIN.match(link) for link in links)
    )


def _name(tag: str) -> str:
    """Return a name without its namespace."""
    return tag.rpartition("}")[2]
