"""What is worked out once for many people is, to the last bit, what is worked out for each alone."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pyarrow as pa
import pytest

from foldspan.catalogue.card import REFERENCE_METHODS
from foldspan.interpretation.classification import classified, likeliest
from foldspan.interpretation.indices import Indices
from foldspan.interpretation.measured import SURE_BEYOND, Measured, chance_below
from foldspan.measurement.plausibility import likely_unit
from foldspan.measurement.spans import MIXED_UP, likely_units, units_meant
from foldspan.numerics.normal import error_function
from foldspan.quantities import BY_NAME, MEASURED, SEXES, convert
from foldspan.standards import ALL_STANDARDS, STANDARD_BY_KEY
from foldspan.tables.bands import MEASURES, standards_for
from foldspan.tables.cells import TextRules, arrow_column
from foldspan.tables.clients import Clients
from foldspan.tables.findings import RowMarks
from foldspan.tables.intake import COLUMNS
from foldspan.tables.rows import Cells, Rows

WHO = STANDARD_BY_KEY["who2000_bmi"].limits


def test_far_from_a_limit_the_error_function_is_one_to_the_last_bit() -> None:
    """The complement of erf at 5.93 is under 5.5e-17, half of the last bit of 1 (exact series)."""
    assert math.erfc(SURE_BEYOND / math.sqrt(2.0)) < 2.0**-54
    edge = SURE_BEYOND / math.sqrt(2.0) * (1.0 - 1e-12)
    far = np.concatenate([np.linspace(edge, 40.0, 200_001), 10.0 ** np.arange(2, 309), [np.inf]])
    assert (error_function(far) == 1.0).all()
    assert (error_function(-far) == -1.0).all()


@pytest.mark.parametrize("error", [0.0, 5e-324, 1e-15, 0.02, 0.3, 3.0, 1e300, np.inf, np.nan])
def test_a_limit_asked_of_many_is_the_limit_asked_of_one(error: float) -> None:
    """Values far off, within reach, on its edge, on the limit, unknown and infinite."""
    away = np.array([0.0, 1.0, 5.9, 8.4, 8.499999, 8.5, 8.500001, 9.0, 40.0])
    with np.errstate(all="ignore"):
        near = [limit + sign * away * error for limit in WHO for sign in (1.0, -1.0)]
    values = np.concatenate(
        [*near, WHO, np.nextafter(WHO, 0.0), np.linspace(5.0, 90.0, 500), [np.nan, np.inf, -np.inf]]
    )
    errors = np.full(values.shape, error)
    for several in (Measured(values, errors).below_each(WHO), Measured(values, errors)):
        for place, limit in enumerate(WHO):
            asked = several.below(limit) if isinstance(several, Measured) else several[place]
            for value, chance in zip(values, asked, strict=True):
                alone = chance_below(limit, np.array([value]), np.array([error]))
                assert np.array_equal(alone, [chance], equal_nan=True), (limit, value)


def test_some_of_the_values_keep_what_was_asked_of_all() -> None:
    values, errors = np.linspace(14.0, 45.0, 300), np.full(300, 0.4)
    whole, rows = Measured(values, errors), np.array([7, 250, 3])
    asked = whole.below(25.0)
    assert whole.below(25.0) is asked
    part = whole.some(rows)
    assert part.below(25.0).tolist() == asked[rows].tolist()
    assert part.below(30.0).tolist() == whole.below(30.0)[rows].tolist()
    with pytest.raises(ValueError, match="read-only"):
        asked[0] = 1.0


def test_the_first_of_equally_likely_bands_is_the_likeliest() -> None:
    chances = np.random.default_rng(3).integers(0, 4, (8, 5_000)) / 4.0
    places, best = likeliest(chances)
    assert places.tolist() == chances.argmax(axis=0).tolist()
    assert best.tolist() == chances.max(axis=0).tolist()


@pytest.mark.parametrize("name", MEASURED)
def test_units_of_many_values_are_the_units_of_each(name: str) -> None:
    """Around every end of a span in every unit, and all over the scale."""
    quantity = BY_NAME[name]
    ends = [
        convert(end, quantity.unit, unit)
        for unit in MIXED_UP[quantity.unit]
        for end in quantity.plausible(None)
    ]
    values = np.concatenate(
        [
            np.multiply.outer(ends, 1.0 + np.arange(-5, 6) * 1e-10).ravel(),
            np.geomspace(1e-4, 1e6, 300),
        ]
    )
    low, high = quantity.plausible(None)
    units = units_meant(quantity)
    found = [units[place] for place in likely_units(values, quantity)]
    assert found == [
        next(
            (
                unit
                for unit in MIXED_UP[quantity.unit]
                if low <= convert(float(value), unit, quantity.unit) <= high
            ),
            "",
        )
        for value in values
    ]
    assert found == [likely_unit(float(value), quantity, None) for value in values]


def test_one_of_several_findings_is_numbered_like_one_after_the_other() -> None:
    rng = np.random.default_rng(5)
    together: RowMarks[str] = RowMarks(400)
    apart: RowMarks[str] = RowMarks(400)
    for _ in range(4):
        rows, places = rng.permutation(400)[:150], rng.integers(0, 3, 150)
        together.add_each(rows, places, ("a", "b", "c"))
        for place, found in enumerate("abc"):
            apart.add(rows[places == place], found)
    assert together.patterns == apart.patterns
    assert together.places.tolist() == apart.places.tolist()


@pytest.mark.parametrize("name", COLUMNS)
def test_an_empty_column_of_the_intake_tells_as_little_as_none(name: str) -> None:
    columns = {
        "sex": pa.array(["female", "male"]),
        "age_years": pa.array([41.0, 52.0]),
        "weight_kg": pa.array([71.0, 82.0]),
        "height_cm": pa.array([168.0, 180.0]),
    }
    read = []
    for given in (columns, columns | {name: pa.array(["", None], pa.string())}):
        units = {name: BY_NAME[name].unit if name in BY_NAME else "" for name in given}
        cells = {name: ((arrow_column(given[name]), unit),) for name, unit in units.items()}
        rows = Rows(Cells(2, cells, TextRules()))
        clients = Clients.read(rows)
        read.append((clients.reported.words, clients.reported.numbers, rows.marks.patterns))
    assert read[0] == read[1] == ({}, {}, [()])


def test_standards_that_are_asked_together_ask_for_the_same_measure() -> None:
    """One value a person is looked at, so the standards must mean the same by it."""
    together = [
        standards_for(reference_method)[measure]
        for reference_method in REFERENCE_METHODS
        for measure in MEASURES
    ]
    together += [
        tuple(row for row in ALL_STANDARDS if row.system == system)
        for system in {row.system for row in ALL_STANDARDS}
    ]
    for standards in together:
        for sex in SEXES:
            asked = {
                (row.measure, row.reference_method, row.waist_sites, row.labels)
                for row in standards
                if row.sex in (sex, "both")
            }
            assert len(asked) <= 1, asked


def test_a_standard_is_not_asked_of_those_it_is_not_for() -> None:
    """Averaged over people of no background that a standard names, it still leaves some out."""
    given = STANDARD_BY_KEY["gallagher2000_female_20_39_asian"]
    standards = (replace(given, backgrounds=("japanese",), not_for=("chinese",)),)
    bmi = Measured(np.full(3, 24.0), np.ones(3))
    names = np.array(["japanese", "chinese", "white"], dtype=object)
    fat = {"density": Measured(np.full(3, 30.0), np.ones(3))}
    indices = Indices("female", np.full(3, 30.0), names, {}, {}, bmi, fat, {})
    asked = [group.people.tolist() for group in classified(standards, indices)]
    assert asked == [[0, 2]]
