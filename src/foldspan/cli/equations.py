"""``foldspan equations``: the catalogue, what each card needs, its error, limits and source."""

from __future__ import annotations

import json
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated, Any

import typer

from foldspan.problems import FoldspanError, Problem

if TYPE_CHECKING:
    from foldspan.catalogue.card import Conversion, Equation


class FamilyName(StrEnum):
    """The four families."""

    skinfold = "skinfold"
    girth = "girth"
    mass_height = "mass_height"
    waist_height = "waist_height"


class SexName(StrEnum):
    """The sex an equation was built for."""

    female = "female"
    male = "male"


def command(
    key: Annotated[str, typer.Argument(help="One equation or conversion in full.")] = "",
    family: Annotated[FamilyName | None, typer.Option(help="Only this family.")] = None,
    sex: Annotated[SexName | None, typer.Option(help="Only those that serve this sex.")] = None,
    visit: Annotated[
        str, typer.Option("--for", help="Only those that this visit file has everything for.")
    ] = "",
    conversions: Annotated[
        bool, typer.Option("--conversions", help="List density-to-fat conversions instead.")
    ] = False,
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
) -> None:
    """List the catalogue, or show one card in full.

    Example: foldspan equations --family girth --sex female
    """
    from foldspan.catalogue import EQUATIONS
    from foldspan.catalogue.density_to_fat import CONVERSIONS
    from foldspan.cli import equations_text

    chosen: list[Equation | Conversion]
    if key:
        chosen = [_find(key)]
    elif conversions:
        chosen = [card for card in CONVERSIONS if sex is None or card.sex in (sex.value, "both")]
    else:
        wanted = [card for card in EQUATIONS if family is None or card.family == family.value]
        chosen = [card for card in wanted if sex is None or card.sex in (sex.value, "both")]
        if visit:
            chosen = _served_by(visit, [card for card in wanted if card in chosen])
    if as_json:
        trees: list[dict[str, Any]] = [equations_text.tree(card) for card in chosen]
        typer.echo(json.dumps(trees[0] if key else trees, indent=2, ensure_ascii=False))
    elif key:
        typer.echo(equations_text.full(chosen[0]))
    else:
        typer.echo(equations_text.listing(chosen))


def _find(key: str) -> Equation | Conversion:
    import difflib

    from foldspan.catalogue import EQUATIONS
    from foldspan.catalogue.density_to_fat import CONVERSIONS

    everything: list[Equation | Conversion] = [*EQUATIONS, *CONVERSIONS]
    cards = {card.key: card for card in everything}
    if key not in cards:
        near = difflib.get_close_matches(key, cards, n=3, cutoff=0.4)
        offer = f"Did you mean {' or '.join(near)}?" if near else "See foldspan equations."
        raise FoldspanError([Problem("E501", "equation", "key not known", offer)])
    return cards[key]


def _served_by(path: str, cards: list[Equation]) -> list[Equation | Conversion]:
    from foldspan.evaluate import needed
    from foldspan.visit import Visit

    visit = Visit.from_file(path, accept_unusual=True)
    has = {*visit.sites, "age_years"}
    return [
        card
        for card in cards
        if card.sex in (visit.client.sex, "both") and set(needed(card)) <= has
    ]
