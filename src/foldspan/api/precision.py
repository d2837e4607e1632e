"""Precision of testers: from repeated readings to a ``PrecisionResult``."""

from __future__ import annotations

import math
import os
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.measurement.technical_error import (
    ENOUGH_CLIENTS,
    STUDY_CLIENTS,
    Digits,
    Precision,
    Repeat,
    as_table,
    between,
    is_too_alike,
    last_digits,
    systematic,
    total,
    within,
)
from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import BY_NAME, MEASURED
from foldspan.results.precision import PrecisionResult, Remark, SitePrecision

if TYPE_CHECKING:
    import pandas as pd

    from foldspan.tables.repeats import RepeatTable


def precision(
    repeats: Sequence[Repeat] | str | os.PathLike[str] | pd.DataFrame,
    *,
    names: Mapping[str, str] | None = None,
    units: Mapping[str, str] | None = None,
) -> PrecisionResult:
    """Calculate how well testers repeat their own and each other's readings.

    Parameters
    ----------
    repeats : sequence of Repeat, str, path or DataFrame
        Readings of one site, on one client, by one tester, at one visit. Several visits of one
        client by one tester count within that tester; such a client is not used between testers,
        because the visits may be on different days. Or a table, as a file or a frame: one row per
        client and tester, with ``code``, ``tester`` and a column for each reading, such as
        ``triceps_mm_1`` and ``triceps_mm_2``.
    names, units : mapping, optional
        Column in the file → name used here, and column in the file → unit of its bare numbers; for
        a file only.

    Returns
    -------
    PrecisionResult
        For each site, the technical error within each tester, between testers and in total; empty
        if nobody was measured twice.

    Raises
    ------
    FoldspanError
        E110 without readings, E115 for a name that is not a measured quantity, E106 or E107 for a
        reading that is not finite, zero or negative. For a table, E301 to E307 if it cannot be
        read, E404 if it is not a table, E401 without ``code``, E403 for a repeated column, E114 for
        ``suprailiac`` alone, E120 without readings, E122 for two rows of one client and tester,
        E501 for ``names`` or ``units`` with anything but a file.

    Examples
    --------
    >>> import foldspan
    >>> found = foldspan.precision([
    ...     foldspan.Repeat("K-101", "T-01", "triceps_mm", (10.0, 12.0)),
    ...     foldspan.Repeat("K-102", "T-01", "triceps_mm", (20.0, 20.0)),
    ... ])
    >>> found.sites["triceps_mm"].within["T-01"].tem
    1.0
    >>> foldspan.precision("examples/repeats.csv").testers
    ('T-01', 'T-02')
    """
    if isinstance(repeats, Sequence) and not isinstance(repeats, str):
        if names or units:
            raise FoldspanError([_FOR_A_FILE])
        return _precision(repeats)
    table = _read(repeats, names, units)
    return replace(_precision(table.repeats), problems=table.problems)


_FOR_A_FILE = Problem(
    "E501", "names, units", "are for a file", "Rename the columns, or give the path of a file."
)


def _read(
    table: str | os.PathLike[str] | pd.DataFrame,
    names: Mapping[str, str] | None,
    units: Mapping[str, str] | None,
) -> RepeatTable:
    from foldspan.tables.columns import Wanted
    from foldspan.tables.repeats import read_repeat_file, read_repeats

    if isinstance(table, str | os.PathLike):
        return read_repeat_file(os.fspath(table), Wanted(names or {}, units or {}))
    if names or units:
        raise FoldspanError([_FOR_A_FILE])
    return read_repeats(table)


def _precision(repeats: Sequence[Repeat]) -> PrecisionResult:
    """Return the errors of readings that came from anywhere."""
    problems = [problem for repeat in repeats for problem in _faults(repeat)]
    if problems:
        raise FoldspanError(problems)
    by_site: dict[str, list[Repeat]] = defaultdict(list)
    for repeat in repeats:
        by_site[repeat.quantity].append(repeat)
    sites: dict[str, SitePrecision] = {}
    counted: list[Repeat] = []
    alone: list[Repeat] = []
    for name in MEASURED:
        mine = by_site.get(name, [])
        shared = _shared(mine)
        used = [repeat for repeat in mine if len(repeat.readings) > 1 or repeat.code in shared]
        alone += [
            repeat for repeat in mine if len(repeat.readings) == 1 and repeat.code not in shared
        ]
        if used:
            counted += used
            sites[name] = _site(used, shared)
    digits = _digits(counted)
    return PrecisionResult(
        sites=sites,
        digits=digits,
        remarks=tuple(_remarks(sites, digits, counted, alone)),
        alone=tuple(alone),
        clients=len({repeat.code for repeat in counted}),
        testers=tuple(sorted({repeat.tester for repeat in counted})),
        readings=sum(len(repeat.readings) for repeat in counted),
    )


