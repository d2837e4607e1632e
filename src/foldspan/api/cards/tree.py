"""A card as a JSON tree, with what the survey knows of it and whether it enters the range."""

from __future__ import annotations

from typing import Any

from foldspan.api.cards.formula import argument_text, formula_text
from foldspan.catalogue import EQUATIONS
from foldspan.catalogue.card import Conversion, Equation
from foldspan.catalogue.printed_error import points
from foldspan.catalogue.sources import BY_KEY
from foldspan.estimation.default_cards import on_request_because
from foldspan.estimation.evaluate import needed
from foldspan.estimation.known_offsets import offset_at
from foldspan.quantities import SEXES, Sex
from foldspan.reference.background_offsets import SHIFTS
from foldspan.reference.equation_errors import SURVEY_ERRORS

# ages at which the page says how far an equation is known to read off
OFFSET_AGES = (25, 45, 65)


def tree(card: Equation | Conversion) -> dict[str, Any]:
    """Return a card as a JSON tree; the formula as its source text."""
    source = BY_KEY[card.source]
    shared = {
        "key": card.key,
        "sex": card.sex,
        "population": card.population,
        "source": source.citation,
        "doi": source.doi,
        "seen": source.seen,
        "where": card.where,
        "status": card.status,
        "checked": card.checked.name.lower(),
        "ancestry": card.ancestry,
        "audience": card.audience,
        "note": card.note,
    }
    if isinstance(card, Conversion):
        return shared | {"c1": card.c1, "c2": card.c2, "ages": list(card.ages)}
    return shared | {
        "method": card.method,
        "predicts": card.predicts,
        "reference_method": card.reference_method,
        "inputs": [argument_text(given) for given in card.inputs],
        "needs": list(needed(card)),
        "formula": formula_text(card),
        "see": card.see,
        "see_unit": card.see_unit,
        "see_points": round(points(card, EQUATIONS), 2),
        "see_note": card.see_note,
        "survey_scatter": {
            sex: seen.scatter for sex, seen in SURVEY_ERRORS.get(card.key, {}).items()
        },
        "survey_offset": offsets(card),
        "survey_offset_by_background": by_background(card),
        "limits": {name: list(span) for name, span in card.limits.items()},
        "n": card.n,
        "on_request": on_request(card),
        "criterion": card.criterion,
        "sites": dict(card.sites),
        "lineage": card.lineage,
        "total_error_in_athletes": card.athletes_error,
        "known_bias": list(card.known_bias),
        "not_for": list(card.not_for),
    }


def on_request(card: Equation) -> dict[str, dict[str, str]]:
    """Why a card stays out of the range, a code by sex: levelled, and as printed."""
    found: dict[str, dict[str, str]] = {}
    for name, levelled in (("levelled", True), ("as_printed", False)):
        reasons = {sex: on_request_because(card, sex, levelled=levelled) for sex in sexes(card)}
        found[name] = {sex: reason for sex, reason in reasons.items() if reason}
    return found


def sexes(card: Equation) -> tuple[Sex, ...]:
    """Whom a card is for."""
    return SEXES if card.sex == "both" else (card.sex,)


def offsets(card: Equation) -> dict[str, dict[str, float]]:
    """How far a card is known to read off by sex and age [points of DXA fat]; positive is too high."""
    return {
        sex: {str(age): round(offset_at(card, sex, age) or 0.0, 2) for age in OFFSET_AGES}
        for sex in SURVEY_ERRORS.get(card.key, {})
    }


def by_background(card: Equation) -> dict[str, dict[str, float]]:
    """How much more a card reads too high where a background is stated, by sex [points of DXA fat]."""
    return {
        word: {sex: shift.points for sex, shift in by_key[card.key].items()}
        for word, by_key in SHIFTS.items()
        if card.key in by_key
    }
