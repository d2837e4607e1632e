"""Two thousand drawn clients without any slip or oddity: nobody is accused, and no build is named.

In one file, since drawing and searching them takes long and is done once.
"""

from __future__ import annotations

from collections import Counter

import pytest

from foldspan.explanation.case import CaseAnalysis
from foldspan.explanation.findings import findings_for
from foldspan.measurement.outlier_search import SUSPECT_FROM
from invented_clients import cases, consistent

BUILD_CODES = ("more_muscle", "less_muscle", "belly_fat", "fat_under_skin", "trunk_fat", "limb_fat")
MOST_ACCUSED = 0.05


@pytest.fixture(scope="module")
def named() -> dict[str, float]:
    """Share of the 2,000 consistent clients in whom each finding is named."""
    drawn = consistent()
    counts: Counter[str] = Counter()
    for case, (_, suspects) in zip(cases([client for client, _ in drawn]), drawn, strict=True):
        analysis = CaseAnalysis(case)
        vars(analysis)["suspects"] = suspects  # the same search, done before
        counts.update({finding.code for finding in findings_for(analysis)})
    return {code: count / len(drawn) for code, count in counts.items()}


@pytest.mark.parametrize("code", [*BUILD_CODES, "slip"])
def test_consistent_clients_are_rarely_accused(named: dict[str, float], code: str) -> None:
    """Of 2,000 drawn clients fewer than 1 in 20 for each reason (target of the design)."""
    shown = {code: named.get(code, 0.0) for code in (*BUILD_CODES, "slip")}
    assert named["families_apart"] > 0.95  # nearly all have two families that can differ
    assert shown[code] < 0.05, shown


def test_consistent_visits_are_rarely_accused() -> None:
    """2,000 drawn visits without a slip, however unusual the body; and each protocol by itself."""
    accused: dict[int, list[bool]] = {}
    for client, found in consistent():
        is_accused = bool(found) and found[0].gain >= SUSPECT_FROM
        accused.setdefault(len(client.readings), []).append(is_accused)
    assert min(map(len, accused.values())) >= 10  # a share of fewer says nothing
    shares = {sites: sum(marks) / len(marks) for sites, marks in accused.items()}
    assert sum(len(marks) for marks in accused.values()) == 2000
    assert max(shares.values()) < MOST_ACCUSED, shares
