"""Flags by fat on density: a table works it out where a rule may be raised by it, and misses none."""

from __future__ import annotations

import numpy as np
import pyarrow as pa
import pytest

from foldspan.quantities import BY_NAME, MEASURED, SEXES
from foldspan.reference.population import reference_people
from foldspan.screening.batch import Plan, work_on_columns
from foldspan.tables import flags
from foldspan.tables.columns import layout_of

COUNT = 1500
OF_FAT = (b"fat_very_low", b"fat_near_minimum", b"lean_low", b"lean_low_with_loss")


def light_and_lean() -> dict[str, pa.Array]:
    """Columns of women and men, most of them lighter and leaner than usual, some with weight lost."""
    rng = np.random.default_rng(20261129)
    parts: dict[str, list[np.ndarray]] = {}
    for sex in SEXES:
        people = reference_people(sex)
        lean = rng.uniform(0.2, 1.1, COUNT)
        for name in (*MEASURED, "age_years"):
            values = people[name][:COUNT].copy()
            if name != "age_years":
                kind = BY_NAME[name].kind
                values *= lean if kind == "skinfold" else lean**0.2 if kind != "height" else 1.0
                values *= rng.normal(1.0, 0.02, COUNT)
                values = np.clip(values, *BY_NAME[name].possible(sex)).round(1)
                values[rng.random(COUNT) < (0.1 if kind in ("mass", "height") else 0.3)] = np.nan
            parts.setdefault(name, []).append(values)
    columns = {name: pa.array(np.concatenate(values)) for name, values in parts.items()}
    columns["age_years"] = pa.array(np.floor(np.concatenate(parts["age_years"])))
    columns["sex"] = pa.array(np.repeat(SEXES, COUNT))
    weight = np.concatenate(parts["weight_kg"])
    lost = np.where(rng.random(weight.size) < 0.3, 1.08, np.nan)
    columns["earlier_weight_kg"] = pa.array((weight * lost).round(1))
    columns["earlier_weight_months_ago"] = pa.array(np.where(np.isnan(lost), np.nan, 5.0))
    columns["loss_wanted"] = pa.array(
        np.where(np.isnan(lost), "", rng.choice(["yes", "no"], lost.size))
    )
    columns["athlete"] = pa.array(rng.choice(["yes", "no"], lost.size, p=[0.1, 0.9]))
    columns["ancestry"] = pa.array(
        rng.choice(["", "black", "chinese"], lost.size, p=[0.8, 0.1, 0.1])
    )
    return columns


@pytest.mark.parametrize("as_printed", [False, True])
def test_no_flag_is_missed_and_none_is_added(
    monkeypatch: pytest.MonkeyPatch, as_printed: bool
) -> None:
    columns = light_and_lean()
    plan = Plan(layout_of(list(columns)), reference_method="dxa", as_printed=as_printed)
    matters = flags.fat_matters
    asked: list[float] = []

    def watched(*given: object) -> np.ndarray:
        found = matters(*given)  # type: ignore[arg-type]
        asked.append(float(found.mean()))
        return found

    monkeypatch.setattr(flags, "fat_matters", watched)
    some = work_on_columns(plan, tuple(columns.values())).lines
    monkeypatch.setattr(
        flags, "fat_matters", lambda indices, *_: np.ones(indices.count, dtype=bool)
    )
    everybody = work_on_columns(plan, tuple(columns.values())).lines
    assert some == everybody
    assert min(asked) < 0.95  # somebody was left out, or the test says nothing
    for code in OF_FAT:
        assert code in some
