"""Equations: search the catalogue, read a card, and see what one gives for numbers typed.

Numbers are sent in a form and never stand in an address; nothing of them is kept.
"""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

from starlette.responses import Response

from foldspan.api.cards.formula import formula_text, written
from foldspan.api.cards.search import Wanted, card_of, search, sites
from foldspan.api.cards.tree import by_background, offsets, on_request
from foldspan.api.cards.value import EquationValue
from foldspan.browser.app import PageRequest
from foldspan.browser.shown import page, problem_line
from foldspan.browser.views.equation_form import form_fields, problem_lines, value_asked
from foldspan.catalogue import SIRI, conversion_by_key
from foldspan.catalogue.card import STATUSES, Conversion, Equation
from foldspan.catalogue.printed_error import printed_points
from foldspan.catalogue.sources import BY_KEY
from foldspan.estimation.evaluate import needed
from foldspan.problems import FoldspanError
from foldspan.protocol.site_guide import guide_for
from foldspan.quantities import BY_NAME
from foldspan.reference.proportional_bias import PROPORTIONAL_BIAS
from foldspan.text.cards import words
from foldspan.text.cards.standing import known_error, standing
from foldspan.text.cards.value import (
    NOT_FOR_WHOM,
    NOT_IN_THE_LIST,
    NOT_KEPT,
    NOTHING_FOUND,
    ONE_EQUATION,
    as_published,
    in_the_answer,
    output_sentence,
    sample_sentences,
)
from foldspan.text.en.reconcile import CAUTIONS, FAMILY_NAMES, REFERENCE_NAMES, capital
from foldspan.text.measure import guide_lines

# so many are shown at first: a list to read, not to scroll
FIRST_SHOWN = 20


def list_page(request: PageRequest) -> Response:
    """Search the equations."""
    wanted = Wanted(**{
        field.name: request.query.get(field.name, "").strip() for field in fields(Wanted)
    })  # fmt: skip
    found: tuple[Equation, ...] = ()
    problems: list[str] = []
    try:
        found = search(wanted)
    except FoldspanError as error:
        problems = [
            problem_line(problem) if problem.where == "words" else NOT_IN_THE_LIST
            for problem in error.problems
        ]
    shown = found if "all" in request.query else found[:FIRST_SHOWN]
    return page(
        "equations/list", 422 if problems else 200,
        wanted=wanted, problems=problems, count=len(found), rows=[_row(card) for card in shown],
        is_narrowed=replace(wanted, words="") != Wanted(), nothing=NOTHING_FOUND,
        more={field.name: getattr(wanted, field.name) for field in fields(Wanted)},
        sites={name: capital(words.label(name)) for name in sites()},
        sexes={sex: capital(who) for sex, who in words.WHO.items()},
        methods={name: capital(text) for name, text in FAMILY_NAMES.items()},
        references={name: capital(text) for name, text in REFERENCE_NAMES.items()},
        digits={status: capital(words.DIGITS_SHORT[status]) for status in STATUSES},
    )  # fmt: skip


def _row(card: Equation) -> dict[str, str]:
    error = printed_points(card)
    return {
        "key": card.key,
        "title": words.title(card, BY_KEY[card.source]),
        "needs": capital(words.quantities(needed(card))),
        "facts": " · ".join((
            "gives body density" if card.predicts == "density" else "gives body fat",
            *(["logarithmic"] if "log" in formula_text(card) else []),
            f"±{error:.1f} points" if error is not None else "no standard error published",
            REFERENCE_NAMES[card.reference_method],
            words.DIGITS_SHORT[card.status],
        )),
    }  # fmt: skip


def card_page(request: PageRequest) -> Response:
    """Show one card."""
    card = _asked_for(request)
    return card if isinstance(card, Response) else _shown(request, card)


def value_page(request: PageRequest) -> Response:
    """Show one card with what it gives for the numbers that were sent."""
    card = _asked_for(request)
    if isinstance(card, Response):
        return card
    try:
        value = value_asked(card, request)
    except FoldspanError as error:
        return _shown(request, card, error=error)
    return _shown(request, card, value=value)


def _asked_for(request: PageRequest) -> Equation | Response:
    try:
        card = card_of(request.path["key"])
    except FoldspanError as error:
        lines = [problem_line(problem) for problem in error.problems]
        return page("equations/unknown", 404, lines=lines)
    if isinstance(card, Conversion):
        return page("equations/unknown", 404, lines=[])
    return card


