"""Pictures: the figures of the printed pages, as images that stand in a page by themselves."""

from __future__ import annotations

import base64

from foldspan.figures.style import SHAPES, as_svg, titled
from foldspan.pages.document import Picture


def kind_of(part: object) -> str:
    """Return the name of the kind of a part, as the template asks for it."""
    return type(part).__name__.lower()


def source_of(picture: Picture, shape: str) -> str:
    """Return a picture as a data address: as an image it runs nothing and fetches nothing."""
    drawn = titled(
        as_svg(picture.draw, SHAPES[shape]), picture.caption or picture.name, picture.alt
    )
    return f"data:image/svg+xml;base64,{base64.b64encode(drawn.encode()).decode()}"
