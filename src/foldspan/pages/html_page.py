"""HTML page: one file that stands by itself, without scripts and without asking the network."""

from __future__ import annotations

import base64
from functools import cache
from importlib import resources
from typing import Any

from foldspan.extras import require
from foldspan.figures.style import SHAPES, as_svg, titled
from foldspan.pages.document import Document, Letterhead, Picture
from foldspan.pages.sanitise import kept_together
from foldspan.practice.logo import KINDS, kind_of


def as_html(document: Document) -> str:
    """Return a document as an HTML page; every text is escaped by the template."""
    require("pages")  # before what is kept of earlier pages
    return str(
        _template().render(document=document, kind=kind_of_part, source=source_of, logo=_logo)
    )


def kind_of_part(part: object) -> str:
    """Return the name of the kind of a part, as the template asks for it."""
    return type(part).__name__.lower()


def source_of(picture: Picture, shape: str) -> str:
    """Return a picture as a data address: an image of its own, which runs and fetches nothing.

    ``shape`` is one of ``figures.style.SHAPES``. No name in one picture meets that in another.
    """
    drawn = titled(
        as_svg(picture.draw, SHAPES[shape]), picture.caption or picture.name, picture.alt
    )
    return f"data:image/svg+xml;base64,{base64.b64encode(drawn.encode()).decode()}"


def _logo(letterhead: Letterhead) -> str:
    """Return a logo as a data address: as an image it runs no script and fetches nothing."""
    kind = KINDS[kind_of(letterhead.logo)]
    return f"data:{kind};base64,{base64.b64encode(letterhead.logo).decode()}"


@cache
def _template() -> Any:
    import jinja2

    # a name that is not there is an error, never an empty place on a page
    shelf = jinja2.Environment(
        loader=jinja2.FileSystemLoader(str(resources.files("foldspan.pages"))),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=lambda value: kept_together(value) if isinstance(value, str) else value,
    )
    return shelf.get_template("page.html.jinja")
