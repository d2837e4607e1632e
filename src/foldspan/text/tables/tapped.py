"""Tapped: what the screening at a terminal says of options, said for a page with its own choices."""

from __future__ import annotations

import re
from dataclasses import replace

from foldspan.problems import Problem
from foldspan.quantities import MEASURED
from foldspan.tables.column_names import NOT_USED
from foldspan.text.en.reconcile import capital
from foldspan.text.tables.columns_in_words import column_label

_PAIR = r'--map "?(?P<given>[^="]+)=(?P<name>\w+)"?'


def _chosen(found: re.Match[str]) -> str:
    given, name = found["given"], found["name"]
    label = "Not used" if name == NOT_USED else column_label(name)
    return f"choose “{label}” for the column “{given}”"


def _unit_chosen(found: re.Match[str]) -> str:
    units = re.findall(r"--unit .+?=(\w+)", found[0])
    return f"choose its unit: {' or '.join(units)}"


# how a terminal says it → how a page does
_SAID: tuple[tuple[str, str], ...] = (
    (r"--before-(map|unit|sheet)\b", r"--\1"),
    (r" --before names the earlier table\.", " If so, start again with the newer table."),
    (
        r"--before matches clients by their code: name the column with --map THEIRS=code\.",
        "Clients are matched by their code: choose the column with the client code.",
    ),
    (r": name it with --map THEIRS=code\.", ": choose the column with the client code."),
    (
        r"Name the earlier table; another sheet of the same workbook is --sheet\.",
        "Send the earlier table, or choose another sheet of the same workbook.",
    ),
    (
        r"Explain in \[words\.sex\] of a map file what each means: .*",
        "Choose what each word means.",
    ),
    (r"Say which: --sheet \".*\"\.", "Choose one."),
    (
        r"Give a column of words, such as \[words\.sex\] or \[words\.conditions\]\.",
        "Give a column of words, such as sex or conditions.",
    ),
    (
        r"if the column has another name, use --map THEIRS=\w+\.",
        "if the table has such a column, choose it below.",
    ),
    (
        r"; --map THEIRS=code names one\.",
        "; if the table has client codes, choose that column under “Change the columns”.",
    ),
    (
        r"\bUse --map \"?[^=\"]+=LEVEL\"?: .*?; or --map .*$",
        "Choose the level, or “Not used”.",
    ),
    (r" From Python, rename the column\.", ""),
    (r"Also say what the column is, with --map\.", "Choose what the column holds."),
    (r", or use --unit COLUMN=UNIT\.", ", or choose the unit beside the column."),
    (
        r"If so, add --unit (?P<given>.+?)=(?P<unit>\w+)\.",
        r"If so, choose \g<unit> for it under “Change the columns”.",
    ),
    (
        r"if the weights are correct, add --accept-unusual\.",
        "if the weights are correct, tick the box below and write the letters again.",
    ),
    (
        r"Hidden sheets are read with --sheet: (.*)\.",
        r"Hidden sheets are not read here. Unhide the one you need, and send the workbook again: \1.",
    ),
    (
        r", with fewer --workers if memory was short\.",
        "; if memory was short, split the table into smaller ones.",
    ),
    (
        r" or explain your words in \[words\] of a map file;",
        " or choose what your words mean under “Change the columns”;",
    ),
    (
        r", or explain yours in \[words\] of a map file \(none if it means nothing\)",
        " (none if it means nothing)",
    ),
    (
        r"Use \.csv, \.tsv, .*, or a folder of \.parquet files\.",
        "Save it as .xlsx, .ods, .csv or .parquet, and send it again.",
    ),
    (
        r"Keep one\.",
        "Rename one of them in the table, or delete it there, and send the table again.",
    ),
    (
        r"Check the folder, its permissions and free disk space\.",
        "Free some space on the computer that runs foldspan, and try again.",
    ),
    (r"Keep one, or number them\.", "Choose “Not used” for one of them."),
    (
        r"rename yours, or leave it out\.",
        "rename yours in the table, or delete it there, and send the table again.",
    ),
    (r"Write \w+, or (?=use --unit)", ""),
    (
        r"Name columns by quantity and unit, such as .*",
        "Choose what the columns with measurements hold, and their units.",
    ),
    (r"See foldspan screen --help and the README\.", "Choose one from the list."),
    (r"^Use suprailiac_anterior_mm, .*", "Choose the site, or “Not used”."),
    (r"foldspan reconcile shows both results", "a session shows both results"),
)
_PATTERNS = tuple((re.compile(said), shown) for said, shown in _SAID)
_COLUMN = re.compile(r"^--(?:before-)?(?:map|unit) \"?(?P<given>.+?)(?:=\w+)?\"?$")
_UNITS = r"(?:\buse )?--unit [^,;.]+?=\w+(?: or --unit [^,;.]+?=\w+)*"
_WHERE = {
    # the one folder that tables and what comes of them are written to
    "made": "Temporary folder",
    "--before": "Earlier table",
    "--before-sheet": "Sheet",
    "--group-summary": "Group summary",
    "--sheet": "Sheet",
}


