"""A table and two visits of each client say the same of what changed."""

from __future__ import annotations

import csv
import random
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import foldspan
from foldspan.estimation.batch import People
from foldspan.estimation.settings import settings_for
from foldspan.followup import like_with_like
from foldspan.followup.paired import changes_between
from foldspan.quantities import SEXES, Sex
from foldspan.results.case_of_visit import people_of
from foldspan.standards.referral_rules import RULE_BY_CODE

SITES = {
    "triceps_mm": 18.0, "biceps_mm": 9.0, "subscapular_mm": 17.0, "suprailiac_anterior_mm": 19.0,
    "abdominal_mm": 25.0, "thigh_mm": 24.0, "chest_mm": 12.0, "waist_midpoint_cm": 86.0,
    "abdomen_navel_cm": 90.0, "hip_cm": 100.0, "neck_cm": 37.0,
}  # fmt: skip
WANTED = ("", "yes", "no")
Row = dict[str, Any]


def pairs_of_rows(count: int, seed: str) -> list[tuple[Row, Row]]:
    """Invented clients in two years: what was measured, by whom and when differs between them."""
    pick = random.Random(seed)
    found = []
    for number in range(count):
        bmi, height = pick.uniform(17.5, 36.0), pick.uniform(152.0, 192.0)
        weight, size = bmi * (height / 100.0) ** 2, (bmi / 26.0) ** 0.5
        body = {name: mean * size * pick.uniform(0.8, 1.2) for name, mean in SITES.items()}
        age, share = pick.randint(19, 82), pick.choice([0.8, 0.9, 0.95, 0.97, 1.0, 1.02, 1.08])
        day = date(2025, 3, 4) + timedelta(days=pick.randrange(60))
        # a month, a quarter, half a year, a year
        later = day + timedelta(days=pick.choice([20, 30, 90, 180, 350, 365, 380]))
        is_dated = pick.random() < 0.85
        fixed = {"code": f"S-{number:03d}", "sex": pick.choice(SEXES), "loss_wanted": ""}
        rows = []
        for factor, when in ((1.0, day), (share, later)):
            row: Row = dict(fixed, age_years=age + (when - date(2025, 3, 1)).days // 365)
            row["date"] = when.isoformat() if is_dated else ""
            row["tester"] = pick.choice(["T-1", "T-1", "T-2", ""])
            row["athlete"] = "yes" if pick.random() < 0.1 else ""
            row["weight_kg"] = round(weight * factor, 1)
            lost = pick.choice([0.0, 0.4, 1.6, 4.0]) if factor != 1.0 else 0.0
            row["height_cm"] = round(height - lost, 1)
            for name, mean in body.items():
                value = round(mean * factor * pick.uniform(0.96, 1.04), 1)
                row[name] = value if pick.random() < 0.85 else ""
            rows.append(row)
        found.append((rows[0], rows[1]))
    return found


def visit_of(row: Row) -> foldspan.Visit:
    tree: dict[str, Any] = {
        "client": {"code": row["code"], "sex": row["sex"], "age_years": row["age_years"]},
        "visit": {key: row[key] for key in ("date", "tester") if row[key]},
        "mass_height": {"weight_kg": row["weight_kg"], "height_cm": row["height_cm"]},
        "skinfolds_mm": {n[:-3]: row[n] for n in SITES if n.endswith("mm") and row[n] != ""},
        "girths_cm": {n[:-3]: row[n] for n in SITES if n.endswith("cm") and row[n] != ""},
    }
    tree["client"]["athlete"] = row["athlete"] == "yes"
    tree = {key: lines for key, lines in tree.items() if lines}
    return foldspan.Visit.from_dict(tree, accept_unusual=True)


def batch_of(visits: list[foldspan.Visit], sex: Sex) -> People:
    """Visits of one sex as one batch."""
    each = [people_of(visit, sex) for visit in visits]
    named = {name for people in each for name in people.reading_se}
    return People(
        sex=sex,
        columns={
            name: np.concatenate([people.columns[name] for people in each])
            for name in each[0].columns
        },
        reading_se={
            name: np.concatenate([people.reading_se.get(name, np.zeros(1)) for people in each])
            for name in named
        },
        ancestry=np.concatenate([people.ancestry for people in each]),
    )


@pytest.mark.parametrize("method", ["dxa", "density"])
def test_many_pairs_at_once_agree_with_each_alone(method: str) -> None:
    """To 1e-9: the change, its error, the chance, the verdict, the weight, and what breaks it."""
    settings = settings_for(method, "siri1961")
    pairs = pairs_of_rows(40, "kernel")
    for sex in SEXES:
        visits = [[visit_of(row) for row in pair] for pair in pairs if pair[0]["sex"] == sex]
        earlier, later = (batch_of([two[k] for two in visits], sex) for k in (0, 1))
        days = [[visit.day for visit in two] for two in visits]
        weeks = np.array([(b - a).days / 7 if a and b else np.nan for a, b in days])
        same = np.array(
            [float(a.tester == b.tester) if a.tester and b.tester else np.nan for a, b in visits]
        )
        made = changes_between(earlier, later, settings, same_tester=same, weeks=weeks)
        for place, two in enumerate(visits):
            alone = foldspan.change(*two, reference_method=method).change
            for many, single in ((made.percent, alone.percent), (made.weight, alone.weight)):
                assert single is not None
                assert many.earlier[place] == pytest.approx(single.earlier, abs=1e-9)
                assert many.amount[place] == pytest.approx(single.amount, abs=1e-9)
                assert many.se[place] == pytest.approx(single.se, abs=1e-9)
                assert many.chance_of_fall[place] == pytest.approx(single.chance_of_fall, abs=1e-9)
                assert bool(many.is_real[place]) == single.is_real
                for z, span in ((1.2815515655, single.range_80), (1.9599639845, single.range_95)):
                    ends = [float(end[place]) for end in many.span(z)]
                    assert ends == pytest.approx(span, abs=1e-9)
            breaks = {code for code, here in made.breaks.items() if here[place]}
            assert breaks == set(alone.breaks), two[0].client.code


def written(path: Path, rows: list[Row]) -> str:
    with path.open("w", newline="", encoding="utf-8") as file:
        out = csv.DictWriter(file, list(rows[0]))
        out.writeheader()
        out.writerows(rows)
    return str(path)


def of_a_loss(codes: set[str]) -> set[str]:
    return {code for code in codes if RULE_BY_CODE[code].ladder in ("loss", "height")}


def test_a_table_says_of_every_row_what_change_says(tmp_path: Path) -> None:
    pairs = pairs_of_rows(120, "table")
    old = written(tmp_path / "old.csv", [before for before, _ in pairs])
    new = written(tmp_path / "new.csv", [now for _, now in reversed(pairs)])
    foldspan.screen_table(new, str(tmp_path / "out.csv"), before=old)
    with (tmp_path / "out.csv").open(newline="", encoding="utf-8") as file:
        rows = {row["code"]: row for row in csv.DictReader(file)}
    verdicts, flags = set(), set()
    for before, now in pairs:
        row, result = rows[now["code"]], foldspan.change(visit_of(before), visit_of(now))
        percent, weight = result.change.percent, result.change.weight
        assert percent is not None
        assert weight is not None
        assert row["not_compared"] == ""
        for name, value in (
            ("fat_percent_before", percent.earlier), ("fat_percent_change", percent.amount),
            ("fat_percent_change_se", percent.se), ("change_80_low", percent.range_80[0]),
            ("change_95_high", percent.range_95[1]), ("chance_of_fall", percent.chance_of_fall),
            ("weight_change_kg", weight.amount),
        ):  # fmt: skip
            assert float(row[name]) == pytest.approx(value, abs=0.00501), name
        way = ("up" if percent.amount > 0 else "down") if percent.is_real else "unclear"
        too_soon = "too_soon" in result.change.breaks
        assert row["change_verdict"] == ("too_soon" if too_soon else way)
        assert set(filter(None, row["change_notes"].split("; "))) - {"loss_undated"} == set(
            result.change.breaks
        )
        codes = {flag.code for flag in result.flags}
        if now["date"]:  # what has no date is judged by the rules that need none
            own = set(filter(None, row["flags"].split("; ")))
            assert of_a_loss(own) == of_a_loss(codes), now["code"]
        verdicts.add(row["change_verdict"])
        flags |= of_a_loss(codes)
    assert verdicts == {"down", "up", "unclear", "too_soon"}
    assert {"loss_not_asked", "loss_large_not_asked", "height_lost"} <= flags


def test_a_pair_gets_the_same_bits_alone_and_beside_others(monkeypatch: pytest.MonkeyPatch) -> None:
    """Also where the two visits of many are worked out one after the other."""
    settings = settings_for("dxa", "siri1961")
    pairs = [pair for pair in pairs_of_rows(30, "bits") if pair[0]["sex"] == "female"]
    visits = [[visit_of(row) for row in pair] for pair in pairs]
    earlier, later = (batch_of([two[k] for two in visits], "female") for k in (0, 1))

    def bits(rows: list[int]) -> list[bytes]:
        chosen, unknown = np.array(rows), np.full(len(rows), np.nan)
        made = changes_between(
            earlier.some(chosen), later.some(chosen), settings, same_tester=unknown, weeks=unknown
        )
        columns = np.array([made.percent.earlier, made.percent.amount, made.percent.se])
        return [column.tobytes() for column in columns.T]

    together = bits(list(range(len(visits))))
    assert len(set(together)) == len(visits) > 9
    assert [bit for row in range(len(visits)) for bit in bits([row])] == together
    assert bits([3, 1, 7]) == [together[row] for row in (3, 1, 7)]
    monkeypatch.setattr(like_with_like, "FEW", 0)
    assert bits(list(range(len(visits)))) == together


@pytest.mark.parametrize("method", ["dxa", "density"])
def test_a_local_correction_counts_alike_in_both(method: str, tmp_path: Path) -> None:
    """What a site learnt is taken off at both visits, and its spread widens both."""
    import pandas as pd

    weights = np.linspace(60.0, 100.0, 40)
    people = pd.DataFrame({
        "sex": ["male", "female"] * 20, "age_years": 40, "weight_kg": weights, "height_cm": 175.0,
        "waist_midpoint_cm": 60.0 + weights / 3.0, "reference_method": method,
        "reference_fat_percent": 4.0 + weights / 3.0,
    })  # fmt: skip
    people = pd.concat([people, people.assign(sex=people.sex[::-1].to_numpy())])
    local = foldspan.learn_correction(people).correction
    assert local is not None
    pairs = pairs_of_rows(12, "local")
    old = written(tmp_path / "old.csv", [before for before, _ in pairs])
    new = written(tmp_path / "new.csv", [now for _, now in pairs])
    how: dict[str, Any] = {"reference_method": method, "local": local}
    foldspan.screen_table(new, str(tmp_path / "out.csv"), before=old, **how)
    with (tmp_path / "out.csv").open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    for (before, now), row in zip(pairs, rows, strict=True):
        percent = foldspan.change(visit_of(before), visit_of(now), **how).change.percent
        plain = foldspan.change(visit_of(before), visit_of(now), reference_method=method)
        assert percent is not None
        assert plain.change.percent is not None
        assert abs(percent.earlier - plain.change.percent.earlier) > 0.02
        for name, value in (
            ("fat_percent_before", percent.earlier),
            ("fat_percent_change", percent.amount),
            ("fat_percent_change_se", percent.se),
        ):
            assert float(row[name]) == pytest.approx(value, abs=0.00501), name
