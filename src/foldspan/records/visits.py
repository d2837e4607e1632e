"""Visits: one visit of the book as it stands now, with the corrections that were made to it.

A correction is an event beside the others: what was typed first stays in the book for good, with who
corrected it and why.
"""

from __future__ import annotations

import contextlib
import copy
import difflib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time
from typing import Any

from foldspan.intake.from_tree import INTAKE_KEYS
from foldspan.intake.rules import LISTS
from foldspan.measurement.accepted_values import OwnError
from foldspan.measurement.site_names import sites_named
from foldspan.problems import FoldspanError, Problem
from foldspan.protocol.repeat_rules import FORMER, USUAL
from foldspan.quantities import BY_NAME, MEASURED, WEEKS_A_MONTH
from foldspan.records.book import Book, Event
from foldspan.records.storage import damaged
from foldspan.session.answers import Known, LastVisit
from foldspan.session.sites import is_adaptive
from foldspan.session.state import STEPS, State, replayed
from foldspan.session.to_visit import reported_before, visit_tree
from foldspan.visit.how_taken import HOW_TAKEN_KEYS
from foldspan.visit.keys import CLIENT_KEYS, HOME_OF
from foldspan.visit.model import Visit

SESSION_EVENTS = (*STEPS, "undo", "note", "begun", "ended")
# lines of a visit that can be corrected beside its readings: name → section
LINES: dict[str, str] = {
    **dict.fromkeys(CLIENT_KEYS, "client"),
    **dict.fromkeys(("date", "time", "tester", "calliper"), "visit"),
    **dict.fromkeys(HOW_TAKEN_KEYS, "how_taken"),
    **dict.fromkeys(INTAKE_KEYS, "intake"),
}
# whatever events of another shape may raise while they are replayed
MISSHAPEN = (ArithmeticError, AttributeError, IndexError, KeyError, TypeError, ValueError)
LISTED = (*LISTS, "over_clothing", "left_side")


@dataclass(frozen=True, slots=True, repr=False)
class Correction:
    """One line or reading put right."""

    name: str
    """Name of the site or line."""
    turn: int
    """Which reading of the site [1 to 3], 0 for a line."""
    value: float | str | bool | list[str] | None
    """The correct value [unit of the visit file, or its own]; None removes it."""
    who: str
    """Code of the person who corrected."""
    why: str
    """The reason in a few words."""
    at: str = ""
    """Time of the correction, as recorded in the book."""


@dataclass(frozen=True, slots=True, repr=False)
class KeptVisit:
    """A visit of the book: its ``tree`` is that of a visit file, corrections applied.

    ``number`` counts the visits of this client, 1 for the first that was kept, 0 where it was not looked
    for; ``row`` is the number that the book itself knows it by. ``state`` is None for a visit that came
    from a file; ``begun`` the time of its first event.
    """

    number: int
    code: str
    begun: str
    tree: Mapping[str, Any]
    state: State | None
    corrections: tuple[Correction, ...] = ()
    has_ended: bool = True
    events: tuple[Event, ...] = field(default=())
    row: int = 0

    @property
    def day(self) -> str:
        """Day of the visit, that of its first event where none is noted."""
        return str(self.tree.get("visit", {}).get("date") or self.begun[:10])

    @property
    def facts(self) -> Mapping[str, Any]:
        """What its session began with, nothing for a visit that came from a file."""
        return {} if self.state is None else self.state.facts

    @property
    def calliper(self) -> str:
        """The word for the calliper, "" where it is not noted."""
        return str(self.tree.get("visit", {}).get("calliper", ""))

    @property
    def tester(self) -> str:
        """Code of the one who measured, "" where it is not noted."""
        return str(self.tree.get("visit", {}).get("tester", ""))

    def visit(self, own: Mapping[str, OwnError] | None = None) -> Visit:
        """Return it as a visit that can be reconciled; see ``visit_of``."""
        return visit_of(self.tree, where=f"visit {self.number}", own=own)