def _shown(
    request: PageRequest,
    card: Equation,
    *,
    value: EquationValue | None = None,
    error: FoldspanError | None = None,
) -> Response:
    lines, can_confirm = problem_lines(error)
    if value is not None and value.problems:
        lines = [problem_line(problem) for problem in value.problems]
    return page(
        "equations/card", 422 if error else 200,
        **_facts(card), **_formula(card),
        sites=[_site(card, name) for name in needed(card) if name != "age_years"],
        fields=form_fields(card, request, error), problems=lines, can_confirm=can_confirm,
        value=None if value is None or value.as_printed is None else _spoken(card, value),
        referrals=[
            flag.text for flag in (value.flags if value else ()) if flag.level.startswith("refer")
        ],
        notes=[NOT_FOR_WHOM, NOT_KEPT],
    )  # fmt: skip


def _facts(card: Equation) -> dict[str, Any]:
    source = BY_KEY[card.source]
    error = "None published."
    if card.see is not None:
        error = f"{card.see:g} {words.SE_UNITS[card.see_unit]}"
        points = printed_points(card)
        if card.see_unit != "fat_percent" and points is not None:
            error += f" (about {points:.1f} percentage points of fat)"
        error += "."
    if card.see_note:
        error += f" {capital(card.see_note)}."
    people = card.population
    if card.n and f"{card.n}" not in people.replace(",", ""):
        people = f"{card.n:,} people: {people}"
    bias = [f"{capital(line)}." for line in card.known_bias]
    if card.athletes_error is not None:
        bias.append(f"Total error in athletes: {card.athletes_error:g} percentage points.")
    return {
        "key": card.key,
        "title": words.title(card, source),
        "needs": capital(words.quantities(needed(card))),
        "family": capital(FAMILY_NAMES[card.method]),
        "error": error,
        "reference": _reference(card),
        "people": capital(people),
        "audience": words.AUDIENCE[card.audience],
        "ancestry": words.ANCESTRY_NAMES.get(card.ancestry, ""),
        "limits": [capital(words.limit(name, span)) for name, span in card.limits.items()],
        "not_for": capital(", ".join(card.not_for)),
        "bias": bias,
        "known_error": known_error(
            offsets(card), by_background(card), is_proportional=card.key in PROPORTIONAL_BIAS
        ),
        "standing": standing(on_request(card), card.status, card.audience),
        "source": source.citation,
        "doi": source.doi,
        "where": capital(card.where),
        "seen": capital(source.seen),
        "digits": [words.DIGITS[card.status], words.CHECKED[card.checked]],
        "note": card.note,
        "youth": words.YOUTH if card.audience == "youth" else "",
    }


def _reference(card: Equation) -> str:
    """How its people were measured, and by which of the two reference methods it counts."""
    said, counted = f"{capital(card.criterion)}.", REFERENCE_NAMES[card.reference_method]
    is_named = card.criterion.startswith(("underwater weighing", "DXA"))
    return said if is_named else f"{said} Counted with {counted}."


def _formula(card: Equation) -> dict[str, Any]:
    form = written(card)
    then = words.THEN.get(card.predicts, "")
    if card.predicts == "density":
        then = words.converted(SIRI, BY_KEY[SIRI.source])
    return {
        "predicts": words.PREDICTS[card.predicts],
        "branches": form.branches,
        "then": then,
        "symbols": [(name, words.argument(given)) for name, given in form.symbols],
        "columns": form.columns,
        "rows": list(zip(map(_ages, form.ages), form.rows, strict=True)),
        "banded": words.BANDED if form.rows else "",
    }


def _ages(span: tuple[int | None, int | None]) -> str:
    low, high = span
    if low is None:
        return f"up to {high}"
    return f"{low} and over" if high is None else f"{low} to {high}"


def _site(card: Equation, name: str) -> dict[str, Any]:
    """Where one quantity is measured, at the version of its site that the equation uses."""
    from foldspan.browser.figures import close_up

    guide = guide_for(name, card.sites.get(name, ""))
    first, *rest = guide_lines(guide)
    where = first.partition(": ")[2]
    return {
        "label": capital(BY_NAME[name].label),
        "lines": [capital(where), *rest],
        "figure": close_up(name, guide.variant),
    }


def _spoken(card: Equation, value: EquationValue) -> dict[str, Any]:
    assert value.as_printed is not None
    assert value.output is not None
    head, *lines = as_published(value.as_printed, value.see, value.range_printed)
    by = ""
    if value.conversion is not None:
        by = words.short_citation(BY_KEY[conversion_by_key(value.conversion).source])
    lines.append(output_sentence(card, value.output, by))
    lines += sample_sentences(card, value.left_out_because, dict(value.beyond))
    lines += in_the_answer(
        value.estimate, value.estimate_reference_method, value.moved, value.levelled,
        value.left_out_because,
    )  # fmt: skip
    lines += [ONE_EQUATION, CAUTIONS["screening"]]
    return {"head": head, "lines": [line for line in lines if line]}
