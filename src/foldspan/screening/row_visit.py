"""Row visit: a row of a table as the tree of a visit, for the letter of somebody who is referred."""

from __future__ import annotations

from datetime import date
from typing import Any

import numpy as np
import pyarrow as pa

from foldspan.catalogue.card import Array
from foldspan.intake.rules import LISTS, MARKS
from foldspan.quantities import BY_NAME, SEXES
from foldspan.tables.answers import Answers
from foldspan.visit.reader import LONGEST_CODE, SECTION_UNIT, SECTIONS

# numbers of the intake that a visit file tells by the same name
_SAME = ("surgery_months_ago", "birth_months_ago", "grip_kg")


def row_trees(
    answers: Answers, labels: dict[str, pa.Array], rows: Array
) -> tuple[tuple[int, dict[str, Any]], ...]:
    """Return the visit trees of some rows, each with the number of its row.

    Readings are those that could be used.
    """
    return tuple((int(row), _tree(answers, labels, int(row))) for row in rows)


def _tree(answers: Answers, labels: dict[str, pa.Array], row: int) -> dict[str, Any]:
    clients = answers.clients
    client: dict[str, Any] = {}
    if clients.sexes[row] >= 0:
        client["sex"] = SEXES[clients.sexes[row]]
    if not np.isnan(clients.age[row]):
        client["age_years"] = float(clients.age[row])
    if ancestry := clients.ancestry.different[clients.ancestry.places[row]]:
        client["ancestry"] = ancestry
    if background := str(clients.background[row]):
        client["family_background"] = background
    if clients.athlete[row] > 0:
        client["athlete"] = True
    client |= {"pregnant": True} if clients.is_pregnant[row] else {}
    tree: dict[str, Any] = {"client": client, "visit": {}}
    for name, home, key in (("code", "client", "code"), ("tester", "visit", "tester")):
        text = labels[name][row].as_py() if name in labels else ""
        if text.strip():
            tree[home][key] = text.strip()[:LONGEST_CODE]
    if (day := _day(labels["date"][row].as_py() if "date" in labels else "")) is not None:
        tree["visit"]["date"] = day
    tree |= _measurements(answers, row)
    intake = _intake(answers, row)
    return tree | ({"intake": intake} if intake else {})


def _day(text: str) -> date | None:
    """The day of a row, where it is written as 2026-05-06."""
    try:
        return date.fromisoformat(text.strip()[:10])
    except ValueError:
        return None


def _measurements(answers: Answers, row: int) -> dict[str, dict[str, Any]]:
    sections: dict[str, dict[str, Any]] = {}
    sites = answers.clients.sites
    for section, names in SECTIONS.items():
        for short in names:
            name = f"{short}{SECTION_UNIT[section]}"
            if name not in sites or np.isnan(sites[name].value[row]):
                continue
            taken = [
                float(reading[row])
                for reading in answers.readings[name]
                if not np.isnan(reading[row])
            ]
            ended = bool(sites[name].at_least[row])
            unit = BY_NAME[name].unit
            texts = [f"{value:g}+" if ended and unit == "mm" else value for value in taken]
            sections.setdefault(section, {})[short] = texts
    return sections


def _intake(answers: Answers, row: int) -> dict[str, Any]:
    reports = answers.clients.reported
    words = {word for word, mark in reports.words.items() if mark[row]}
    intake: dict[str, Any] = {
        name: some for name, known in LISTS.items() if (some := sorted(words & set(known)))
    }
    intake |= {name: True for name in MARKS if name in words}
    numbers = {name: float(values[row]) for name, values in reports.numbers.items()}
    known = {name: value for name, value in numbers.items() if not np.isnan(value)}
    intake |= {name: known[name] for name in _SAME if name in known}
    if {"systolic", "diastolic"} <= set(known):
        intake["blood_pressure_mmhg"] = [known["systolic"], known["diastolic"]]
    if "loss_percent" in known:
        weight = float(answers.clients.sites["weight_kg"].value[row])
        intake["earlier_weight_kg"] = round(weight / (1.0 - known["loss_percent"] / 100.0), 3)
        if "loss_months" in known:
            intake["earlier_weight_months_ago"] = known["loss_months"]
        if "loss_wanted" in known:
            intake["loss_wanted"] = bool(known["loss_wanted"])
    return intake