def visit_of(
    tree: Mapping[str, Any], *, where: str, own: Mapping[str, OwnError] | None = None
) -> Visit:
    """Return the tree of a kept visit as a visit; unusual values were confirmed when they were typed.

    A date ahead of today's is left out: the clock of this computer was set back since.

    Raises
    ------
    FoldspanError
        As ``Visit.from_dict``.
    """
    lines = tree.get("visit", {})
    if str(lines.get("date") or "") > date.today().isoformat():
        tree = {**tree, "visit": {key: value for key, value in lines.items() if key != "date"}}
    read = Visit.from_dict(tree, where=where, accept_unusual=True)
    return read.with_own_errors(own) if own else read


def kept_visit(book: Book, row: int, code: str, number: int = 0) -> KeptVisit:
    """Return the visit in a row of a book as it stands now; ``number`` is the client's own.

    Raises
    ------
    FoldspanError
        E702 where an event was tampered with or damaged, or is of a form that no session writes.
    """
    events = book.events(row)
    try:
        return as_it_stands(events, row, code, number)
    except MISSHAPEN:
        raise damaged(book.path) from None


def as_it_stands(events: Sequence[Event], row: int, code: str, number: int) -> KeptVisit:
    """Return what the events of a visit come to."""
    session = [(event.kind, event.body) for event in events if event.kind in SESSION_EVENTS]
    imported = [
        judged_by(event.body["tree"], event.body.get("rules", FORMER))
        for event in events
        if event.kind == "imported"
    ]
    state = None if imported else replayed(session)
    tree = copy.deepcopy(imported[0]) if imported or state is None else visit_tree(state)
    corrections = tuple(
        Correction(**event.body, at=event.at) for event in events if event.kind == "corrected"
    )
    for correction in corrections:
        tree = corrected(tree, correction)
    return KeptVisit(
        number, code, events[0].at if events else "", tree, state, corrections,
        state is None or state.has_ended, tuple(events), row,
    )  # fmt: skip


def judged_by(tree: Mapping[str, Any], rules: Mapping[str, str]) -> Mapping[str, Any]:
    """Return a visit that names the repeat rules of its time where they are not the usual ones today."""
    named = tree.get("how_taken", {})
    rest = {key: rule for key, rule in rules.items() if key not in named and rule != USUAL[key]}
    return {**tree, "how_taken": {**named, **rest}} if rest else tree


def kept_visits(book: Book, code: str, number: str = "") -> list[KeptVisit]:
    """Return a client's visits as they stand now, or the one whose number is given.

    Visits are numbered for their client, in the order in which the book keeps them.

    Raises
    ------
    FoldspanError
        E706 for a client or a visit that is not there, E702 where one is damaged.
    """
    rows = book.visits(code)
    numbers = range(1, len(rows) + 1)
    if number and number not in map(str, numbers):
        remedy = f"Visits of this client: {', '.join(map(str, numbers))}."
        what = "this client has no such visit"
        raise FoldspanError([Problem("E706", f"visit {number}", what, remedy)])
    numbered = zip(numbers, rows, strict=True)
    return [
        kept_visit(book, row, code, order) for order, row in numbered if number in ("", str(order))
    ]


def visits_before(book: Book, code: str, *, without: int = 0) -> list[Visit]:
    """Return the visits of a client that have ended and can be read, the earliest first.

    ``without`` is the row of the visit that is going on.
    """
    return [visit for _, visit in _readable_before(book, code, without)]


def _readable_before(book: Book, code: str, without: int) -> list[tuple[KeptVisit, Visit]]:
    ended = [
        visit
        for row, other in book.all_visits()
        if other == code and row != without
        and (visit := kept_visit(book, row, code)).has_ended
    ]  # fmt: skip
    found = []
    for visit in sorted(ended, key=lambda visit: visit.day):
        with contextlib.suppress(FoldspanError):
            found.append((visit, visit.visit()))
    return found


