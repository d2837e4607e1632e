"""Export: a whole client as JSON or CSV, and one visit as a visit file."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Mapping, Sequence
from contextlib import suppress
from datetime import date
from typing import Any

import tomli_w

from foldspan.intake.from_tree import INTAKE_KEYS
from foldspan.problems import FoldspanError
from foldspan.quantities import BY_NAME
from foldspan.records.visits import KeptVisit
from foldspan.visit.how_taken import HOW_TAKEN_KEYS
from foldspan.visit.keys import CLIENT_KEYS, SECTIONS, SITE_VARIANTS, VISIT_KEYS
from foldspan.visit.model import Visit

SCHEMA_VERSION = 1
COLUMNS = (
    "code",
    "visit",
    "date",
    "tester",
    "quantity",
    "unit",
    "reading",
    "value",
    "typed",
    "remark",
)


# lines of a visit file in the order in which people write them
ORDER: dict[str, tuple[str, ...]] = {
    "client": CLIENT_KEYS,
    "visit": VISIT_KEYS,
    **SECTIONS,
    "site_variants": tuple(SITE_VARIANTS),
    "how_taken": HOW_TAKEN_KEYS,
    "intake": INTAKE_KEYS,
    "outside_results": (),
}
DATES = ("date", "earlier_weight_date", "birth_date")


def client_json(code: str, name: str, visits: Sequence[KeptVisit], *, is_whole: bool = True) -> str:
    """Return all that is kept of a client: each visit as a visit file's tree, and every event of it.

    ``foldspan records import`` takes it in again. One visit alone has no number: in another book it will
    have another one.
    """
    tree: dict[str, Any] = {"schema_version": SCHEMA_VERSION, "code": code}
    tree |= {"name": name} if name else {}
    tree["visits"] = [
        {
            **({"visit": visit.number} if is_whole else {}),
            "has_ended": visit.has_ended,
            "as_it_stands": visit.tree,
            "events": [
                {"place": event.place, "at": event.at, "kind": event.kind, "body": event.body}
                for event in visit.events
            ],
        }
        for visit in visits
    ]
    return json.dumps(tree, indent=2, ensure_ascii=False)


def client_csv(code: str, visits: Sequence[KeptVisit]) -> str:
    """Return every reading of a client as it stands, one a line, in canonical units."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for visit in visits:
        writer.writerows(_rows(code, visit))
    return out.getvalue()


def _rows(code: str, kept: KeptVisit) -> list[list[object]]:
    """Lines of one visit; one that cannot be read as it stands is a line with that remark."""
    head: list[object] = [code, kept.number, kept.day, kept.tester]
    try:
        visit: Visit = kept.visit()
    except FoldspanError:
        return [[*head, "", "", "", "", "", "cannot be read; the .json contains everything"]]
    left = visit.how_taken.left_side
    rows: list[list[object]] = []
    for name, site in visit.sites.items():
        remarks = ["left side"] if name in left else []
        remarks += ["over clothing"] if name in visit.how_taken.over_clothing else []
        remarks += ["at the end of the calliper's scale"] if site.is_at_least else []
        for turn, value in enumerate(site.readings, start=1):
            typed = _typed(kept, name, turn)
            rows.append([*head, name, BY_NAME[name].unit, turn, value, typed, "; ".join(remarks)])
    return rows


def _typed(visit: KeptVisit, name: str, turn: int) -> str:
    """What was typed at the keyboard, "" where it came from a file or was corrected since."""
    fixed = any(each.name == name for each in visit.corrections)
    answer = None if visit.state is None or fixed else visit.state.known.get(f"{turn}.{name}")
    return str(answer.get("typed", "")) if isinstance(answer, dict) else ""


def visit_toml(visit: KeptVisit) -> str:
    """Return a visit as a visit file, its lines in one order wherever they came from."""
    sections = _ordered(visit.tree, tuple(ORDER))
    return tomli_w.dumps(
        {name: _lines(lines, ORDER.get(name, ())) for name, lines in sections.items()}
    )


def _ordered(lines: Mapping[str, Any], order: Sequence[str]) -> dict[str, Any]:
    """Names that are known in their order, then the others by the alphabet."""
    known = [name for name in order if name in lines]
    return {name: lines[name] for name in [*known, *sorted(set(lines) - set(known))]}


def _lines(lines: Any, order: Sequence[str]) -> Any:
    """Lines of a section, a date as a date."""
    if isinstance(lines, list):
        return [_lines(line, order) for line in lines]
    if not isinstance(lines, Mapping):
        return lines
    return {key: _value(key, value) for key, value in _ordered(lines, order).items()}


def _value(key: str, value: Any) -> Any:
    if key in DATES and isinstance(value, str):
        with suppress(ValueError):  # a text that says it otherwise stays as it is
            return date.fromisoformat(value)
    return value
