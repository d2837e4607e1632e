"""From a row: the parts of a visit that a row of a table makes, held to the checks of a visit file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from foldspan.intake.model import Intake
from foldspan.quantities import BY_NAME, Sex
from foldspan.visit.age import read_age
from foldspan.visit.client import note_unusual_for_men, read_family_background, read_sex
from foldspan.visit.keys import HOME_OF
from foldspan.visit.reader import SiteTree, TreeReader


@dataclass(frozen=True, slots=True, repr=False)
class RowFacts:
    """What a row of a table says of one client; ``sex`` and ``age_years`` None where not known.

    ``sites`` maps a quantity to its usable readings, in its unit, and whether they ran off the scale.
    """

    sex: Sex | None = None
    age_years: float | None = None
    code: str = ""
    tester: str = ""
    day: date | None = None
    ancestry: str = ""
    family_background: str = ""
    pregnant: bool = False
    athlete: bool = False
    sites: Mapping[str, tuple[tuple[float, ...], bool]] = field(default_factory=dict)
    intake: Intake = field(default_factory=Intake)


def parts_of_row(reader: TreeReader, row: RowFacts) -> dict[str, Any]:
    """Return the parts of a visit; problems go to the reader, as for the same client in a file."""
    sex = read_sex(reader, {"sex": row.sex})
    day = reader.day(row.day, "[visit] date")
    age = read_age(reader, {"age_years": row.age_years}, day, has_day=row.day is not None)
    if sex == "male":
        note_unusual_for_men(reader, _of_women(row))
    reader.asks_of(age, pregnant=row.pregnant)
    reader.asks_for_sites(bool(row.sites))
    sites: dict[str, SiteTree] = {}
    for name, (readings, is_at_least) in row.sites.items():
        site = _site(reader, name, readings, row.sex, is_at_least=is_at_least)
        if site is not None:
            sites[name] = site
    reader.hold_together(sites, sex, age)
    return {
        "client": {
            "sex": sex,
            "age_years": age,
            "code": reader.text(row.code, "[client] code"),
            "ancestry": row.ancestry,
            "family_background": read_family_background(
                reader, {"family_background": row.family_background}
            ),
            "pregnant": row.pregnant,
            "athlete": row.athlete,
        },
        "sites": sites,
        "day": day,
        "tester": reader.text(row.tester, "[visit] tester"),
        "intake": row.intake,
    }


def _of_women(row: RowFacts) -> Iterator[str]:
    """What was told that rarely goes with the equations for men."""
    if row.pregnant:
        yield "pregnant"
    if row.intake.birth_months_ago is not None:
        yield "birth_months_ago"
    if "periods_stopped" in row.intake.words:
        yield "periods_stopped"


def _site(
    reader: TreeReader,
    name: str,
    readings: tuple[float, ...],
    sex: Sex | None,
    *,
    is_at_least: bool,
) -> SiteTree | None:
    section, short = HOME_OF[name]
    place = f"[{section}] {short}"
    quantity, found = BY_NAME[name], []
    for here, value in zip(reader.places(place, len(readings)), readings, strict=True):
        kept = reader.in_span(value, quantity, here, sex, is_at_least=is_at_least)
        if kept is not None:
            found.append(kept)
    if not found or len(found) < len(readings):
        return None
    return reader.site_of(found, quantity, place, is_at_least=is_at_least)
