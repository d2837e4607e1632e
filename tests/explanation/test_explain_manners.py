"""What explanations keep to: errors of one body are shared, intimate sites seldom, reasons of weight."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

import foldspan
from foldspan.catalogue.card import FAMILIES
from foldspan.cli.printed.explain import trainer_page
from foldspan.estimation.settings import Settings
from foldspan.explanation.next_measurement import NextMeasurement
from foldspan.external.combine import join
from foldspan.protocol.outside_methods import OUTSIDE_BY_KEY
from foldspan.results.case_of_visit import case_of, placed_outside
from foldspan.results.explanation import Explanation
from foldspan.results.spoken import SpokenFinding
from foldspan.text.client_message import client_words
from foldspan.text.en.client import CLIENT_REASONS
from foldspan.visit.model import Visit

EXAMPLES = Path(__file__).parents[2] / "examples"


def visit_of(name: str) -> Visit:
    return Visit.from_file(str(EXAMPLES / f"{name}.toml"))


def with_callipers(method: str) -> Visit:
    """The example visit with one result from elsewhere, of the same day and weight."""
    plain = visit_of("visit")
    tree = {
        "client": {"code": "K-014", "sex": plain.client.sex, "age_years": plain.client.age_years},
        "visit": {"date": "2026-03-04"},
        "mass_height": {"weight_kg": 71.3, "height_cm": 168.2},
        "skinfolds_mm": {"triceps": 21.0, "suprailiac_anterior": 18.0, "thigh": 31.0},
        "girths_cm": {"waist_iliac": 86.0},
        "outside_results": [{"method": method, "fat_percent": 30.0, "date": "2026-03-04"}],
    }
    return Visit.from_dict(tree)


@pytest.mark.parametrize("method", ["other_callipers", "underwater_weighing"])
def test_other_callipers_share_half_their_error_with_the_visits_own_folds(method: str) -> None:
    """Weights of the smallest variance for two correlated numbers, by hand."""
    visit = with_callipers(method)
    case = case_of(visit, Settings(reference_method="density"))
    answer, folds = case.answer, FAMILIES.index("skinfold")
    error, se = OUTSIDE_BY_KEY[method].error, float(answer.combined.se[0])
    own_folds = answer.combined.weights[folds, 0] * answer.covariance[0, folds, folds] ** 0.5
    assert own_folds > 0.5
    shared = 0.5 * error * own_folds if method == "other_callipers" else 0.0
    total = se**2 + error**2 - 2.0 * shared
    joined = join(answer, case.settings, placed_outside(visit, case))
    assert joined.own == pytest.approx((error**2 - shared) / total, rel=1e-9)
    variance = (se**2 * error**2 - shared**2) / total
    assert joined.se == pytest.approx(variance**0.5 * joined.inflation, rel=1e-9)


def offering(explanation: Explanation, site: str, narrower_by: float) -> Explanation:
    """The explanation with one offer of what to measure next."""
    offer = NextMeasurement((site,), 12.0, 12.0 - narrower_by, 1.0, ("chest",), {"agree": 1.0})
    return replace(explanation, next_measurements=(offer,))


@pytest.mark.parametrize(
    ("name", "site", "narrower_by", "shown"),
    [
        ("visit", "breast_girth_cm", 1.0, False),
        ("visit", "breast_girth_cm", 2.0, True),
        ("visit", "forearm_girth_cm", 1.0, True),
        ("strong_build", "chest_girth_cm", 1.0, True),
    ],
)
def test_women_are_offered_intimate_sites_only_where_they_tell_much(
    name: str, site: str, narrower_by: float, shown: bool
) -> None:
    visit = visit_of(name)
    page = trainer_page(visit, offering(foldspan.explain(visit), site, narrower_by))
    assert (f"narrows the range by {narrower_by:.1f} points" in " ".join(page.split())) == shown


@pytest.mark.parametrize(("site", "offered"), [("chest_mm", False), ("triceps_mm", True)])
def test_the_clients_page_never_offers_an_intimate_site(site: str, offered: bool) -> None:
    text = client_words(offering(foldspan.explain(visit_of("visit")), site, 3.0))
    assert ("Next time we could also measure" in text) == offered


@pytest.mark.parametrize(
    ("points", "is_given"), [(7.4, True), (3.5, True), (3.0, False), (-6.0, False)]
)
def test_the_client_hears_reasons_that_make_a_quarter_of_the_difference(
    points: float, is_given: bool
) -> None:
    """Folds and weight for height stand 13.7 points apart in this example: a quarter is 3.4."""
    explanation = foldspan.explain(visit_of("strong_build"))
    finding = SpokenFinding("more_muscle", points)
    result = replace(explanation.result, findings=(finding,))
    text = client_words(replace(explanation, result=result))
    assert (CLIENT_REASONS["more_muscle"] in text) == is_given
