"""Row visit: what a row of a table says of one client, for the letter of somebody who is referred."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pyarrow as pa

from foldspan.intake.model import Intake
from foldspan.intake.rules import LISTS, MARKS
from foldspan.quantities import SEXES
from foldspan.tables.answers import Answers
from foldspan.visit.from_row import RowFacts
from foldspan.visit.keys import HOME_OF, LONGEST_CODE


def facts_of_row(answers: Answers, labels: dict[str, pa.Array], row: int) -> RowFacts:
    """Return what a row says of one client; readings are those that could be used."""
    clients = answers.clients
    age = float(clients.age[row])
    return RowFacts(
        sex=SEXES[clients.sexes[row]] if clients.sexes[row] >= 0 else None,
        age_years=None if np.isnan(age) else age,
        code=_label(labels, "code", row)[:LONGEST_CODE],
        tester=_label(labels, "tester", row)[:LONGEST_CODE],
        day=_day(_label(labels, "date", row)),
        ancestry=str(clients.ancestry.different[clients.ancestry.places[row]]),
        family_background=str(clients.background[row]),
        pregnant=bool(clients.is_pregnant[row]),
        athlete=bool(clients.athlete[row] > 0),
        sites=_sites(answers, row),
        intake=_intake(answers, row),
    )


def _label(labels: dict[str, pa.Array], name: str, row: int) -> str:
    return str(labels[name][row].as_py()).strip() if name in labels else ""


def _day(text: str) -> date | None:
    """The day of a row, where it is written as 2026-05-06."""
    try:
        return date.fromisoformat(text[:10])
    except ValueError:
        return None


def _sites(answers: Answers, row: int) -> dict[str, tuple[tuple[float, ...], bool]]:
    """Readings of every site, in the order of a visit file, and whether they ran off the scale."""
    sites = answers.clients.sites
    found = {}
    for name in HOME_OF:
        if name in sites and not np.isnan(sites[name].value[row]):
            taken = (float(reading[row]) for reading in answers.readings[name])
            readings = tuple(value for value in taken if not np.isnan(value))
            found[name] = (readings, bool(sites[name].at_least[row]))
    return found


def _intake(answers: Answers, row: int) -> Intake:
    reports = answers.clients.reported
    said = {word for word, mark in reports.words.items() if mark[row]}
    words = [word for known in LISTS.values() for word in sorted(said & set(known))]
    words += [mark for mark in MARKS if mark in said]
    reported = {name: float(values[row]) for name, values in reports.numbers.items()}
    numbers = {name: value for name, value in reported.items() if not np.isnan(value)}
    pressure = None
    if {"systolic", "diastolic"} <= set(numbers):
        pressure = numbers["systolic"], numbers["diastolic"]
    earlier = months = wanted = None
    if "loss_percent" in numbers:
        weight = float(answers.clients.sites["weight_kg"].value[row])
        earlier = round(weight / (1.0 - numbers["loss_percent"] / 100.0), 3)
        months = numbers.get("loss_months")
        wanted = bool(numbers["loss_wanted"]) if "loss_wanted" in numbers else None
    found = Intake(
        words=tuple(words),
        earlier_weight_kg=earlier,
        months_ago=months,
        loss_wanted=wanted,
        surgery_months_ago=numbers.get("surgery_months_ago"),
        birth_months_ago=numbers.get("birth_months_ago"),
        grip_kg=numbers.get("grip_kg"),
        pressure_mmhg=pressure,
    )
    return replace(found, is_given=found != Intake())
