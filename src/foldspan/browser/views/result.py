"""Result: the range first, then the methods, why they differ, flags, and what to measure next."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from starlette.responses import Response

from foldspan.browser.app import PageRequest
from foldspan.browser.shown import go_to, page
from foldspan.explanation.next_measurement import NextMeasurement
from foldspan.measuring.outcome import Outcome
from foldspan.pages.document import Bullets, Facts, Part, Table
from foldspan.pages.html_page import kind_of_part, source_of
from foldspan.pages.inputs import Material
from foldspan.pages.trainer.sheet import LEAST_NARROWING, next_parts
from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import BY_NAME
from foldspan.results.offers import is_measured_again, offered
from foldspan.session.answers import self_reported_flags
from foldspan.session.sites import planned
from foldspan.text.catalogue import ENGLISH
from foldspan.text.en.flags import client_sentence
from foldspan.text.en.reconcile import MEASURE_AGAIN, capital
from foldspan.text.explain import next_sentence
from foldspan.text.on_page import LANGUAGE_NAMES, WHY_HIDDEN
from foldspan.text.tapped import unwritten


def result_page(request: PageRequest) -> Response:
    """Show what a session has come to; where nothing was measured, what was told may still refer."""
    desk, key = request.desk, request.path["key"]
    session = desk.session(key)
    if not session.has_readings:
        flags = [
            flag
            for flag in self_reported_flags(session.state.known)
            if flag.level.startswith("refer")
        ]
        lines = [client_sentence(flag.rule.code, flag.level) for flag in flags]
        return page("nothing", lines=lines)
    return _shown(request, desk.outcome(key), key)


def _shown(request: PageRequest, outcome: Outcome, key: str) -> Response:
    report = outcome.page("trainer", language="en")
    material = report.material
    hidden = _why_hidden(outcome) if request.query.get("see") != "yes" else ""
    before, after = _without_next(material, report.document.parts)
    offers = _offers(outcome) if material.result.has_range else None
    explanation = material.explanation
    again = material.result.has_range and is_measured_again(explanation)
    return page(
        "result",
        key=key, row=outcome.kept.row, code=outcome.kept.code, day=outcome.kept.day,
        is_kept=bool(outcome.kept.row),
        is_hidden=bool(hidden), why_hidden=hidden,
        referrals=[flag.for_client for flag in material.flags if flag.level.startswith("refer")],
        before_next=[unwritten_part(part) for part in before if not isinstance(part, Facts)],
        after_next=[unwritten_part(part) for part in after], small=report.document.small,
        about=[part for part in before if isinstance(part, Facts)],
        offers=offers, measure_again=MEASURE_AGAIN if again else "",
        nothing_next=ENGLISH.say("staff.nothing_next"),
        can_go_on=outcome.kept.state is not None,
        kind=kind_of_part, source=source_of,
        languages=LANGUAGE_NAMES, language=request.language,
    )  # fmt: skip


def unwritten_part(part: Part) -> Part:
    """Return a part whose points and notes name no section of a file and no command."""
    if isinstance(part, Table):
        return replace(part, note=unwritten(part.note))
    return Bullets(tuple(map(unwritten, part.items))) if isinstance(part, Bullets) else part


def go_on(request: PageRequest) -> Response:
    """Go on measuring with what was offered: it comes into the plan, and is asked for next."""
    desk, key = request.desk, request.path["key"]
    session = desk.session(key)
    names = [name for name in request.field("sites").split() if name in BY_NAME]
    if not names:
        what, remedy = "no site chosen", "Go back, and choose one of the sites offered."
        raise FoldspanError([Problem("E115", "Measurement", what, remedy)])
    known = session.state.known
    wanted = [name for name in names if f"1.{name}" not in known.answers]
    # what is in the plan already was asked for by the same button, whose reply was lost
    for name in (name for name in wanted if name not in planned(known)):
        outcome = session.enter(f"+ {BY_NAME[name].label}")
        if outcome.problems:
            raise FoldspanError(outcome.problems)
    return go_to(f"/session/{desk.key_of(session, key)}")


def _why_hidden(outcome: Outcome) -> str:
    """Why the numbers are not shown before somebody asks for them; "" where they are."""
    if outcome.beside.wants_none:
        return WHY_HIDDEN["wants_none"]
    return WHY_HIDDEN["careful"] if outcome.beside.is_careful else ""


def _without_next(material: Material, parts: tuple[Part, ...]) -> tuple[list[Part], list[Part]]:
    """The parts before and after those that say what to measure next: here they have buttons."""
    if not material.result.has_range:
        return [*parts], []
    start, *rest = next_parts(material)
    place = parts.index(start)
    return [*parts[:place]], [*parts[place + 1 + len(rest) :]]


def _offers(outcome: Outcome) -> list[dict[str, Any]]:
    explanation = outcome.page("trainer", language="en").material.explanation
    offers: list[NextMeasurement] = offered(explanation, outcome.visit.client.known_sex)
    repeat = explanation.best_repeat
    if repeat is not None and not explanation.slips:
        offers = [*offers, repeat]
    return [
        {
            "sites": " ".join(offer.names),
            "sentence": capital(next_sentence(offer, explanation.result.verdict)),
            "is_repeat": offer.is_repeat,
        }
        for offer in offers
        if round(offer.narrower_by, 1) >= LEAST_NARROWING
    ]
