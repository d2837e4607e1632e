"""Why: the difference of two methods, adding up; the range without each part; a sheet from elsewhere."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from starlette.responses import Response

from foldspan.api.explain import explain
from foldspan.browser.app import PageRequest
from foldspan.browser.shown import page, problem_line
from foldspan.display_units import signed
from foldspan.explanation.decomposition import Pair, turned
from foldspan.measuring.outcome import Outcome
from foldspan.problems import FoldspanError, Problem
from foldspan.records.visits import visit_of
from foldspan.results.explanation import Explanation
from foldspan.text.en.reconcile import FAMILY_NAMES, capital, verb, verdict_sentence
from foldspan.text.explain import (
    OUTSIDE_NAMES,
    known_bias_sentence,
    label,
    outside_sentences,
    pair_form,
    reason_words,
    sheet_sentences,
)

NUMBERS = ("fat_percent", "fat_mass_kg", "fat_free_mass_kg", "weight_kg")
# a part is shown below "without" if leaving it out moves the middle or an end by this much [points]
LEAST_LISTED = 0.3
# a bar is drawn on a scale of so many units
WIDE = 1000.0


def why_page(request: PageRequest) -> Response:
    """Show why the methods differ; two of them are chosen by tapping."""
    return _shown(request, request.desk.outcome(request.path["key"]))


def check_sheet(request: PageRequest) -> Response:
    """Hold a result sheet from elsewhere against the range."""
    outcome = request.desk.outcome(request.path["key"])
    sheet: dict[str, Any] = {"method": request.field("method") or "unknown"}
    sheet |= {name: request.field(name).strip() for name in NUMBERS if request.field(name).strip()}
    try:
        if len(sheet) < 2:
            remedy = "Enter at least the body-fat percentage, or the masses."
            raise FoldspanError([Problem("E120", "Sheet", "no number was given", remedy)])
        lines = _against(outcome, sheet)
    except FoldspanError as error:
        problems = [problem_line(problem) for problem in error.problems]
        return _shown(request, outcome, problems=problems, status=422)
    return _shown(request, outcome, sheet_lines=lines)


def _against(outcome: Outcome, sheet: Mapping[str, Any]) -> list[str]:
    """What there is to say of a sheet."""
    tree = {**outcome.kept.tree, "outside_results": [sheet]}
    explained = explain(visit_of(tree, where="this visit"), **outcome.settings)
    lines: list[str] = []
    for placed, joined in zip(explained.outside, explained.included, strict=True):
        lines += outside_sentences(placed, explained.result.reference_method, included=joined)
        if placed.check.adds_up:
            lines += sheet_sentences(placed.check)
    return lines


def _shown(
    request: PageRequest,
    outcome: Outcome,
    *,
    problems: list[str] | None = None,
    sheet_lines: list[str] | None = None,
    status: int = 200,
) -> Response:
    explanation = _explanation(request, outcome)
    result, pair = explanation.result, explanation.headline
    methods = [method.method for method in result.methods]
    return page(
        "why", status,
        key=request.path["key"], code=outcome.kept.code, day=outcome.kept.day,
        has_range=result.has_range,
        reasons_none=[problem.sentence() for problem in result.problems],
        verdict=verdict_sentence(result.verdict, result.misfit.inflation) if result.has_range else "",
        methods=[(name, capital(FAMILY_NAMES[name])) for name in methods],
        chosen=() if pair is None else pair.between,
        pair=None if pair is None else _pair(turned(pair)),
        without=_without(explanation) if result.has_range else [],
        outside=list(OUTSIDE_NAMES.items()), numbers=NUMBERS,
        problems=problems or [], sheet_lines=sheet_lines or [],
        given={name: request.field(name) for name in ("method", *NUMBERS)},
    )  # fmt: skip


def _explanation(request: PageRequest, outcome: Outcome) -> Explanation:
    """The explanation, with the pair that was tapped where one was."""
    found: Explanation = outcome.page("trainer", language="en").material.full_explanation
    first, second = request.query.get("first", ""), request.query.get("second", "")
    spoken = {method.method for method in found.result.methods}
    if first != second and {first, second} <= spoken:
        return explain(outcome.visit, pair_of=(first, second), **outcome.settings)
    return found


def _pair(pair: Pair) -> dict[str, Any]:
    """The difference of two methods as steps from nothing to the whole of it."""
    high, low = (FAMILY_NAMES.get(name, name) for name in pair.between)
    steps = [(reason_words(reason), reason.points) for reason in pair.reasons]
    steps.append(("unexplained", pair.unexplained))
    ends = [0.0, pair.difference]
    at = 0.0
    for _, points in steps:
        ends.append(at := at + points)
    low_end, span = min(ends), (max(ends) - min(ends)) or 1.0
    bars, at = [], 0.0
    for words, points in steps:
        start, at = at, at + points
        bars.append(
            {
                "words": capital(words),
                "points": signed(points, 1),
                "x": round(WIDE * (min(start, at) - low_end) / span, 1),
                "width": max(round(WIDE * abs(points) / span, 1), 4.0),
            }
        )
    zero = round(WIDE * -low_end / span, 1)
    whole = round(WIDE * abs(pair.difference) / span, 1)
    return {
        "sentence": (
            f"{capital(high)} {verb(high)} {pair.on_reference_method:.1f} percentage points more than"
            f" {low}. In 90% of people this gap is within {pair.allowed:.1f} points of what is usual"
            " for these equations."
        ),
        "form": pair_form(pair),
        "bars": bars,
        "difference": signed(pair.difference, 1),
        "x": zero if pair.difference >= 0.0 else round(zero - whole, 1),
        "width": whole,
        "zero": zero,
        "remark": known_bias_sentence(pair),
    }


def _without(explanation: Explanation) -> list[dict[str, Any]]:
    """The range with everything, and without each part that moves it."""
    whole, middle = explanation.fat_percent.range_80, explanation.fat_percent.estimate
    assert whole is not None
    assert middle is not None
    rows: list[tuple[str, tuple[float, float], float]] = [("Everything", whole, middle)]
    for part in explanation.leave_one_out:
        if part.range_80 is None or part.estimate is None:
            continue
        moved = max(
            abs(part.estimate - middle),
            *(abs(end - other) for end, other in zip(part.range_80, whole, strict=True)),
        )
        if moved >= LEAST_LISTED:
            rows.append((f"Without {label(part.without)}", part.range_80, part.estimate))
    low = min(ends[0] for _, ends, _ in rows)
    span = (max(ends[1] for _, ends, _ in rows) - low) or 1.0
    return [
        {
            "words": words,
            "range": f"{ends[0]:.0f}% to {ends[1]:.0f}%",
            "x": round(WIDE * (ends[0] - low) / span, 1),
            "width": round(WIDE * (ends[1] - ends[0]) / span, 1),
            "middle": round(WIDE * (estimate - low) / span, 1),
        }
        for words, ends, estimate in rows
    ]
