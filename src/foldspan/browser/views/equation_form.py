"""The form of a card: just the numbers that its equation needs, read as a visit like any other."""

from __future__ import annotations

from typing import Any

from foldspan.api.cards.value import OPTIONS, EquationValue, equation_value, missing_problem
from foldspan.browser.app import PageRequest
from foldspan.browser.shown import problem_line
from foldspan.catalogue.card import Equation
from foldspan.estimation.applicability import reads_ancestry
from foldspan.estimation.evaluate import needed
from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import ANCESTRIES, BY_NAME
from foldspan.text.cards.value import ASKED_BACK, CONFIRM
from foldspan.text.cards.words import ANCESTRY_NAMES, WHO
from foldspan.text.en.reconcile import capital
from foldspan.visit.keys import HOME_OF
from foldspan.visit.model import Visit

BODY = ("weight_kg", "height_cm")


def form_fields(
    card: Equation, request: PageRequest, error: FoldspanError | None
) -> dict[str, Any]:
    """Return the fields of the form, with what was typed before and which of it is wrong."""
    wrong = {problem.where.split()[-1] for problem in (error.problems if error else ())}
    return {
        "sexes": {sex: capital(who) for sex, who in WHO.items()} if card.sex == "both" else {},
        "sex": request.field("sex"),
        "asks_pregnancy": card.sex != "male",
        "pregnant": request.field("pregnant") == "yes",
        "asks_athlete": card.audience == "athlete",
        "athlete": request.field("athlete") == "yes",
        "ancestries": _ancestries(card),
        "ancestry": request.field("ancestry"),
        "numbers": [
            {
                "name": name,
                "label": capital(BY_NAME[name].label),
                "unit": BY_NAME[name].unit,
                "typed": request.field(name),
                "is_wrong": bool(wrong & {name, BY_NAME[name].short_name}),
                "needed": name not in _to_judge(card),
            }
            for name in _asked_of(card)
        ],
    }


def value_asked(card: Equation, request: PageRequest) -> EquationValue:
    """Return what the equation gives for the numbers that were sent.

    Raises
    ------
    FoldspanError
        With every problem found in them.
    """
    client: dict[str, Any] = {
        "sex": _sex(card, request),
        "age_years": request.field("age_years"),
        "pregnant": request.field("pregnant") == "yes" and card.sex != "male",
        "athlete": request.field("athlete") == "yes",
    }
    if not client["sex"]:
        del client["sex"]
    if request.field("ancestry"):
        client["ancestry"] = request.field("ancestry")
    tree: dict[str, Any] = {"client": client}
    missing = []
    for name in _asked_of(card):
        typed = request.field(name).strip()
        if typed and name != "age_years":
            section, short = HOME_OF[name]
            tree.setdefault(section, {})[short] = typed
        elif not typed and name not in _to_judge(card):
            missing.append(missing_problem(name))
    if missing:
        raise FoldspanError(missing)
    visit = Visit.from_dict(tree, accept_unusual=request.field("accept") == "yes")
    given = {name: request.desk.settings.get(name, usual) for name, usual in OPTIONS.items()}
    return equation_value(card, visit, local=request.desk.settings.get("local"), **given)


def _sex(card: Equation, request: PageRequest) -> str:
    """For whom the equation is; one for both is asked about one of them."""
    if card.sex != "both":
        return card.sex
    given = request.field("sex").strip().lower()
    return "" if given == "both" else given


def problem_lines(error: FoldspanError | None) -> tuple[list[str], bool]:
    """Return what is wrong with the numbers, and whether saying that they are correct will do."""
    if error is None:
        return [], False
    lines = [
        _line(problem).partition(". If it is correct")[0].rstrip(".") + "."
        if problem.code in ASKED_BACK
        else _line(problem)
        for problem in error.problems
    ]
    can_confirm = all(problem.code in ASKED_BACK for problem in error.problems)
    return [*lines, *[CONFIRM] * can_confirm], can_confirm


def _line(problem: Problem) -> str:
    """A problem by the labels of its fields, also where it is about two of them."""
    names = problem.where.rpartition(": ")[2].split(", ")
    both = all(name in BY_NAME for name in names)
    return problem_line(
        problem, " and ".join(BY_NAME[name].label for name in names) if both else ""
    )


def _asked_of(card: Equation) -> tuple[str, ...]:
    """Age first, because it says who gets a number at all; then what is measured."""
    return tuple(dict.fromkeys(("age_years", *needed(card), *_to_judge(card))))


def _to_judge(card: Equation) -> tuple[str, ...]:
    """What only tells whether the client is like its sample."""
    by_size = "bmi" in card.limits or card.audience == "obese"
    return tuple(name for name in BODY if by_size and name not in needed(card))


def _ancestries(card: Equation) -> dict[str, str]:
    if not (card.ancestry or reads_ancestry(card)):
        return {}
    return {name: ANCESTRY_NAMES[name] for name in ANCESTRIES}