def _faults(repeat: Repeat) -> Iterable[Problem]:
    """What is wrong with readings that did not come through a table."""
    where, again = f"repeat of {repeat.quantity}", "Measure again, or leave it out."
    if repeat.quantity not in MEASURED:
        yield Problem("E115", where, "not a measured quantity", "Use names such as triceps_mm.")
    if not repeat.readings:
        yield Problem("E110", where, "no reading given", "Add one, or leave it out.")
    if not all(math.isfinite(reading) for reading in repeat.readings):
        yield Problem("E106", where, "not a finite number", again)
    elif any(reading <= 0.0 for reading in repeat.readings):
        yield Problem("E107", where, "zero or negative", again)


def _shared(mine: Sequence[Repeat]) -> set[str]:
    """Codes of the clients that two testers or more measured once each."""
    visits = Counter((repeat.code, repeat.tester) for repeat in mine)
    testers = Counter(code for code, _ in visits)
    several = {code for (code, _), count in visits.items() if count > 1}
    return {code for code, count in testers.items() if count > 1} - several


def _site(used: Sequence[Repeat], shared: set[str]) -> SitePrecision:
    found: dict[str, Precision] = {}
    for tester in sorted({repeat.tester for repeat in used}):
        own = [repeat for repeat in used if repeat.tester == tester and len(repeat.readings) > 1]
        error = within(as_table([repeat.readings for repeat in own])) if own else None
        if error is not None:
            found[tester] = replace(error, clients=len({repeat.code for repeat in own}))
    values = _values([repeat for repeat in used if repeat.code in shared])
    across = between(values)
    own_errors = [error for tester, error in found.items() if tester in values]
    return SitePrecision(found, across, total(own_errors, across), systematic(values))


def _values(shared: Sequence[Repeat]) -> dict[str, Array]:
    """Tester → accepted value of every shared client, NaN where not measured."""
    place = {code: row for row, code in enumerate(sorted({repeat.code for repeat in shared}))}
    testers = sorted({repeat.tester for repeat in shared})
    values = {tester: np.full(len(place), np.nan) for tester in testers}
    for repeat in shared:
        values[repeat.tester][place[repeat.code]] = repeat.accepted
    return values


def _digits(counted: Sequence[Repeat]) -> dict[str, dict[str, Digits]]:
    """Tester → unit → last digits: a calliper, a tape and a scale are read differently."""
    readings: dict[tuple[str, str], list[float]] = defaultdict(list)
    for repeat in counted:
        readings[repeat.tester, BY_NAME[repeat.quantity].unit] += repeat.readings
    found: dict[str, dict[str, Digits]] = {}
    for (tester, unit), values in sorted(readings.items()):
        digits = last_digits(values)
        if digits is not None:
            found.setdefault(tester, {})[unit] = digits
    return found


def _remarks(
    sites: Mapping[str, SitePrecision],
    digits: Mapping[str, Mapping[str, Digits]],
    counted: Sequence[Repeat],
    alone: Sequence[Repeat],
) -> Iterable[Remark]:
    """What to know, the gravest first."""
    errors = [
        (t, name, figure) for name, site in sites.items() for t, figure in site.within.items()
    ]
    for tester in sorted({tester for tester, _, _ in errors}):
        mine = {name: error for owner, name, error in errors if owner == tester}
        same = tuple(name for name, figure in mine.items() if is_too_alike(figure, name))
        if same:
            yield Remark("too_alike", tester, same)
    for tester, units in digits.items():
        for unit, reading in units.items():
            if reading.is_rounded:
                yield Remark("rounded", tester, (), reading.on_0_or_5, reading.readings, unit)
            elif reading.is_coarse:
                yield Remark("coarse", tester, (), int(10 * reading.step), reading.readings, unit)
    if any(site.between is not None for site in sites.values()):
        yield Remark("between_holds_within")
    several = Counter((repeat.code, repeat.tester, repeat.quantity) for repeat in counted)
    if several and max(several.values()) > 1 and len({repeat.tester for repeat in counted}) > 1:
        yield Remark("several_visits")
    if alone:
        yield Remark("alone", count=len(alone))
    if any(error.reliability is not None and error.reliability < 0.0 for _, _, error in errors):
        yield Remark("reliability_negative")
    if errors:
        least = min(error.clients for _, _, error in errors)
        if least < STUDY_CLIENTS:
            yield Remark("few_clients", count=least, of=STUDY_CLIENTS)
        yield from _handed_on(errors)
        yield Remark("one_visit_only")


def _handed_on(errors: Sequence[tuple[str, str, Precision]]) -> Iterable[Remark]:
    """Why errors are not handed on as a tester's own."""
    if any(not tester for tester, _, _ in errors):
        yield Remark("nobody_named")
    for tester in sorted({tester for tester, _, _ in errors} - {""}):
        few = [name for t, name, error in errors if t == tester and error.clients < ENOUGH_CLIENTS]
        if few:
            yield Remark("not_handed_on", tester, tuple(few), of=ENOUGH_CLIENTS)
