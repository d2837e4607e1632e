"""Outcome: what a session or a visit of the book has come to: its visit, those before it, pages."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from foldspan.api.report import report
from foldspan.export.report import Report
from foldspan.measuring.beside import BesideVisits, beside_visits, moment
from foldspan.measuring.conducted import ConductedSession
from foldspan.practice.model import Practice
from foldspan.problems import FoldspanError, Problem
from foldspan.records.book import Book
from foldspan.records.tester_error import KeptRepeats, own_errors_of, repeats_of
from foldspan.records.visits import KeptVisit, kept_visits, visit_of
from foldspan.session.answers import read_sites
from foldspan.session.to_visit import visit_tree
from foldspan.visit.model import Visit


@dataclass(repr=False)
class Outcome:
    """What a visit has come to.

    Attributes
    ----------
    kept : KeptVisit
        The visit, also one that nothing keeps.
    visit : Visit
        The same, ready to be reconciled, with the tester's own errors where the book has them.
    earlier : tuple of Visit
        Visits of the client before it, the earliest first, each with the tester's own errors.
    beside : BesideVisits
        What all records of the client hold beside the readings.
    settings : mapping
        Settings of every answer: reference method, local correction, as printed.
    """

    kept: KeptVisit
    visit: Visit
    earlier: tuple[Visit, ...]
    beside: BesideVisits
    settings: Mapping[str, Any]
    practice: Practice | None = None
    _made: dict[tuple[Any, ...], Report] = field(default_factory=dict)

    @property
    def units(self) -> str:
        """Units of the session: ``metric`` or ``us``."""
        state = self.kept.state
        return "metric" if state is None else str(state.facts.get("units", "metric"))

    def page(self, reader: str, **options: Any) -> Report:
        """Return the page for one reader, made once; ``options`` as in ``report``.

        Raises
        ------
        FoldspanError
            As ``report``.
        """
        wanted = (reader, *sorted(options.items()))
        if wanted not in self._made:
            self._made[wanted] = self._report(reader, options)
        return self._made[wanted]

    def _report(self, reader: str, options: Mapping[str, Any]) -> Report:
        given: dict[str, Any] = {
            "reader": reader, "units": self.units, "practice": self.practice,
            **self.beside.for_report(), **self.settings, **options,
        }  # fmt: skip
        try:
            return report(*self.earlier, self.visit, **given)
        except FoldspanError as error:
            if not any(problem.code == "E126" for problem in error.problems):
                raise
            return report(self.visit, **given)  # visits that cannot be of one client are no trend


# facts that a session began with → settings of every answer
SettingsOf = Callable[[Mapping[str, Any]], Mapping[str, Any]]


def outcome_of_session(
    session: ConductedSession,
    practice: Practice | None = None,
    repeats: Sequence[KeptRepeats] | None = None,
) -> Outcome:
    """Return what a session has come to by its own settings, kept or not.

    ``repeats`` are those of the book where they are at hand; they are read else.

    Raises
    ------
    FoldspanError
        E120 where nothing was measured, else as ``Visit.from_dict``.
    """
    book, keeper, state = session.keeper.book, session.keeper, session.state
    if keeper.visit:
        return outcome_of_row(book, keeper.visit, lambda _: session.settings, practice, repeats)
    kept = KeptVisit(0, session.code, "", visit_tree(state), state)
    of_client = kept_visits(book, session.code) if session.code in _codes(book) else []
    return _outcome(
        repeats_of(book) if repeats is None else repeats,
        kept,
        of_client,
        session.settings,
        practice,
    )


def outcome_of_row(
    book: Book,
    row: int,
    settings_of: SettingsOf,
    practice: Practice | None = None,
    repeats: Sequence[KeptRepeats] | None = None,
) -> Outcome:
    """Return what the visit in a row of the book has come to.

    ``settings_of`` gives the settings for the facts its session began with; ``repeats`` as in
    ``outcome_of_session``.

    Raises
    ------
    FoldspanError
        E706 for a visit that is not there, E120 where nothing was measured, else as ``Visit.from_dict``.
    """
    owners = dict(book.all_visits())
    if row not in owners:
        remedy = "It may have been deleted. Clients are listed under Today."
        raise FoldspanError([Problem("E706", "Visit", "is not in the book", remedy)])
    of_client = kept_visits(book, owners[row])
    kept = next(visit for visit in of_client if visit.row == row)
    others = [visit for visit in of_client if visit.row != row]
    settings = settings_of(kept.facts)
    return _outcome(
        repeats_of(book) if repeats is None else repeats, kept, others, settings, practice
    )


def _outcome(
    repeats: Sequence[KeptRepeats],
    kept: KeptVisit,
    others: Sequence[KeptVisit],
    settings: Mapping[str, Any],
    practice: Practice | None,
) -> Outcome:
    if kept.state is not None and not read_sites(kept.state.known):
        remedy = "Continue the session, or start a new one."
        raise FoldspanError([Problem("E120", "Visit", "nothing was measured", remedy)])
    own = own_errors_of(repeats, kept)
    visit = visit_of(kept.tree, where="this visit", own=own)
    earlier = []
    for other in sorted(others, key=moment):
        if other.has_ended and moment(other) < moment(kept):
            with contextlib.suppress(FoldspanError):
                earlier.append(other.visit(own_errors_of(repeats, other)))
    beside = beside_visits([*others, kept], kept)
    return Outcome(kept, visit, tuple(earlier), beside, settings, practice)


def _codes(book: Book) -> set[str]:
    return {code for _, code in book.all_visits()}
