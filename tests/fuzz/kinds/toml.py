"""TOML that a site writes: its settings, what its columns and words mean, its local correction.

``settings``, ``map`` and ``local`` at the beginning of a case's name say which.
"""

from __future__ import annotations

import csv
import os
import random
import tomllib
from functools import cache
from pathlib import Path

import pytest
import tomli_w

import foldspan
from foldspan import FoldspanError, Visit
from foldspan.cli.screen_map import mapping_of
from foldspan.practice.model import KEYS
from foldspan.practice.settings import SETTINGS_VARIABLE, files_of_settings
from foldspan.quantities import BY_NAME
from foldspan.tables.columns import Wanted
from foldspan.validation.correction_file import read
from fuzz.cases import EXAMPLES, Case, check_problems, check_result, left_as_they_were
from fuzz.odd import mutated_text, mutated_tree, text_of

PAGE = 25  # a page with the practice is made of one case in so many
SETTINGS = """local = "our_site.toml"
[practice]
name = "Studio am Mühlbach"
address = "Mill Lane 4, 2nd floor"
telephone = "+49 (0)30 123-456"
emergency_number = "112"
language = "de"
paper = "a4"
letterhead = "open Monday to Friday, 8 to 12"
logo = "logo.svg"
"""
LOGO = '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><rect width="9" height="9"/></svg>'
MAP = """[columns]
"Kunde" = "code"
"Body weight" = "weight_lb"
"Gender" = "sex"
"Waist" = "waist_midpoint_cm"
"BP at home" = "not_used"
"Größe" = "height_cm"
"schwanger" = "pregnant"
[units]
"Waist" = "in"
[words]
weiblich = "female"
2 = "female"
"tennis elbow" = "none"
[words.pregnant]
ja = "yes"
2 = "no"
[words.sex]
m = "male"
"""
TABLE = """Kunde,Gender,age_years,Body weight,Größe,Waist,schwanger,BP at home,symptoms
K-1,weiblich,41,157.3,168.4,32.5,nein,130/85,tennis elbow
K-2,m,37,176.9,181.6,35.25,,120/80,fainting
K-3,2,33,171.1,165.2,33,ja,,
K-4,weiblich,15,121.3,158.2,27,2,,
K-5,m,52,201.7,176.3,40.5,no,n/a,tennis elbow
"""
NEVER = ("K-3", "K-4")  # pregnant, under 18
LOCAL = """schema_version = 2
reference_method = "dxa"
made = 2026-03-04
people = 60
held_out_80 = 0.81
held_out_95 = 0.95
[female]
n = 32
methods = ["skinfold", "girth", "mass_height"]
offset = [-1.2, 0.4, 2.1]
spread = [0.9, 1.1, 0.8]
uncertainty = [[0.31, 0.12, 0.05], [0.12, 0.27, 0.1], [0.05, 0.1, 0.35]]
[male]
n = 28
methods = ["girth", "mass_height"]
offset = [-1.9, 3.3]
spread = [0.84, 0.83]
uncertainty = [[0.31, 0.17], [0.17, 0.21]]
"""
TEXTS = {"settings": SETTINGS, "map": MAP, "local": LOCAL}
NAMES: dict[str, tuple[str, ...]] = {
    "settings": ("local", "practice", *KEYS),
    "map": ("columns", "units", "words", "sex", "pregnant", "Waist", "Größe", "Kunde", *BY_NAME),
    "local": (
        "schema_version",
        "scale",
        "reference_method",
        "families",
        "methods",
        "n",
        "female",
        "male",
    ),
}
# what a word or a column of the table may be said to mean
MEANINGS = (
    "not_used", "none", "female", "male", "both", "yes", "no", "code", "sex", "pregnant",
    "symptoms", "kg", "lb", "in", "cm", "mm", "weight_kg", "age_years", "birth_date",
    "waist_iliac_cm", "triceps_mm", "fainting",
)  # fmt: skip