def last_visit(book: Book, code: str, today: date, *, without: int = 0) -> LastVisit | None:
    """Return what a client told and measured the time before, None where there is no such visit."""
    before = _readable_before(book, code, without)
    if not before:
        return None
    kept, visit = before[-1]
    weeks = None if visit.day is None else (today - visit.day).days / 7.0
    return LastVisit(
        values={name: site.value for name, site in visit.accepted.items()},
        weeks=weeks,
        reported=reported_at(kept, weeks),
        sex=visit.client.sex or "",
        age_years=visit.client.age_years,
        day=kept.day,
        visits=len(before),
    )


def reported_at(visit: KeptVisit, weeks: float | None) -> dict[str, Any]:
    """Return what was told at a visit and may still be so, with the plan it was measured by."""
    reported = reported_before(visit.tree, None if weeks is None else weeks / WEEKS_A_MONTH)
    known = visit.state.known if visit.state else None
    if known is None:
        return reported
    if "calliper" in known.answers:  # also where no word was given to it
        reported.setdefault("calliper", known.get("calliper"))
    if operated := known.get("operated"):
        reported["operated"] = operated
    if plan := known.get("plan"):
        reported["plan"] = _same_sites(known) if is_adaptive(known) else plan
    return reported


def _same_sites(known: Known) -> list[str]:
    """An adaptive plan with the sites that it chose and got: only what all visits have is compared."""
    plan = known.words("plan")
    got = [name for name in known.words("next") if known.value(1, name) is not None]
    named = [f"+{name}" for name in got if not {f"+{name}", f"-{name}"} & set(plan)]
    return [*plan, *named]


def corrected(tree: Mapping[str, Any], correction: Correction) -> dict[str, Any]:
    """Return the tree of a visit with one line or reading put right."""
    new = copy.deepcopy(dict(tree))
    if correction.name in LINES:
        section = new.setdefault(LINES[correction.name], {})
        if correction.value is None:
            section.pop(correction.name, None)
        else:
            section[correction.name] = correction.value
        return {name: lines for name, lines in new.items() if lines != {}}
    home, key = HOME_OF[correction.name]
    section = new.setdefault(home, {})
    given = section.get(key, [])
    readings = list(given) if isinstance(given, list) else [given]
    if not 1 <= correction.turn <= len(readings) + (correction.value is not None):
        taken = f"this site has {len(readings)} readings"
        remedy = "Give the number of one of them, or the next number to add one: --reading."
        raise FoldspanError([Problem("E706", f"reading {correction.turn}", taken, remedy)])
    readings[correction.turn - 1 : correction.turn] = (
        [] if correction.value is None else [correction.value]
    )
    if readings:
        section[key] = readings
    else:
        section.pop(key)
        _forget(new, key)
    return {name: lines for name, lines in new.items() if lines != {}}


def _forget(tree: dict[str, Any], site: str) -> None:
    """Take a site off the lists that speak of it, now that it has no reading."""
    tree.get("site_variants", {}).pop(site, None)
    for key in ("over_clothing", "left_side"):
        manner = tree.get("how_taken", {})
        if site in manner.get(key, []):
            manner[key] = [other for other in manner[key] if other != site]
            if not manner[key]:
                manner.pop(key)


def correct(book: Book, kept: KeptVisit, correction: Correction) -> None:
    """Add a correction to a visit, if the visit can still be read with it.

    Raises
    ------
    FoldspanError
        E705 while the session is not ended, E706 for a reading that is not there, else as
        ``Visit.from_dict``.
    """
    if not kept.has_ended:
        what, remedy = (
            "is not finished yet",
            "Continue with foldspan measure --resume, and use back SITE there.",
        )
        raise FoldspanError([Problem("E705", f"visit {kept.number}", what, remedy)])
    Visit.from_dict(corrected(kept.tree, correction), where="correction", accept_unusual=True)
    body = {key: getattr(correction, key) for key in ("name", "turn", "value", "who", "why")}
    code = str(correction.value) if correction.name == "code" and correction.value else None
    book.append(kept.row, "corrected", body, place=len(kept.events) + 1, code=code)


