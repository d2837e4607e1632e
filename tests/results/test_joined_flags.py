"""A loss that was told and the same loss seen between visits: every reader gets one flag of it."""

from __future__ import annotations

import random

import numpy as np
import pytest

import foldspan
from foldspan.cli.measuring.results import SessionResults, _results
from foldspan.cli.measuring.since import since_last
from foldspan.estimation.local_correction import LocalCorrection, SiteOffsets
from foldspan.interpretation.referral import Raised, raised_flags
from foldspan.results.joined_flags import joined_flags
from foldspan.results.spoken import Ground, SpokenFlag
from foldspan.standards.referral_rules import LEVELS, RULE_BY_CODE, RULES
from page_reading import READERS, read_html, visit

LOSS_REPORTED = {"earlier_weight_kg": 82.0, "earlier_weight_months_ago": 10.0, "loss_wanted": False}
BEFORE = visit(visit={"date": "2025-06-04"}, mass_height={"weight_kg": 82.0})
# told: 12 % in ten months; the scale says that it took three
LAST = visit(visit={"date": "2025-09-04"}, mass_height={"weight_kg": 72.0}, intake=LOSS_REPORTED)


def end() -> SessionResults:
    return SessionResults(
        LAST, foldspan.reconcile(LAST), (BEFORE,), since_last([BEFORE], LAST, {}), "metric", {}
    )


def spoken(flag: Raised) -> SpokenFlag:
    return SpokenFlag(flag.rule.code, flag.chance)


def test_both_rungs_are_raised_one_by_each() -> None:
    assert [flag.code for flag in foldspan.reconcile(LAST).flags] == ["loss_unplanned"]
    assert [flag.code for flag in foldspan.change(BEFORE, LAST).flags] == ["loss_fast"]


@pytest.mark.parametrize("reader", READERS)
def test_every_page_tells_the_loss_once(reader: str) -> None:
    report = foldspan.report(BEFORE, LAST, reader=reader)
    assert [flag.code for flag in report.material.flags] == ["loss_fast"]
    words = " ".join(read_html(report).words)
    lower = foldspan.reconcile(LAST).flags[0]
    for sentence in (lower.text, lower.for_client, lower.for_clinician):
        assert sentence not in words
    codes = [flag["code"] for flag in report.to_dict().get("flags", [])]
    assert [code for code in codes if code.startswith("loss_")] in ([], ["loss_fast"])


def test_the_end_of_a_session_tells_the_loss_once() -> None:
    assert [flag.code for flag in end().flags] == ["loss_fast"]
    shown = " ".join(_results(end(), "foldspan explain K-301:2").split())
    assert " ".join(foldspan.change(BEFORE, LAST).flags[0].text.split()) in shown
    assert " ".join(foldspan.reconcile(LAST).flags[0].text.split()) not in shown


@pytest.mark.parametrize("seed", range(200))
def test_joined_from_two_places_is_what_one_place_would_raise(seed: int) -> None:
    """Rules dealt out to two groups, each raised by itself and joined: as if never parted."""
    pick = random.Random(seed)
    chances = {
        rule.code: np.array([pick.choice((0.0, 0.2, 0.45, 0.6, 0.79, 0.8, 1.0))])
        for rule in pick.sample(RULES, pick.randint(1, len(RULES)))
    }
    here = set(pick.sample(sorted(chances), pick.randint(0, len(chances))))
    parts = [{code: chance for code, chance in chances.items() if (code in here) is side}
             for side in (True, False)]  # fmt: skip
    joined = joined_flags(*(tuple(map(spoken, raised_flags(part))) for part in parts))
    assert joined == tuple(map(spoken, raised_flags(chances)))
    levels = [LEVELS.index(flag.level) for flag in joined]
    assert levels == sorted(levels, reverse=True)
    ladders = [RULE_BY_CODE[flag.code].ladder for flag in joined]
    assert all(ladders.count(ladder) == 1 for ladder in ladders if ladder)


def test_a_flag_of_both_places_is_that_of_the_visit() -> None:
    reported, measured = (
        SpokenFlag("loss_fast", 1.0, (Ground(code),)) for code in ("told", "weight")
    )
    assert joined_flags((reported,), (measured,)) == (reported,)


def test_the_flags_of_a_loss_are_judged_with_the_settings_of_the_change() -> None:
    """ESPEN 2015: lean mass index below 15 in women. At a site that reads high, lean is more.

    Before, the flags of a loss went by the usual settings whatever was given.
    """
    trees = [
        {
            "client": {"sex": "female", "age_years": 41},
            "visit": {"date": day, "tester": "T-02"},
            "mass_height": {"weight_kg": weight, "height_cm": 168.0},
            "girths_cm": {"waist_midpoint": waist},
            "intake": {"earlier_weight_kg": weight + 1.0, "loss_wanted": False},
        }
        for day, weight, waist in (("2026-03-04", 62.0, 76.0), ("2026-09-04", 56.0, 71.0))
    ]
    visits = list(map(foldspan.Visit.from_dict, trees))
    families = ("girth", "mass_height", "waist_height")
    learnt = SiteOffsets(60, families, (12.0,) * 3, ((0.1,) * 3,) * 3, (1.0,) * 3)
    read_high = LocalCorrection("dxa", 60, {"female": learnt})
    usual = {flag.code for flag in foldspan.change(*visits).flags}
    corrected = {flag.code for flag in foldspan.change(*visits, local=read_high).flags}
    assert usual - corrected == {"lean_low_with_loss"}
