"""Findings: what the numbers tell and what the visit itself tells, each a code with its parameters."""

from __future__ import annotations

from collections.abc import Iterator

from foldspan.explanation.case import CaseAnalysis
from foldspan.explanation.decomposition import ORDINARY
from foldspan.explanation.findings import findings_for
from foldspan.results.spoken import SpokenFinding
from foldspan.visit.model import Visit

ODD_PAIR = "W125"


def spoken_findings(visit: Visit, analysis: CaseAnalysis) -> tuple[SpokenFinding, ...]:
    """Return every finding of a visit: the difference, then what to measure again, then the rest."""
    from_numbers = (
        SpokenFinding(
            finding.code,
            finding.points,
            finding.about,
            ordinary=ORDINARY * finding.detail.get("by_chance", 0.0),
            verdict=finding.verdict,
        )
        for finding in findings_for(analysis)
    )
    return (*from_numbers, *_of_the_visit(visit))


def _of_the_visit(visit: Visit) -> Iterator[SpokenFinding]:
    """What the readings and the manner of taking tell; none of it has a size."""
    sites, manner = visit.accepted.values(), visit.how_taken
    for problem in visit.warnings:
        if problem.code == ODD_PAIR:
            names = tuple(problem.where.split(": ")[-1].split(", "))
            yield SpokenFinding("rarely_together", None, names)
    missing = tuple(site.name for site in sites if site.wants_third)
    if missing:
        rules = manner.repeat_rule, manner.girth_rule
        yield SpokenFinding("third_reading_missing", None, missing, repeat_rules=rules)
    for code, names in (
        ("unsteady_reading", tuple(site.name for site in sites if site.is_unsteady)),
        ("scale_end", tuple(site.name for site in sites if site.is_at_least)),
        ("over_clothing", manner.over_clothing),
        ("left_side", manner.left_side),
        ("unusual_value", tuple(x.where for x in visit.doubts if x.code != ODD_PAIR)),
    ):
        if names:
            yield SpokenFinding(code, None, names)