def correction_of(name: str, value: str, turn: int, *, who: str, why: str) -> Correction:
    """Return a correction from what was typed: a site by its short or full name, ``none`` to take out.

    Raises
    ------
    FoldspanError
        E115 for a name that is none, E120 where it is not said which reading, who, or why.
    """
    name = {"age": "age_years"}.get(name, name)
    sites = () if name in LINES else sites_named(name)
    name = sites[0] if len(sites) == 1 else name
    if len(sites) > 1:
        remedy = f"Type more of the name: {'; '.join(BY_NAME[site].label for site in sites)}."
        raise FoldspanError([Problem("E115", "NAME", "fits several sites", remedy, name)])
    if name not in LINES and name not in MEASURED:
        known = [*(BY_NAME[quantity].short_name for quantity in MEASURED), *LINES]
        near = difflib.get_close_matches(name, known, n=2)
        meant = f"Did you mean {' or '.join(near)}? " if near else ""
        remedy = f"{meant}Give a site as the visit file does, or one of {', '.join(LINES)}."
        raise FoldspanError([Problem("E115", "NAME", "unknown name", remedy, name)])
    is_reading = name in MEASURED
    for place, is_missing, remedy in (
        ("--reading", is_reading and turn == 0, "Say which reading: 1, 2 or 3."),
        ("--who", not who.strip(), "Give the code of the person correcting."),
        ("--why", not why.strip(), "Give a reason, in a few words."),
    ):
        if is_missing:
            raise FoldspanError([Problem("E120", place, "missing", remedy)])
    if value.strip().lower() == "none":
        return Correction(name, turn if is_reading else 0, None, who, why)
    return Correction(name, turn if is_reading else 0, _meant(name, value.strip()), who, why)


def _meant(name: str, text: str) -> float | str | bool | list[str]:
    """What was typed as a visit file would hold it: a list of words, a yes or no, a number, a text."""
    if name in LISTED:
        return [word.strip() for word in text.split(",") if word.strip()]
    if text.lower() in ("true", "false", "yes", "no"):
        return text.lower() in ("true", "yes")
    if name not in ("code", "tester", "calliper", "repeat_rule", "girth_rule"):
        with contextlib.suppress(ValueError):
            return float(text)
    return text


def take_in(book: Book, code: str, tree: Mapping[str, Any], where: str) -> int:
    """Put the tree of a visit file into the book; return the number of the visit for its client.

    Raises
    ------
    FoldspanError
        E120 where the file has no client's code, E122 where the same visit is already in the book.
    """
    if not code:
        remedy = 'Add code = "K-014" to [client].'
        raise FoldspanError([Problem("E120", f"{where}: [client] code", "missing", remedy)])
    given = plain(tree)
    visit_of(given, where=where)  # what is kept can be read again
    same = (given, judged_by(given, FORMER))
    known = {other for _, other in book.all_visits()}
    before = kept_visits(book, code) if code in known else []
    for visit in before:
        if visit.tree in same:
            remedy = f"Nothing was changed: it is visit {visit.number} of {code}."
            raise FoldspanError([Problem("E122", where, "is already in the book", remedy)])
    row = book.begin(code)
    book.append(row, "imported", {"tree": given, "rules": USUAL}, place=1)
    return len(before) + 1


def plain(tree: Any) -> Any:
    """Return the tree of a visit with dates and times as texts, as the book keeps it."""
    if isinstance(tree, Mapping):
        return {key: plain(value) for key, value in tree.items()}
    if isinstance(tree, list):
        return [plain(item) for item in tree]
    if isinstance(tree, datetime):
        return tree.date().isoformat()
    return tree.isoformat() if isinstance(tree, date | time) else tree
