"""The page docs/catalogue.md, made from the cards.

``python -m foldspan.cli.doc_pages.catalogue docs/catalogue.md``
"""

from __future__ import annotations

import sys
from collections import Counter

from foldspan.api.cards.tree import OFFSET_AGES, offsets
from foldspan.catalogue import EQUATIONS
from foldspan.catalogue.card import FAMILIES, STATUSES, Equation, Status
from foldspan.catalogue.density_to_fat import CONVERSIONS
from foldspan.catalogue.left_out import LEFT_OUT
from foldspan.catalogue.printed_error import printed_points
from foldspan.catalogue.sources import SOURCES
from foldspan.cli.printed.equations import why_on_request
from foldspan.display_units import signed
from foldspan.estimation.evaluate import needed
from foldspan.files.output import renew_page
from foldspan.text.en.reconcile import FAMILY_NAMES

OPENING = """\
# Catalogue

Made from the cards by `python -m foldspan.cli.doc_pages.catalogue docs/catalogue.md`; do not edit.

{equations} equations and {conversions} density-to-fat conversions. SEE is the published standard error
of estimate in percentage points of body fat, for an average adult; a dash means that none was found
(then the scatter in the survey is used, or the largest of its kind). Equations for under-18s are listed
with their limits and never give an adult range. *On request*: not part of the range, for the reason
given [below](#on-request); `foldspan reconcile --all` lists its result. To see one equation in full,
with formula, sites, limits, population and source: `foldspan equations KEY`.

*Known error*: by how much {levelled} of the equations are on average too high (+) or too low (-) at
{ages} years, compared with DXA in the US survey of 1999-2002, in percentage points. With DXA as the
reference method it is corrected (docs/method.md, section 4; `--as-printed` leaves it in), for skinfold
equations also by how high the result is. A dash: the survey lacks a measurement they need.

The digits of {read} equations were seen in print and those of {secondary} in a secondary text; those of
{unseen} were not seen: they are recalled, or sources differ.

{grades}
"""
GRADES: dict[Status, str] = {
    "verified": "read in print: in the paper, its abstract or a record of it",
    "read in a secondary text": (
        "not seen in the paper; read in full in a later paper, a book, a lecture or a web page,"
        " and identical to what is typed here"
    ),
    "not verified in print": (
        "not seen in full anywhere: recalled, and typed twice from the same recollection"
    ),
    "disputed": "sources differ; kept, but used only on request",
}


def page() -> str:
    """Return the whole page as Markdown."""
    known = Counter(card.status for card in EQUATIONS)
    opening = OPENING.format(
        equations=len(EQUATIONS),
        conversions=len(CONVERSIONS),
        levelled=sum(bool(offsets(card)) for card in EQUATIONS),
        ages=", ".join(map(str, OFFSET_AGES[:-1])) + f" and {OFFSET_AGES[-1]}",
        read=known["verified"],
        secondary=known["read in a secondary text"],
        unseen=known["not verified in print"] + known["disputed"],
        grades=_grades(),
    )
    parts = [opening]
    for family in FAMILIES:
        cards = [card for card in EQUATIONS if card.method == family]
        parts.append(_table(FAMILY_NAMES[family].capitalize(), cards))
    parts.append(_on_request())
    parts.append(_conversions())
    parts.append(_known_bias())
    parts.append(_left_out())
    parts.append(_still_to_be_read())
    parts.append("## Sources\n")
    parts.append(
        "\n".join(
            f"- **{source.key}**: {source.citation}"
            + (f", doi {source.doi}" if source.doi else "")
            + (f" ({source.seen})" if source.seen else "")
            for source in SOURCES
        )
    )
    return "\n".join(parts) + "\n"


def _grades() -> str:
    """How many equations and conversions there are of every grade, and what the grade means."""
    lines = ["| grade | equations | conversions | means |", "|---|---|---|---|"]
    for grade in STATUSES:
        equations = sum(card.status == grade for card in EQUATIONS)
        conversions = sum(card.status == grade for card in CONVERSIONS)
        lines.append(f"| {grade} | {equations} | {conversions} | {GRADES[grade]} |")
    return "\n".join(lines)


