"""Mutated tables sent through what the pages do: looked at, confirmed as shown or wrongly, and screened.

Never a traceback, a lost or doubled row, or a range for somebody under 18 or pregnant.
"""

from __future__ import annotations

import base64
import csv
import gzip
import io
import os
import pickle
import random
import re
from collections.abc import Mapping
from contextlib import chdir, redirect_stdout
from datetime import datetime
from pathlib import Path
from typing import Any

import xlsxwriter

from foldspan.browser.jobs import looked, one_row, screened
from foldspan.browser.jobs.choices import chosen_on_page, columns_shown, missing_units
from foldspan.browser.jobs.listing import ReferralFilter, referred
from foldspan.problems import CODES, FoldspanError
from foldspan.text.tables.tapped import tapped_problem, tapped_table
from fuzz.cases import Case

SETTINGS = base64.b64encode(pickle.dumps(({}, None))).decode()
# what a column is → names that it may have; each is known or proposed
HEADS = {
    "code": ("code", "ID", "Code"),
    "sex": ("sex", "Sex", "Gender", "Geschlecht", "Sexe"),
    "age_years": ("age_years", "Age", "Alter", "Âge"),
    "weight_kg": ("weight_kg", "Weight", "Wt (kg)", "Gewicht (kg)", "Poids"),
    "height_cm": ("height_cm", "Height", "Ht (cm)", "Größe (cm)", "Taille (cm)"),
    "waist_midpoint_cm": ("waist_midpoint_cm", "Waist", "Bauchumfang", "Waist (cm)"),
    "pregnant": ("pregnant",),
    "symptoms": ("symptoms",),
    "note": ("note", "Notes", "=1+1", "<script>alert(1)</script>", "sex ", "range", "sex 2"),
}
ODD = (
    "", " ", "=1+1", "#N/A", "n/a", "71,3", "71.3 kg", "157 lb", "1,234", "1e999", "-5", "0", "yes", "ﬁ",
    "\u202e", "x" * 300, "27%", "5'7\"", "2026-13-40", "<script>", "@SUM(A1)", "NaN", "½", "жен",
    "a;b\tc", "\U0001f600", "two\nlines", 'a "quoted" word', "\x0b",
)  # fmt: skip
ROWS = 10
PLACE = {name: place for place, name in enumerate(HEADS)}


def _person(draw: random.Random, number: int) -> tuple[list[str], bool]:
    """The cells of a row, and whether it may get a range."""
    age = draw.choice(("9", "15", "17", "17.9")) if draw.random() < 0.2 else str(20 + 4 * number)
    pregnant = draw.choice(("yes", "true", "1", "YES")) if draw.random() < 0.15 else "no"
    row = [
        f"F-{number}", draw.choice(("female", "F", "w", "m", "male")), age, str(55 + 3 * number),
        str(160 + number), str(70 + number), pregnant, draw.choice(("none", "fainting", "")),
        f"note {number}",
    ]  # fmt: skip
    return row, age == str(20 + 4 * number) and pregnant == "no"


def _table(draw: random.Random) -> tuple[list[list[str]], dict[str, bool]]:
    """A header and rows, some cells odd; by note, whether its row may get a range."""
    head = [draw.choice((names[0], *names)) for names in HEADS.values()]
    if draw.random() < 0.1:
        head[draw.randrange(len(head) - 1)] = draw.choice(
            (*head, "weight_kg", "problems", "q" * 99)
        )
    rows, may = [], {}
    for number in range(ROWS):
        row, allowed = _person(draw, number)
        for _ in range(draw.choice((0, 0, 0, 1, 2))):
            place = draw.randrange(1, len(row) - 1)
            row[place] = draw.choice(ODD)
            # what age and pregnancy are then, other tests say
            allowed |= place in (PLACE["age_years"], PLACE["pregnant"])
        may[row[-1]] = allowed
        rows.append(row)
    return [head, *rows], may


def _as_csv(draw: random.Random, table: list[list[str]]) -> bytes:
    out = io.StringIO()
    writer = csv.writer(
        out, delimiter=draw.choice(",,;\t|"), lineterminator=draw.choice(("\n", "\r\n"))
    )
    writer.writerows(table)
    text = draw.choice(("", "", "\ufeff", "\n\n")) + out.getvalue()
    encoding = draw.choice(("utf-8", "utf-8", "utf-8", "cp1252", "utf-16"))
    return text.encode(encoding, errors="replace")


def _as_workbook(draw: random.Random, table: list[list[str]]) -> bytes:
    out = io.BytesIO()
    with xlsxwriter.Workbook(out, {"in_memory": True}) as book:
        book.set_properties({"created": datetime(2026, 3, 4, 10, 15)})  # the same bytes every day
        sheet = book.add_worksheet(draw.choice(("Day", "<b>&'x", "=1+1")))
        top = draw.choice((0, 0, 0, 2))
        if top:
            sheet.merge_range(0, 0, 0, 5, "Health day")
        as_numbers = draw.random() < 0.7
        for line, row in enumerate(table):
            for place, cell in enumerate(row):
                if as_numbers and line and cell.replace(".", "", 1).isdecimal() and cell.isascii():
                    sheet.write_number(top + line, place, float(cell))
                else:
                    sheet.write_string(top + line, place, cell)
        if draw.random() < 0.2:
            sheet.set_column(3, 4, None, None, {"hidden": True})
        if draw.random() < 0.2:
            book.add_worksheet("Second").write(0, 0, "nothing here")
    return out.getvalue()


