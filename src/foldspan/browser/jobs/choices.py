"""Choices: what a page shows of each column, and what was chosen there, as the screening takes it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from foldspan.problems import Problem
from foldspan.quantities import MEASURED
from foldspan.tables.column_names import NOT_USED
from foldspan.tables.columns import KNOWN
from foldspan.text.tables.columns_in_words import column_label

# how a table comes → how its result goes, where nothing else is chosen
ENDINGS = {"csv": "csv", "parquet": "parquet", "sheet": "xlsx"}
AS_NAMED = ""
Fields = Mapping[str, Sequence[str]]


def columns_shown(
    columns: Sequence[Mapping[str, Any]], chosen: Mapping[str, Any]
) -> list[dict[str, Any]]:
    """Return the columns as a page shows them: what each is taken for, or what was chosen before."""
    names, units = chosen.get("names", {}), chosen.get("units", {})
    words = chosen.get("words", {}).get("sex", {})
    return [
        {
            **column,
            "place": place,
            "label": _label(column),
            "chosen": _bare(names.get(column["given"], _proposed(column, chosen))),
            "unit_chosen": units.get(column["given"], column["unit"]),
            "has_unit": _has_unit(_bare(names.get(column["given"], "")) or column["name"]),
            "is_first": column["is_known"] or column["is_open"] or bool(column["name"])
            or names.get(column["given"], NOT_USED) != NOT_USED,
            "sexes": {
                word: words.get(word, meaning) for word, meaning in column["sexes"].items()
            },
        }
        for place, column in enumerate(columns)
    ]  # fmt: skip


def _proposed(column: Mapping[str, Any], chosen: Mapping[str, Any]) -> str:
    if column["is_known"]:
        return AS_NAMED
    return "" if chosen else str(column["name"])


def _label(column: Mapping[str, Any]) -> str:
    """What a column is taken for, in words."""
    if not column["name"]:
        return ""
    turn = f", reading {column['reading']}" if column["reading"] else ""
    label, unit = column_label(column["name"]), column["unit"]
    return f"{label}{turn} [{unit}]" if unit and unit not in label else f"{label}{turn}"


def _bare(name: str) -> str:
    """A name without the number of its reading."""
    stem, _, last = name.rpartition("_")
    return stem if last.isdecimal() and stem in KNOWN else name


def chosen_on_page(
    looked: Mapping[str, Any], fields: Fields, *, says_all: bool = False
) -> dict[str, Any]:
    """Return what a form says of the columns of a table; what is not on its lists counts as not chosen.

    Of several columns that are chosen as the same measurement, each is a reading, in their order.
    ``says_all`` also says of columns that are known by their names what they are: nothing that is said
    of another table with the same names counts then.
    """
    names: dict[str, str] = {}
    units: dict[str, str] = {}
    sexes: dict[str, str] = {}
    for place, column in enumerate(looked["columns"]):
        given, name = column["given"], _field(fields, f"is_{place}")
        own_unit = column["unit"] if column["is_known"] else ""
        if name in KNOWN or name == NOT_USED:
            names[given] = name
        elif not column["is_known"] and not column["is_open"]:
            names[given] = NOT_USED  # one that is open stays so, and is asked about again
        unit = _field(fields, f"unit_{place}")
        if unit and unit != own_unit and _has_unit(names.get(given) or column["name"]):
            units[given] = unit
        if names.get(given, column["name"]) == "sex":
            words = {
                word: _field(fields, f"sex_{place}_{nth}")
                for nth, word in enumerate(column["sexes"])
            }
            # one that is left as it is known is said too: it may mean another beside other words
            sexes |= {word: said for word, said in words.items() if said or column["sexes"][word]}
    _number_readings(names)
    if says_all:
        known = [column["given"] for column in looked["columns"] if column["is_known"]]
        names = {**dict(zip(known, known, strict=True)), **names}
    kind = _field(fields, "as")
    return {
        "names": names, "units": units, "words": {"sex": sexes} if sexes else {},
        "sheet": looked["sheet"],
        "as": kind if kind in ENDINGS.values() else ENDINGS[looked["kind_of_table"]],
    }  # fmt: skip


def missing_units(looked: Mapping[str, Any], fields: Fields) -> list[Problem]:
    """Return a problem for each column that was chosen as a measurement without its unit."""
    found = []
    for place, column in enumerate(looked["columns"]):
        is_measured = _field(fields, f"is_{place}") in MEASURED
        if is_measured and not _field(fields, f"unit_{place}"):
            where, what = f"column {column['given']}", "a measurement without its unit"
            found.append(Problem("E409", where, what, "Choose its unit."))
    return found


def _has_unit(name: str) -> bool:
    """Whether a column has a unit that can be chosen; one of which nothing is known may have."""
    return (
        not name
        or name == NOT_USED
        or name in MEASURED
        or name in ("earlier_weight_kg", "weight_lost_kg", "grip_kg")
    )


def _number_readings(names: dict[str, str]) -> None:
    alike: dict[str, list[str]] = {}
    for given, name in names.items():
        if name in MEASURED:
            alike.setdefault(name, []).append(given)
    for name, some in alike.items():
        if 1 < len(some) <= 3:
            names |= {given: f"{name}_{turn}" for turn, given in enumerate(some, start=1)}


def _field(fields: Fields, name: str) -> str:
    return (fields.get(name) or [""])[0]