def drawn(draw: random.Random, number: int) -> Case:
    """One of the three files, mutated as a text or as a tree."""
    form = ("settings", "map", "local", "map")[number % 4]
    text = TEXTS[form]
    if draw.random() < 0.3:
        return Case(f"{form}.toml", mutated_text(draw, text.encode()), is_whole=number % PAGE == 0)
    tree = tomllib.loads(text)
    if form == "map" and draw.random() < 0.7:
        section = tree[draw.choice([*tree])]
        section = draw.choice(
            [section, *(table for table in section.values() if isinstance(table, dict))]
        )
        name = draw.choice([*section, *TABLE.split("\n")[0].split(","), text_of(draw)])
        section[name] = draw.choice(MEANINGS)
    if form == "local" and draw.random() < 0.4:
        part = tree[draw.choice(("female", "male"))]
        row = draw.choice([part["offset"], part["spread"], *part["uncertainty"]])
        row[draw.randrange(len(row))] = draw.choice((0.0, -1.0, 1e-9, 30.0, 1e6, 1e200, 1e308, 5))
    if draw.random() < 0.45:
        home = draw.choice([tree, *(part for part in tree.values() if isinstance(part, dict))])
        mutated_tree(draw, home, names=NAMES[form])
    try:
        data = tomli_w.dumps(tree).encode("utf-8", "surrogatepass")
    except (TypeError, ValueError, AttributeError):  # TOML has nothing for it
        data = mutated_text(draw, text.encode())
    return Case(f"{form}.toml", data, is_whole=number % PAGE == 0)


def tried(case: Case, folder: Path) -> str:
    """Read the file, and use what is read."""
    path = folder / case.name
    path.write_bytes(case.data)
    form = case.name.split(".")[0].split("_")[0]
    try:
        return {"settings": try_settings, "map": try_map, "local": try_local}[form](path, case)
    except FoldspanError as error:
        check_problems(error)
        return "refused"


def try_settings(path: Path, case: Case) -> str:
    """Read the settings of a site; whatever practice is read stands on a page."""
    (path.parent / "logo.svg").write_text(LOGO, encoding="utf-8")
    (path.parent / "our_site.toml").write_text(LOCAL, encoding="utf-8")
    came = "read"
    with pytest.MonkeyPatch.context() as patch, left_as_they_were(path.parent):
        patch.setenv(SETTINGS_VARIABLE, str(path))
        practice = None
        for ask in (foldspan.site_practice, foldspan.site_correction, files_of_settings):
            try:
                found = ask()
            except FoldspanError as error:
                check_problems(error)
                came = "refused"
                continue
            practice = found if isinstance(found, foldspan.Practice) else practice
    if practice is not None and case.is_whole:
        for reader in ("client", "clinician"):
            html = foldspan.report(_visit(), reader=reader, practice=practice).html()
            assert "<script" not in html
    return came


@cache
def _visit() -> Visit:
    return Visit.from_file(str(EXAMPLES / "visit.toml"))


def try_map(path: Path, case: Case) -> str:
    """Screen a table by what the file says of it: no row lost, nobody pregnant or young with a range."""
    table, out = path.with_name("table.csv"), path.with_name("out.csv")
    table.write_text(TABLE, encoding="utf-8")
    with left_as_they_were(path.parent, new=("out.csv",)):
        wanted = mapping_of([], [], str(path))
        try:
            foldspan.screen_table(
                table, out, names=wanted.names, units=wanted.units, words=wanted.words
            )
        except FoldspanError:
            assert not out.exists()
            raise
        with out.open(encoding="utf-8-sig", newline="") as file:
            rows = list(csv.DictReader(file))
    assert [row["Kunde"] for row in rows] == ["K-1", "K-2", "K-3", "K-4", "K-5"]
    given = [line.split(",") for line in TABLE.splitlines()[1:]]
    assert [[*row.values()][: len(given[0])] for row in rows] == given
    may = () if _says_otherwise(wanted) else NEVER
    for row in rows:
        assert row["Kunde"] not in may or not row["range_80_low"], (
            "a range for one who must get none"
        )
    return "read"


def _says_otherwise(wanted: Wanted) -> bool:
    """Whether the file itself says that the column of pregnancy or of ages means something else."""
    said = str(wanted.words)
    is_moved = wanted.names.get("schwanger") != "pregnant" or "age_years" in wanted.names
    return is_moved or "'ja': 'yes'" not in said or "15" in said


def try_local(path: Path, case: Case) -> str:
    """Reconcile a visit with the correction: the range is finite and in order."""
    with left_as_they_were(path.parent):
        correction = read(str(path))
        result = foldspan.reconcile(_visit(), local=correction)
    check_result(result)
    assert os.path.exists(path)
    return "read"
