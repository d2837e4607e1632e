"""``foldspan equations``: the catalogue, what each card needs, its error, limits and source."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Annotated, Any

import typer

from foldspan.cli.signs import echo_json
from foldspan.cli.words import one_of

FAMILIES = ("skinfold", "girth", "mass_height", "waist_height")

if TYPE_CHECKING:
    from foldspan.catalogue.card import Conversion, Equation


def command(
    key: Annotated[str, typer.Argument(help="Show one equation or conversion in full.")] = "",
    method: Annotated[
        str,
        typer.Option(metavar="|".join(FAMILIES), help="Only this method group."),
    ] = "",
    sex: Annotated[
        str, typer.Option(metavar="female|male", help="Only equations for this sex.")
    ] = "",
    visit: Annotated[
        str,
        typer.Option("--for", help="Only equations that this visit file has all measurements for."),
    ] = "",
    conversions: Annotated[
        bool, typer.Option("--conversions", help="List density-to-fat conversions instead.")
    ] = False,
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
) -> None:
    """List the equations, or show one in full.

    Example: foldspan equations --method girth --sex female
    """
    from foldspan.api.cards.tree import tree
    from foldspan.catalogue import EQUATIONS
    from foldspan.catalogue.density_to_fat import CONVERSIONS
    from foldspan.cli.printed import equations

    if method:
        one_of("--method", method, FAMILIES)
    if sex:
        one_of("--sex", sex, ("female", "male"))
    chosen: list[Equation | Conversion]
    if key:
        chosen = [_find(key)]
    elif conversions:
        chosen = [card for card in CONVERSIONS if not sex or card.sex in (sex, "both")]
    else:
        wanted = [card for card in EQUATIONS if not method or card.method == method]
        chosen = [card for card in wanted if not sex or card.sex in (sex, "both")]
        if visit:
            chosen = _served_by(visit, [card for card in wanted if card in chosen])
    if as_json:
        trees: list[dict[str, Any]] = [tree(card) for card in chosen]
        echo_json(json.dumps(trees[0] if key else trees, indent=2, ensure_ascii=False))
    elif key:
        typer.echo(equations.full(chosen[0]))
    else:
        typer.echo(equations.listing(chosen))


def _find(key: str) -> Equation | Conversion:
    from foldspan.api.cards.search import card_of

    return card_of(key, "See foldspan equations.")


def _served_by(path: str, cards: list[Equation]) -> list[Equation | Conversion]:
    from foldspan.estimation.evaluate import needed
    from foldspan.visit.model import Visit

    visit = Visit.from_file(path, accept_unusual=True)
    has = {*visit.sites, "age_years"}
    return [
        card
        for card in cards
        if card.sex in (visit.client.sex, "both") and set(needed(card)) <= has
    ]
