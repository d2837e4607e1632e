"""The page docs/catalogue.md, made from the cards.

``python -m foldspan.cli.catalogue_page docs/catalogue.md``
"""

from __future__ import annotations

import sys

from foldspan.catalogue import EQUATIONS
from foldspan.catalogue.card import FAMILIES, Equation
from foldspan.catalogue.density_to_fat import CONVERSIONS
from foldspan.catalogue.printed_error import printed_points
from foldspan.catalogue.sources import SOURCES
from foldspan.evaluate import needed
from foldspan.output_file import renew_page
from foldspan.wording import FAMILY_NAMES

OPENING = """\
# Catalogue

Made from the cards by `python -m foldspan.cli.catalogue_page docs/catalogue.md`; do not edit.

{equations} equations and {conversions} density-to-fat conversions. ± is the printed standard error
in points of fat of a middling adult; a dash means that none was found; then the scatter in the
survey is used, or the largest of its kind. *Verified*: the coefficients were read in a source.
*From memory*: they are recalled, and typed twice from the same recollection. *Disputed*: sources
differ; carried, and not used unless asked for. Equations for youth are carried
with their limits and never give an adult range.
One card in full, with formula, sites, limits, population and source: `foldspan equations KEY`.
"""


def page() -> str:
    """Return the whole page as Markdown."""
    parts = [OPENING.format(equations=len(EQUATIONS), conversions=len(CONVERSIONS))]
    for family in FAMILIES:
        cards = [card for card in EQUATIONS if card.family == family]
        parts.append(_table(FAMILY_NAMES[family].capitalize(), cards))
    parts.append(_conversions())
    parts.append(_known_bias())
    parts.append("## Sources\n")
    parts.append(
        "\n".join(
            f"- **{one.key}**: {one.citation}"
            + (f", doi {one.doi}" if one.doi else "")
            + (f" ({one.seen})" if one.seen else "")
            for one in SOURCES
        )
    )
    return "\n".join(parts) + "\n"


def _table(title: str, cards: list[Equation]) -> str:
    lines = [
        f"## {title}\n",
        "| key | for | needs | scale | ± | ages | n | coefficients |",
        "|---|---|---|---|---|---|---|---|",
    ]
    for card in cards:
        error = printed_points(card)
        ages = card.limits.get("age_years")
        whom = card.sex if card.audience == "general" else f"{card.sex}, {card.audience}"
        lines.append(
            f"| {card.key} | {whom} | {', '.join(needed(card))} | {card.scale} |"
            f" {'-' if error is None else f'{error:.1f}'} |"
            f" {'-' if ages is None else f'{ages[0]:g}-{ages[1]:g}'} |"
            f" {card.n or '-'} | {card.status} |"
        )
    return "\n".join(lines) + "\n"


def _known_bias() -> str:
    """Published biases, once for all equations that share them."""
    shared: dict[tuple[str, ...], list[str]] = {}
    for card in EQUATIONS:
        if card.known_bias:
            shared.setdefault(card.known_bias, []).append(card.key)
    lines = ["## Known bias\n"]
    for biases, keys in shared.items():
        more = f" and {len(keys) - 2} more of the same people" if len(keys) > 3 else ""
        shown = keys[:2] if more else keys
        lines.append(f"- **{', '.join(shown)}{more}**: {'; '.join(biases)}.")
    return "\n".join(lines) + "\n"


def _conversions() -> str:
    lines = [
        "## Density to fat\n",
        "Body fat [%] = 100 (c1 / density - c2), density in g/cm³.\n",
        "| key | for | c1 | c2 | ages | coefficients |",
        "|---|---|---|---|---|---|",
    ]
    lines += [
        f"| {card.key} | {card.population} ({card.sex}) | {card.c1:g} | {card.c2:g} |"
        f" {card.ages[0]:g}-{card.ages[1]:g} | {card.status} |"
        for card in CONVERSIONS
    ]
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    renew_page(sys.argv[1], page())