# the names of what a sentence is about, before what is wrong with it
_NAMED = re.compile(r"(^|; |^[EW]\d{3} )([a-z0-9_]+(?:, [a-z0-9_]+)*)(?=: | looks like )")


def _labelled(found: re.Match[str]) -> str:
    labels = map(_short_label, found[2].split(", "))
    return f"{found[1]}{', '.join(labels)}"


def _short_label(name: str) -> str:
    label = column_label(name)
    return label if name in MEASURED else label.partition(" (")[0]


def tapped_table(sentence: str) -> str:
    """Return a sentence about a table as a page says it: what to choose there, not what to type.

    Examples
    --------
    >>> tapped_table("Waist may be hip_cm: rename it, or use --map Waist=hip_cm.")
    'Waist may be hip_cm: rename it, or choose “hip girth” for the column “Waist”.'
    >>> tapped_table("weight_kg, height_cm: rarely occur together")
    'weight, height: rarely occur together'
    """
    for said, shown in _PATTERNS:
        sentence = said.sub(shown, sentence)
    sentence = _NAMED.sub(_labelled, sentence)
    sentence = re.sub(rf"(?:\b[Uu]se )?{_PAIR}", _chosen, sentence)
    sentence = re.sub(
        r"(?:\buse )?--unit [^,;.]+?=\w+(?: or --unit [^,;.]+?=\w+)*", _unit_chosen, sentence
    )
    return re.sub(r"(^|\. )(choose)", lambda found: f"{found[1]}Choose", sentence).strip()


def labelled(text: str) -> str:
    """Return what is wrong with a row as a page says it: columns by their labels, no codes.

    Examples
    --------
    >>> labelled("weight_kg, height_cm: rarely occur together: used as entered [W123]")
    'Weight and height: rarely occur together; used as entered'
    """
    said = []
    for part in re.split(r"(?<=\]); ", text):
        names, _, rest = re.sub(r" \[[EW]\d{3}\]", "", part).partition(": ")
        labels = [column_label(name) for name in names.split(", ")]
        rest = rest.replace(": ", "; ", 1)  # one colon in a sentence
        said.append(capital(f"{' and '.join(labels)}: {rest}" if rest else names))
    return ". ".join(said)


def tapped_problem(problem: Problem) -> Problem:
    """Return a problem of a table as a page says it."""
    column = _COLUMN.match(problem.where)
    place = problem.where.partition("/")[0] if problem.code == "E303" else problem.where
    where = f"column {column['given']}" if column else _WHERE.get(place, problem.where)
    return replace(
        problem, where=where, what=tapped_table(problem.what), remedy=tapped_table(problem.advice())
    )
