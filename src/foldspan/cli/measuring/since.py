"""Beside the range at the end of a session: what to say aloud, and what changed since last time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from foldspan.cli.lines import bullet, wrap
from foldspan.display_units import UNITS
from foldspan.problems import FoldspanError
from foldspan.results.change import ChangeResult
from foldspan.results.result import Result
from foldspan.results.spoken import SpokenFlag
from foldspan.text.aloud import aloud_sentences
from foldspan.text.catalogue import ENGLISH, Language
from foldspan.text.change import BEYOND_ERROR, break_sentences, fat_sentences, span_words
from foldspan.text.en.reconcile import capital
from foldspan.text.raw_changes import changes_shown, raw_changes
from foldspan.visit.model import Visit

SAY_ALOUD = "What you can say to the client"
NOT_COMPARED = "This visit cannot be compared with the last one ({day}): {why}."
AGREEING = ("agree", "single")


@dataclass(frozen=True, slots=True, repr=False)
class SinceLastVisit:
    """The last visit of a client before this one, and what changed; None where it cannot be told."""

    before: Visit
    change: ChangeResult | None
    why_not: str = ""

    @property
    def flags(self) -> tuple[SpokenFlag, ...]:
        """Flags of a loss of weight since then."""
        return () if self.change is None else self.change.flags


def since_last(
    earlier: Sequence[Visit], visit: Visit, settings: Mapping[str, Any]
) -> SinceLastVisit | None:
    """Return what changed since the last of the earlier visits, None where there is none."""
    if not earlier:
        return None
    from foldspan.api.change import change

    try:
        return SinceLastVisit(earlier[-1], change(earlier[-1], visit, **settings))
    except FoldspanError as error:
        return SinceLastVisit(earlier[-1], None, error.problems[0].what)


def aloud_part(
    visit: Visit, result: Result, settings: Mapping[str, Any], language: Language = ENGLISH
) -> str:
    """Return one sentence for each disagreement, to be said to the client, "" where there is none."""
    if result.verdict in AGREEING:
        return ""
    from foldspan.api.explain import explain

    estimates = {family.method: family.estimate for family in result.methods}
    lines = aloud_sentences(explain(visit, **settings).pairs, estimates, language)
    return "\n".join([wrap(SAY_ALOUD), *map(bullet, lines)]) if lines else ""


def since_part(since: SinceLastVisit, units: str) -> str:
    """Return what changed since the last visit: fat, weight, folds, waist, and what breaks it."""
    day = str(since.before.day or "no date")
    if since.change is None:
        return wrap(NOT_COMPARED.format(day=day, why=since.why_not))
    change = since.change.change
    lines = fat_sentences(since.change)
    per, unit = UNITS[units].per_mass, UNITS[units].mass
    for name, difference in (("Weight", change.weight), ("Fat mass", change.fat_mass)):
        if difference is not None:
            shown = replace(
                difference,
                earlier=difference.earlier / per,
                later=difference.later / per,
                se=difference.se / per,
            )
            real = f"; {BEYOND_ERROR}" if difference.is_real else ""
            lines.append(
                f"{name}: {shown.earlier:.1f} to {shown.later:.1f} {unit}:"
                f" {span_words(shown, unit)}{real}."
            )
    raw = changes_shown(raw_changes(change, UNITS[units]))
    lines += [f"{capital(row.label)}: {row.line()}." for row in raw]
    lines += break_sentences(change)
    return "\n".join([f"Since the last visit, {day}", *map(bullet, lines)])
