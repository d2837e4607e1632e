"""Findings: what the numbers tell and what the visit itself tells, each as a sentence."""

from __future__ import annotations

from collections.abc import Iterator

from foldspan.explanation.case import CaseAnalysis
from foldspan.explanation.findings import Finding, findings_for
from foldspan.results.result import SpokenFinding
from foldspan.text.en.reconcile import finding_sentence
from foldspan.text.en.repeats import allowed_words
from foldspan.visit.model import Visit

ODD_PAIR = "W125"


def spoken_findings(visit: Visit, analysis: CaseAnalysis) -> tuple[SpokenFinding, ...]:
    """Return every finding of a visit: the difference, then what to measure again, then the rest."""
    found = [*findings_for(analysis), *_of_the_visit(visit)]
    return tuple(
        SpokenFinding(finding.code, finding.points, _sentence(finding, visit)) for finding in found
    )


def _sentence(finding: Finding, visit: Visit) -> str:
    """A finding in words; where a third reading is missing, with the rule that asks for it."""
    said, manner = finding_sentence(finding), visit.how_taken
    if finding.code != "third_reading_missing":
        return said
    allowed = allowed_words(manner.repeat_rule, manner.girth_rule, finding.about)
    return f"{said} Two may differ by: {allowed}." if allowed else said


def _of_the_visit(visit: Visit) -> Iterator[Finding]:
    """What the readings and the manner of taking tell; none of it has a size."""
    sites = visit.accepted.values()
    for problem in visit.warnings:
        if problem.code == ODD_PAIR:
            yield Finding("rarely_together", None, tuple(problem.where.split(": ")[-1].split(", ")))
    for code, names in (
        ("third_reading_missing", tuple(site.name for site in sites if site.wants_third)),
        ("unsteady_reading", tuple(site.name for site in sites if site.is_unsteady)),
        ("scale_end", tuple(site.name for site in sites if site.is_at_least)),
        ("over_clothing", visit.how_taken.over_clothing),
        ("left_side", visit.how_taken.left_side),
        ("unusual_value", tuple(x.where for x in visit.doubts if x.code != ODD_PAIR)),
    ):
        if names:
            yield Finding(code, None, names)
