"""Draw the pictures of the sites on docs/measuring.md: ``python tests/figures/draw_sites.py``.

Writes docs/sites/ and the part of the page that shows it: all skinfolds, all other sites, each close up.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator
from pathlib import Path

from foldspan.figures.body import body_svg
from foldspan.figures.body_site import site_svg
from foldspan.protocol.body.place import Place
from foldspan.protocol.body.places import PLACES, place_of
from foldspan.protocol.site_guide import GUIDES, guide_for
from foldspan.quantities import BY_NAME

DOCS = Path(__file__).parents[2] / "docs"
PAGE, FOLDER = DOCS / "measuring.md", DOCS / "sites"
SHOWN = re.compile(
    r"(?<=<!-- pictures of the sites -->\n).*?(?=<!-- end of the pictures -->)", re.DOTALL
)
ACROSS = 3
# where a page shows a wide picture, in CSS pixels
WIDE = 640.0
FOLDS = tuple(guide.name for guide in GUIDES if BY_NAME[guide.name].kind == "skinfold")
OTHERS = tuple(guide.name for guide in GUIDES if BY_NAME[guide.name].kind != "skinfold")
WHOLE = {
    "skinfolds": ("All skinfolds", FOLDS),
    "girths": ("Weight, height, all girths and breadths", OTHERS),
}


def close_up() -> list[Place]:
    """Sites shown close up: every one, and variants that lie elsewhere or run another way."""
    usual = [place_of(guide.name) for guide in GUIDES]
    where = {(place.name, place.at, place.angle) for place in usual}
    return usual + [
        place for place in PLACES.values() if (place.name, place.at, place.angle) not in where
    ]


def file_of(place: Place) -> str:
    """The file of a close-up: the site, and the variant where it is not the usual one."""
    name = BY_NAME[place.name].short_name
    other = place.variant if place.variant != guide_for(place.name).variant else ""
    return f"{name}{f'_{other}' if other else ''}.svg"


def pictures() -> Iterator[tuple[str, str]]:
    """Every file and what it holds."""
    for name, (title, sites) in WHOLE.items():
        yield f"{name}.svg", body_svg(sites, narrowest=WIDE, title=title, is_file=True)
    for place in close_up():
        yield file_of(place), site_svg((place.name, place.variant), is_file=True)


def shown() -> str:
    """The part of the page: the whole person twice, then the close-ups in rows."""
    parts = []
    for name, (title, sites) in WHOLE.items():
        numbered = ", ".join(
            f"{order} {BY_NAME[site].label}" for order, site in enumerate(sites, start=1)
        )
        parts.append(f"![{title} on one person, numbered](sites/{name}.svg)")
        parts.append(textwrap.fill(f"{title}: {numbered}.", 112, break_on_hyphens=False))
    rows = []
    places = close_up()
    for start in range(0, len(places), ACROSS):
        some = places[start : start + ACROSS]
        heads, cells = [], []
        for place in some:
            guide = guide_for(place.name, place.variant)
            heads.append(f"`{BY_NAME[place.name].short_name}` {guide.variant}".strip())
            cells.append(f"![{guide.where}](sites/{file_of(place)})")
        for row in (heads, cells):
            filled = row + [""] * (ACROSS - len(row))
            rows.append(f"| {' | '.join(filled)} |")
    head = ["| " * ACROSS + "|", "|" + "---|" * ACROSS]
    parts.append("\n".join(head + rows))
    return "\n\n".join(parts) + "\n"


def main() -> None:
    """Write the pictures, and the page that shows them."""
    FOLDER.mkdir(exist_ok=True)
    made = dict(pictures())
    for old in FOLDER.glob("*.svg"):
        if old.name not in made:
            old.unlink()
    for name, picture in made.items():
        (FOLDER / name).write_text(f"{picture}\n", encoding="utf-8")
    page = PAGE.read_text(encoding="utf-8")
    PAGE.write_text(SHOWN.sub(lambda _: shown(), page), encoding="utf-8")


if __name__ == "__main__":
    main()