def _table(title: str, cards: list[Equation]) -> str:
    lines = [
        f"## {title}\n",
        "| key | for | needs | reference method | SEE | known error | ages | n | coefficients |",
        "|---|---|---|---|---|---|---|---|---|",
    ]
    for card in cards:
        error = printed_points(card)
        ages = card.limits.get("age_years")
        whom = card.sex if card.audience == "general" else f"{card.sex}, {card.audience}"
        whom += ", on request" if why_on_request(card) else ""
        lines.append(
            f"| {card.key} | {whom} | {', '.join(needed(card))} | {card.reference_method} |"
            f" {'-' if error is None else f'{error:.1f}'} |"
            f" {_reads_off(card)} |"
            f" {'-' if ages is None else f'{ages[0]:g}-{ages[1]:g}'} |"
            f" {card.n or '-'} | {card.status} |"
        )
    return "\n".join(lines) + "\n"


def _reads_off(card: Equation) -> str:
    """What a card is known to read off at each of the ages [points], by sex where it is for both."""
    found = [
        f"{f'{sex} ' if card.sex == 'both' else ''}{', '.join(signed(x, 1) for x in by_age.values())}"
        for sex, by_age in offsets(card).items()
    ]
    return "; ".join(found) or "-"


def _known_bias() -> str:
    """Published biases, once for all equations that share them."""
    shared: dict[tuple[str, ...], list[str]] = {}
    for card in EQUATIONS:
        if card.known_bias:
            shared.setdefault(card.known_bias, []).append(card.key)
    lines = ["## Known bias\n"]
    for biases, keys in shared.items():
        more = f" and {len(keys) - 2} more from the same people" if len(keys) > 3 else ""
        shown = keys[:2] if more else keys
        lines.append(f"- **{', '.join(shown)}{more}**: {'; '.join(biases)}.")
    return "\n".join(lines) + "\n"


def _left_out() -> str:
    """Equations that were met and are not carried, so that nobody adds them from the same text."""
    lines = [
        "## Left out, and why\n",
        "Equations that we found but did not include. If you have the paper, complete the row and"
        " turn it into a card.\n",
        "| equation | as read | where | why it is left out |",
        "|---|---|---|---|",
    ]
    lines += [
        f"| {equation.name} | {equation.as_read} | {equation.where} | {equation.why} |"
        for equation in LEFT_OUT
    ]
    return "\n".join(lines) + "\n"


def _still_to_be_read() -> str:
    """The papers on which most recalled coefficients rest, so that a reader knows where to begin."""
    recalled = Counter(card.source for card in EQUATIONS if card.status == "not verified in print")
    lines = [
        "## Still to be read\n",
        "Anybody with access to a library can verify these in print. Number of equations per"
        " paper, highest first:\n",
    ]
    lines += [f"- **{source}**: {count}" for source, count in recalled.most_common() if count > 1]
    alone = sorted(source for source, count in recalled.items() if count == 1)
    lines.append(f"- one each: {', '.join(alone)}")
    return "\n".join(lines) + "\n"


def _on_request() -> str:
    """Who does not speak by default, and why not; everybody else does, where it fits."""
    aside = [(card, why) for card in EQUATIONS if (why := why_on_request(card))]
    adults = sum(card.audience != "youth" for card in EQUATIONS)
    lines = [
        "## On request\n",
        f"Of the {adults} equations for adults {adults - len(aside)} are used wherever they apply"
        f" (disputed ones only with `--with-disputed`). One rule ([method](method.md), section 2)"
        f" keeps the others out of the range, for one sex or both, always or only where equations"
        f" are not levelled.\n",
        "| key | in the range |",
        "|---|---|",
    ]
    lines += [f"| {card.key} | {why} |" for card, why in aside]
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
