"""Both scales from one pass: each card is evaluated once, and the other scale is that of a run on it."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import Any

import numpy as np
import pyarrow as pa
import pytest

import foldspan
from crowds import MANY, SOME_MISSING, crowd, some_of
from foldspan.catalogue import conversion_by_key
from foldspan.catalogue.card import REFERENCE_METHODS, ReferenceMethod
from foldspan.estimation import pipeline, select_equations
from foldspan.estimation.batch import People
from foldspan.estimation.local_correction import LocalCorrection, SiteOffsets
from foldspan.estimation.pipeline import reconcile_people
from foldspan.estimation.settings import Settings
from foldspan.quantities import MEASURED, SEXES, Sex
from foldspan.reference.population import PEOPLE, reference_people

SETTINGS = {
    "plain": Settings(),
    "as printed": Settings(as_printed=True),
    "disputed cards too": Settings(with_disputed=True),
    "another conversion": Settings(conversion=conversion_by_key("brozek1963")),
}
ROUNDING = 1e-9


def other_than(reference_method: ReferenceMethod) -> ReferenceMethod:
    (other,) = set(REFERENCE_METHODS) - {reference_method}
    return other


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("missing", SOME_MISSING.values(), ids=list(SOME_MISSING))
@pytest.mark.parametrize("asked", SETTINGS)
@pytest.mark.parametrize("reference_method", REFERENCE_METHODS)
def test_the_other_scale_is_that_of_a_run_stated_on_it(
    sex: Sex, missing: float, asked: str, reference_method: ReferenceMethod
) -> None:
    rng = np.random.default_rng(5)
    people = some_of(crowd(sex, missing, variants=asked == "plain"), rng.integers(0, MANY, 700))
    settings = replace(SETTINGS[asked], reference_method=reference_method)
    again = replace(settings, reference_method=other_than(reference_method))
    answer = reconcile_people(
        settings.cards_for(sex), people, settings, every=False, both_references=True
    )
    assert answer.other is not None
    run = reconcile_people(again.cards_for(sex), people, again, every=False).combined
    for rows in (None, rng.permutation(700)[:90], np.array([3])):
        found = answer.other.combined(rows)
        assert np.isnan(found.q[found.dof > 0]).all()  # no verdict is made there
        for name in ("estimate", "se", "inflation"):
            expected = getattr(run, name) if rows is None else getattr(run, name)[rows]
            np.testing.assert_allclose(getattr(found, name), expected, rtol=0.0, atol=ROUNDING)


@pytest.mark.parametrize("sex", SEXES)
def test_what_is_asked_of_the_other_scale_changes_nothing_on_the_first(sex: Sex) -> None:
    people = some_of(crowd(sex, 0.33), np.arange(300))
    for every in (True, False):
        alone, both = (
            reconcile_people(
                Settings().cards_for(sex), people, every=every, both_references=both_references
            )
            for both_references in (False, True)
        )
        assert both.other is not None
        both.other.combined()
        for name in ("estimate", "se", "q", "inflation", "weights"):
            first, second = getattr(alone.combined, name), getattr(both.combined, name)
            assert np.array_equal(first, second, equal_nan=True), name
        assert np.array_equal(alone.covariance, both.covariance, equal_nan=True)
        assert np.array_equal(alone.flags, both.flags)


def test_a_correction_of_a_site_holds_on_its_own_scale_alone() -> None:
    offsets = SiteOffsets(60, ("girth",), (1.0,), ((1.0,),), (1.1,))
    local = LocalCorrection("dxa", 60, dict.fromkeys(SEXES, offsets))
    assert Settings(local=local).on_other_reference() == Settings(reference_method="density")


@pytest.fixture
def counted(monkeypatch: pytest.MonkeyPatch) -> Counter[str]:
    """How often a card is evaluated with its slopes, and a batch of people is bridged."""
    counter: Counter[str] = Counter()
    traced, bridged = select_equations.traced, pipeline.bridge_waists

    def tracing(card: Any, *more: Any) -> Any:
        counter[card.key] += 1
        return traced(card, *more)

    def bridging(*given: Any) -> Any:
        counter["runs"] += 1
        return bridged(*given)

    monkeypatch.setattr(select_equations, "traced", tracing)
    monkeypatch.setattr(pipeline, "bridge_waists", bridging)
    return counter


def test_a_visit_goes_through_the_kernel_once_for_both_scales(
    counted: Counter[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its findings are what-ifs, which go through it again; none of them is for the health bands."""
    from foldspan.results import build

    monkeypatch.setattr(build, "spoken_findings", lambda *_: ())
    visit = foldspan.Visit.from_file("examples/visit.toml")
    counted.clear()
    result = foldspan.reconcile(visit)
    scales = {band.reference_method for band in result.health.bands} if result.health else set()
    assert scales >= {"density", "dxa"}
    assert counted.pop("runs") == 1
    assert max(counted.values()) == 1, counted.most_common(3)


@pytest.mark.parametrize("reference_method", REFERENCE_METHODS)
def test_a_block_of_a_table_goes_through_the_kernel_once_for_each_sex(
    counted: Counter[str], reference_method: ReferenceMethod
) -> None:
    from foldspan.screening.batch import Plan, work_on_columns
    from foldspan.tables.columns import layout_of

    columns: dict[str, pa.Array] = {
        "sex": pa.array(["female", "male"] * 40),
        "age_years": pa.array(np.linspace(20.0, 70.0, 80)),
    }
    for sex in SEXES:
        people = some_of(crowd(sex, 0.0), np.arange(80))
        columns |= {
            name: pa.array(people.columns[name])
            for name in ("weight_kg", "height_cm", "waist_iliac_cm", "triceps_mm")
        }
    work_on_columns(
        Plan(layout_of(list(columns)), reference_method=reference_method), tuple(columns.values())
    )
    assert counted.pop("runs") == len(SEXES)
    # a card for both sexes once for each
    assert max(counted.values()) == len(SEXES)


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("missing", SOME_MISSING.values(), ids=list(SOME_MISSING))
@pytest.mark.parametrize("asked", SETTINGS)
def test_what_is_certain_holds_for_every_kind_of_people(
    sex: Sex, missing: float, asked: str
) -> None:
    people = crowd(sex, missing, variants=asked == "plain")
    settings = replace(SETTINGS[asked], reference_method="dxa")
    answer = reconcile_people(
        settings.cards_for(sex), people, settings, every=False, both_references=True
    )
    assert answer.other is not None
    certain, found = answer.other.certain(), answer.other.combined()
    known = np.isfinite(found.estimate)
    assert known.sum() > 0.3 * MANY
    assert (certain.low <= found.estimate)[known].all()
    assert (certain.high >= found.estimate)[known].all()
    assert (certain.least_se <= found.se)[known].all()
    assert (certain.most_se >= found.se)[known].all()


@pytest.mark.parametrize("sex", SEXES)
def test_what_is_certain_of_usual_bodies_is_narrow_enough_to_be_of_use(sex: Sex) -> None:
    """With the errors of readings that good testers make; the shares are ours."""
    people = usual_people(sex)
    answer = reconcile_people(Settings().cards_for(sex), people, every=False, both_references=True)
    assert answer.other is not None
    certain = answer.other.certain()
    assert np.median(certain.most_se) < 13.0
    assert np.median(certain.high - certain.low) < 9.0


def usual_people(sex: Sex) -> People:
    """The reference people, with readings that are off by one in a hundred."""
    columns = reference_people(sex)
    errors = {name: 0.01 * columns[name] for name in MEASURED}
    return People(sex, columns, errors, np.full(PEOPLE, "", dtype=object))
