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
    """Tell how well testers repeat each other and themselves.

    Parameters
    ----------
    repeats : sequence of Repeat, str, path or DataFrame
        Readings of a client's site by a tester at one visit. Several visits of one client by one
        tester count within the tester; between testers such a client does not count, as the visits
        may be of different days. Or a table, as a file or a frame: one row a client and tester, with
        ``code``, ``tester`` and a column a reading such as ``triceps_mm_1`` and ``triceps_mm_2``.
    names, units : mapping, optional
        Given column → contract name, and given column → unit of its bare numbers; for a file only.

    Returns
    -------
    PrecisionResult
        Per site the technical error within each tester, between testers and in total; it is empty
        where nobody was measured twice.

    Raises
    ------
    FoldspanError
        E110 without readings, E115 for a name that is no measured quantity, E106 or E107 for a
        reading that is not finite, zero or negative. For a table E301 to E307 where it cannot be read,
        E404 if it is none, E401 without ``code``, E403 for a column twice, E114 for a bare
        ``suprailiac``, E120 without readings, E122 for two rows of one client and tester, E501 for
        ``names`` or ``units`` beside anything but a file.

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
    problems = [problem for one in repeats for problem in _faults(one)]
    if problems:
        raise FoldspanError(problems)
    by_site: dict[str, list[Repeat]] = defaultdict(list)
    for one in repeats:
        by_site[one.quantity].append(one)
    sites: dict[str, SitePrecision] = {}
    counted: list[Repeat] = []
    alone: list[Repeat] = []
    for name in MEASURED:
        mine = by_site.get(name, [])
        shared = _shared(mine)
        used = [one for one in mine if len(one.readings) > 1 or one.code in shared]
        alone += [one for one in mine if len(one.readings) == 1 and one.code not in shared]
        if used:
            counted += used
            sites[name] = _site(used, shared)
    digits = _digits(counted)
    return PrecisionResult(
        sites=sites,
        digits=digits,
        remarks=tuple(_remarks(sites, digits, counted, alone)),
        alone=tuple(alone),
        clients=len({one.code for one in counted}),
        testers=tuple(sorted({one.tester for one in counted})),
        readings=sum(len(one.readings) for one in counted),
    )


def _faults(one: Repeat) -> Iterable[Problem]:
    """What is wrong with readings that did not come through a table."""
    where, again = f"repeat of {one.quantity}", "Measure again, or leave it out."
    if one.quantity not in MEASURED:
        yield Problem("E115", where, "not a measured quantity", "Use names such as triceps_mm.")
    if not one.readings:
        yield Problem("E110", where, "no reading given", "Add one, or leave it out.")
    if not all(math.isfinite(reading) for reading in one.readings):
        yield Problem("E106", where, "not a finite number", again)
    elif any(reading <= 0.0 for reading in one.readings):
        yield Problem("E107", where, "zero or negative", again)


def _shared(mine: Sequence[Repeat]) -> set[str]:
    """Codes of the clients that two testers or more measured once each."""
    visits = Counter((one.code, one.tester) for one in mine)
    testers = Counter(code for code, _ in visits)
    several = {code for (code, _), count in visits.items() if count > 1}
    return {code for code, count in testers.items() if count > 1} - several


def _site(used: Sequence[Repeat], shared: set[str]) -> SitePrecision:
    found: dict[str, Precision] = {}
    for tester in sorted({one.tester for one in used}):
        own = [one for one in used if one.tester == tester and len(one.readings) > 1]
        error = within(as_table([one.readings for one in own])) if own else None
        if error is not None:
            found[tester] = replace(error, clients=len({one.code for one in own}))
    values = _values([one for one in used if one.code in shared])
    across = between(values)
    own_errors = [one for tester, one in found.items() if tester in values]
    return SitePrecision(found, across, total(own_errors, across), systematic(values))


def _values(shared: Sequence[Repeat]) -> dict[str, Array]:
    """Tester → accepted value of every shared client, NaN where not measured."""
    place = {code: row for row, code in enumerate(sorted({one.code for one in shared}))}
    testers = sorted({one.tester for one in shared})
    values = {tester: np.full(len(place), np.nan) for tester in testers}
    for one in shared:
        values[one.tester][place[one.code]] = one.accepted
    return values


def _digits(counted: Sequence[Repeat]) -> dict[str, dict[str, Digits]]:
    """Tester → unit → last digits: a calliper, a tape and a scale are read differently."""
    readings: dict[tuple[str, str], list[float]] = defaultdict(list)
    for one in counted:
        readings[one.tester, BY_NAME[one.quantity].unit] += one.readings
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
    errors = [(t, name, one) for name, site in sites.items() for t, one in site.within.items()]
    for tester in sorted({tester for tester, _, _ in errors}):
        mine = {name: one for owner, name, one in errors if owner == tester}
        same = tuple(name for name, one in mine.items() if is_too_alike(one, name))
        if same:
            yield Remark("too_alike", tester, same)
    for tester, units in digits.items():
        for unit, one in units.items():
            if one.is_rounded:
                yield Remark("rounded", tester, (), one.on_0_or_5, one.readings, unit)
            elif one.is_coarse:
                yield Remark("coarse", tester, (), int(10 * one.step), one.readings, unit)
    if any(site.between is not None for site in sites.values()):
        yield Remark("between_holds_within")
    several = Counter((one.code, one.tester, one.quantity) for one in counted)
    if several and max(several.values()) > 1 and len({one.tester for one in counted}) > 1:
        yield Remark("several_visits")
    if alone:
        yield Remark("alone", count=len(alone))
    if any(one.reliability is not None and one.reliability < 0.0 for _, _, one in errors):
        yield Remark("reliability_negative")
    if errors:
        least = min(one.clients for _, _, one in errors)
        if least < STUDY_CLIENTS:
            yield Remark("few_clients", count=least, of=STUDY_CLIENTS)
        yield from _handed_on(errors)
        yield Remark("one_visit_only")


def _handed_on(errors: Sequence[tuple[str, str, Precision]]) -> Iterable[Remark]:
    """Why errors are not handed on as a tester's own."""
    if any(not tester for tester, _, _ in errors):
        yield Remark("nobody_named")
    for tester in sorted({tester for tester, _, _ in errors} - {""}):
        few = [name for t, name, one in errors if t == tester and one.clients < ENOUGH_CLIENTS]
        if few:
            yield Remark("not_handed_on", tester, tuple(few), of=ENOUGH_CLIENTS)