def _sent(draw: random.Random, table: list[list[str]]) -> tuple[str, bytes, bool]:
    """Name and bytes of a file, and whether it is damaged."""
    kind = draw.choice(("csv", "csv", "xlsx", "csv.gz"))
    data = _as_workbook(draw, table) if kind == "xlsx" else _as_csv(draw, table)
    data = gzip.compress(data, mtime=0) if kind == "csv.gz" else data
    is_damaged = draw.random() < 0.2
    if is_damaged:
        place = draw.randrange(len(data))
        pasted = draw.choice((b"", b"\x00", b'"', b"\n", b"\xff", b",,", data[:200]))
        data = data[:place] + pasted + (data[place + 1 :] if draw.random() < 0.6 else b"")
    kind = draw.choice(("csv", "xlsx", "parquet", "ods", "txt")) if draw.random() < 0.05 else kind
    return f"day.{kind}", data, is_damaged


def _form(draw: random.Random, columns: list[dict[str, Any]]) -> dict[str, list[str]]:
    """The form as the page shows it, a question answered or a column chosen wrongly now and then."""
    fields: dict[str, list[str]] = {}
    for column in columns_shown(columns, {}):
        place = column["place"]
        chosen, unit = column["chosen"], column["unit_chosen"]
        if not chosen and column["is_open"] and draw.random() < 0.8:
            chosen, unit = draw.choice((("waist_midpoint_cm", "cm"), ("not_used", "")))
        if draw.random() < 0.04:
            chosen = draw.choice(
                ("weight_kg", "height_cm", "code", "not_used", "triceps_mm", "grip_kg")
            )
            unit = draw.choice((unit, "kg", "lb", "in", "years"))
        fields |= {f"is_{place}": [chosen], f"unit_{place}": [unit]}
        for nth, meaning in enumerate(column["sexes"].values()):
            fields[f"sex_{place}_{nth}"] = [draw.choice((meaning, meaning, meaning, "both"))]
    return fields


def _is_calm(error: FoldspanError) -> None:
    assert error.problems
    for problem in map(tapped_problem, error.problems):
        assert problem.code in CODES
        assert problem.what
        said = f"{problem.where}: {problem.what}. {problem.remedy}"
        assert problem.remedy, said
        assert not re.search(r"(^|\s)--[a-z]", said), said


def _say(**what: Any) -> None:
    """Progress is nothing to look at here."""


def drawn(draw: random.Random) -> Case:
    """A file as it is sent, and who may get a range where it is sound."""
    table, may = _table(draw)
    name, data, is_damaged = _sent(draw, table)
    known = {"form": draw.random(), "is_damaged": is_damaged, "may": may}
    return Case(f"pages_{name}", data, known)


def tried(case: Case, folder: Path) -> str:
    """Send one table through the pages' own work; returns what came of it."""
    name, draw = case.name.removeprefix("pages_"), random.Random(case.known.get("form", 0))
    with chdir(folder), redirect_stdout(io.StringIO()):
        os.mkdir("made")
        Path(name).write_bytes(case.data)
        request: dict[str, Any] = {"source": name, "settings": SETTINGS, "before": {}}
        try:
            looks = looked.work(request, _say)
            if looks["sheets"] and not looks["columns"]:
                looks = looked.work({**request, "sheet": looks["sheets"][0]}, _say)
            fields = _form(draw, looks["columns"])
            if missing_units(looks, fields):
                return "refused"  # asked back
            chosen = {**chosen_on_page(looks, fields), "as": draw.choice(("csv", "csv", "xlsx"))}
            request["chosen"] = chosen
            came = screened.work(request, _say)
        except FoldspanError as error:
            _is_calm(error)
            return "refused"
        finally:
            assert Path(name).read_bytes() == case.data
        if case.known and not case.known["is_damaged"]:
            _check(draw, request, came, case.known["may"])
    return "read"


def _check(
    draw: random.Random, request: dict[str, Any], came: dict[str, Any], may: Mapping[str, bool]
) -> None:
    """Hold what came of a sound table against what was in it."""
    assert came["rows"] == ROWS
    people, count = referred(Path("made").absolute(), ReferralFilter())
    assert count == came["referred"] == len({person["row"] for person in people})
    for _, _, text in came["problem_rows"]:
        assert not re.search(r"(^|\s)--[a-z]", tapped_table(text))
    row = draw.randint(1, ROWS)
    try:
        one_row.work({**request, "row": row}, _say)
    except FoldspanError as error:
        _is_calm(error)
    if request["chosen"]["as"] == "xlsx":
        return
    text = Path("made/screened.csv").read_text(encoding="utf-8-sig")
    delimiter = next(
        sign for sign in text[text.index("fat_percent,".rstrip(",")) :] if sign in ",;\t|"
    )
    head, *rows = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    notes = [row[PLACE["note"]] for row in rows]
    assert notes == list(may), "every row once, in its order"
    names = request["chosen"]["names"]
    meant = [names.get(given, given) for given in head[: len(HEADS)]]
    if (meant[PLACE["age_years"]], meant[PLACE["pregnant"]]) == ("age_years", "pregnant"):
        low = head.index("range_80_low", len(HEADS))
        for cells in rows:
            assert may[cells[PLACE["note"]]] or not cells[low], "a range for one who must get none"
