"""Pages to hand over: from one ``Visit`` or more to a ``Report``."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from functools import partial
from itertools import pairwise
from typing import Any

from foldspan.api.change import change, check_one_client
from foldspan.api.explain import explained
from foldspan.api.reconcile import reconcile
from foldspan.display_units import UNITS
from foldspan.estimation.local_correction import LocalCorrection
from foldspan.estimation.settings import settings_for
from foldspan.export.report import NOT_AGREED, Report
from foldspan.pages.client_page import client_page
from foldspan.pages.clinician_letter import clinician_letter
from foldspan.pages.document import Document
from foldspan.pages.inputs import Material, paper_of
from foldspan.pages.sanitise import as_typed
from foldspan.pages.trainer.sheet import trainer_page
from foldspan.practice.model import PAPERS, Practice
from foldspan.problems import FoldspanError, Problem
from foldspan.results.case_of_visit import each_visit_once
from foldspan.results.change import ChangeResult
from foldspan.results.explanation import Explanation
from foldspan.results.result import Result
from foldspan.results.who_gets_a_range import SEX_LEFT_OPEN, refusal_of
from foldspan.text.catalogue import LANGUAGES
from foldspan.visit.model import Visit

PAGES: dict[str, Callable[[Material], Document]] = {
    "client": client_page,
    "trainer": trainer_page,
    "clinician": clinician_letter,
}


@each_visit_once()
def report(
    visit: Visit,
    *later: Visit,
    reader: str = "trainer",
    units: str = "metric",
    language: str = "",
    paper: str = "",
    practice: Practice | None = None,
    careful: bool = False,
    was_asked: bool = False,
    agreed_to_share: bool | None = None,
    agreed_anew: bool = False,
    notes: Sequence[str] = (),
    not_taken: Sequence[str] = (),
    prepared: Mapping[str, bool] | None = None,
    reference_method: str = "",
    conversion: str = "siri1961",
    with_disputed: bool = False,
    as_printed: bool = False,
    local: LocalCorrection | None = None,
    include_outside: bool = False,
    plan: str = "",
    full: bool = False,
) -> Report:
    """Return the page to hand over for a visit; earlier visits of the client show the trend.

    Parameters
    ----------
    visit : Visit
        The visit, or the earliest of several.
    *later : Visit
        Later visits of the same client, in order; the page is about the last one.
    reader : str
        ``client``, ``trainer`` or ``clinician``.
    units : str
        ``metric`` or ``us``.
    language : str
        ``en``, or ``de``, ``es`` or ``fr`` for the client's page; by default that of the practice,
        otherwise ``en``.
    paper : str
        ``a4`` or ``letter``; by default that of the practice, otherwise US Letter with US units and
        A4 with metric ones.
    practice : Practice, optional
        Who hands the page over: name, telephone numbers and logo. ``foldspan.site_practice()``
        returns the one in the settings file.
    careful : bool
        Whether numbers could harm the client; a worry recorded at any of the visits counts as well.
    was_asked : bool
        Whether the health questions were asked, even if every answer was no.
    agreed_to_share : bool, optional
        Whether the client agreed to share the page with a clinician; if left out, the letter has a
        line to sign.
    agreed_anew : bool
        Whether the client had first declined; the letter says so.
    notes, not_taken : sequence of str
        Notes from the session, and sites that could not be measured, for the trainer and the
        clinician.
    prepared : mapping of str to bool, optional
        Whether the skin was dry, without lotion (``skin``), and the client without hard exercise, sauna
        or hot bath that day (``rested``), for the trainer; left out where it was not asked.
    reference_method, conversion, with_disputed, as_printed, local, include_outside
        As in ``reconcile``.
    plan : str
        Key of the session's plan, for the trainer's page.
    full : bool
        Whether the trainer's page also lists every equation, used or left out, and the sources of
        uncertainty; otherwise it is two pages.

    Returns
    -------
    Report
        Frozen; ``html()``, ``pdf()``, ``to_dict()``, ``fhir()`` and ``write(path)``. A visit
        without a range has a page too: it says why, and who can help.

    Raises
    ------
    FoldspanError
        E126 if the visits cannot be of one client in this order; E501 for an unknown option; E601
        as in ``reconcile``; E802 for a letter that the client did not agree to share.

    Examples
    --------
    >>> import foldspan
    >>> visit = foldspan.Visit.from_dict({
    ...     "client": {"sex": "female", "age_years": 41},
    ...     "mass_height": {"weight_kg": 71.3, "height_cm": 168.2},
    ... })
    >>> page = foldspan.report(visit, reader="client")
    >>> page.html().startswith("<!DOCTYPE html>")
    True
    """
    visits = _of_one_client(visit, *later)
    language = language or _usual_language(reader, practice)
    _check_options(reader, units, language, paper, agreed_to_share)
    settings = _settled(
        reference_method, conversion, with_disputed=with_disputed, as_printed=as_printed, local=local
    )  # fmt: skip
    material = Material(
        visit=visits[-1],
        **_explanations(reader, visits[-1], include_outside=include_outside, **settings),
        before=_before(visits[:-1], include_outside=include_outside, **settings),
        **_trend(visits, settings),
        # also where a visit gets no range, and so is no part of the trend
        is_careful=careful or any(visit.intake.has_eating_concern for visit in visits),
        was_asked=was_asked or visits[-1].intake.is_given,
        is_full=full,
        **_session(
            notes, not_taken, prepared, plan, agreed=agreed_to_share, agreed_anew=agreed_anew
        ),
        **_look(units, language, paper, practice),
        settings=f"{_named(settings)}, outside {include_outside}",
    )
    return Report(reader, material, PAGES[reader](material))


def _of_one_client(*visits: Visit) -> tuple[Visit, ...]:
    if not all(isinstance(visit, Visit) for visit in visits):
        raise TypeError("report takes visits: read them with Visit.from_file or Visit.from_dict")
    check_one_client(visits)
    return visits


def _usual_language(reader: str, practice: Practice | None) -> str:
    """Return the language of a page for which none is asked: staff and clinicians read English."""
    return (practice.language if practice and reader == "client" else "") or "en"


def _session(
    notes: Sequence[str],
    not_taken: Sequence[str],
    prepared: Mapping[str, bool] | None,
    plan: str,
    *,
    agreed: bool | None,
    agreed_anew: bool,
) -> dict[str, Any]:
    """Return what only a session knows."""
    return {
        "agreed": agreed,
        "agreed_anew": agreed_anew,
        "notes": tuple(notes),
        "not_taken": tuple(map(as_typed, not_taken)),
        "prepared": dict(prepared or {}),
        "plan": plan,
    }


def _look(units: str, language: str, paper: str, practice: Practice | None) -> dict[str, Any]:
    """Return what a page is written in and on, and for whom it speaks."""
    return {
        "units": UNITS[units],
        "language": LANGUAGES[language],
        "practice": practice,
        "paper": paper_of(paper, practice, units),
    }


def _before(
    visits: Sequence[Visit], **settings: Any
) -> tuple[tuple[Visit, Callable[[], Explanation]], ...]:
    """Return earlier visits with what explains them: a page tells none of it, a file of records does."""
    return tuple(
        (visit, partial(explained, visit, reader="client", **settings)) for visit in visits
    )


def _explanations(reader: str, visit: Visit, **settings: Any) -> dict[str, Any]:
    """Return the explanation that a page tells, and where that is not all, what returns the whole."""
    in_full = partial(explained, visit, **settings)
    return {"explanation": in_full(reader=reader), "in_full": in_full}


def _settled(reference_method: str, conversion: str, **more: Any) -> dict[str, Any]:
    """Return the settings of every answer of a page, with the reference method that they come to."""
    return {
        "reference_method": settings_for(reference_method, conversion, **more).reference_method,
        "conversion": conversion,
    } | more


def _named(settings: dict[str, Any]) -> dict[str, Any]:
    """Return the settings as they name what was worked out with them, but for what was not asked for."""
    silent = {"as_printed": False, "local": None}
    return {name: setting for name, setting in settings.items() if name not in silent or setting}


def _check_options(
    reader: str, units: str, language: str, paper: str, agreed_to_share: bool | None
) -> None:
    """Raise E501 for a word that is not known, or a language that the page is not written in.

    E802 for a letter that the client did not agree to share.
    """
    _one_of("reader", reader, tuple(PAGES))
    _one_of("units", units, tuple(UNITS))
    _one_of("language", language, tuple(LANGUAGES))
    _one_of("paper", paper, ("", *PAPERS))
    if language != "en" and reader != "client":
        remedy = "Leave the language out, or choose the client's page."
        raise FoldspanError([Problem("E501", "language", "is for the client's page only", remedy)])
    if agreed_to_share is False and reader == "clinician":
        raise FoldspanError([NOT_AGREED])


def _trend(visits: Sequence[Visit], settings: dict[str, Any]) -> dict[str, Any]:
    """Return the earlier visits that the last is held against, what changed, and who is no part of it.

    A visit that got no range, such as one in a pregnancy, is no part of a trend.
    """
    results = [(visit, reconcile(visit, **settings)) for visit in visits[:-1]]
    earlier = _compared(results, visits[-1])
    steps, whole = _changes([visit for visit, _ in earlier], visits[-1], settings)
    left_out = _left_out([pair for pair in results if pair not in earlier])
    return {"earlier": earlier, "steps": steps, "whole": whole, "left_out": left_out}


def _changes(
    before: Sequence[Visit], last: Visit, settings: dict[str, Any]
) -> tuple[tuple[ChangeResult | None, ...], ChangeResult | None]:
    """Return the change of each visit to the next and of all together; none without an answer."""
    if not before or (refusal_of(last) is not None and not _is_left_open(last)):
        return (), None
    every = [*before, last]
    steps = tuple(change(first, second, **settings) for first, second in pairwise(every))
    return steps, change(*every, **settings) if len(every) > 2 else steps[0]


def _compared(
    results: Sequence[tuple[Visit, Result]], last: Visit
) -> tuple[tuple[Visit, Result], ...]:
    """Return the earlier visits that the last is held against: with a range, or two answers each."""
    is_open = _is_left_open(last)
    return tuple(
        (visit, found) for visit, found in results if found.has_range or (is_open and found.by_sex)
    )


def _is_left_open(visit: Visit) -> bool:
    """Whether both answers stand side by side: what needs no equation can be compared all the same."""
    refusal = refusal_of(visit)
    return refusal is not None and refusal.code == SEX_LEFT_OPEN


def _left_out(results: Sequence[tuple[Visit, Result]]) -> tuple[tuple[date | None, Problem], ...]:
    """Return which visits get no range and so are no part of a trend, with the reason."""
    return tuple((visit.day, found.problems[0]) for visit, found in results)


def _one_of(name: str, given: str, words: tuple[str, ...]) -> None:
    if given not in words:
        known = [word for word in words if word]
        remedy = f"Use {', '.join(known[:-1])} or {known[-1]}."
        raise FoldspanError([Problem("E501", name, "unknown word", remedy, given)])
