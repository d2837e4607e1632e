"""What ``--map``, ``--unit`` and ``--map-file`` say of a table's columns and words."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any

import typer

from foldspan.files.input import parse_tree, read_text
from foldspan.problems import FoldspanError, Problem
from foldspan.screening.before.given import EarlierTable
from foldspan.tables.columns import Wanted

SECTIONS = {"columns": "--map", "units": "--unit"}


def mapping_of(
    names: Sequence[str], units: Sequence[str], path: str, sheet: str = "", prefix: str = "--"
) -> Wanted:
    """Return what the caller says of columns; what is typed wins over what a file says.

    ``prefix`` is that of the options which say it.

    Raises
    ------
    FoldspanError
        E501 for a pair without ``=`` or one thing given two meanings; as ``read_text``, E305 and
        E121 for the file.
    """
    names_given, words = _from_file(path) if path else ({name: {} for name in SECTIONS}, {})
    return Wanted(
        names_given["columns"] | _pairs(f"{prefix}map", names, "THEIR=OURS"),
        names_given["units"] | _pairs(f"{prefix}unit", units, "COLUMN=UNIT"),
        words,
        sheet,
    )


def earlier_of(
    before: str, names: Sequence[str], units: Sequence[str], map_file: str, sheet: str
) -> EarlierTable | None:
    """Return the earlier table, as ``--before`` and the options for it say; None without one.

    Raises
    ------
    FoldspanError
        As ``mapping_of``; E501 for such an option without ``--before``.
    """
    if before:
        wanted = mapping_of(names, units, map_file, sheet, prefix="--before-")
        return EarlierTable(before, wanted.names, wanted.units, wanted.words, wanted.sheet)
    given = {"map": names, "unit": units, "map-file": map_file, "sheet": sheet}
    remedy = "Name the earlier table with --before FILE."
    problems = [
        Problem("E501", f"--before-{name}", "used without --before", remedy)
        for name, value in given.items()
        if value
    ]
    if problems:
        raise FoldspanError(problems)
    return None


@contextmanager
def guessing(table: str, typed: Wanted, out: str, *, on: bool, force: bool) -> Iterator[Wanted]:
    """Lend what is said of columns, guessed where that is on; kept once it was used without an error.

    Raises
    ------
    FoldspanError
        As ``guessed`` and ``keep_guess``.
    """
    place = map_place(out)
    wanted = guessed(table, typed, place, replace_file=force) if on else typed
    yield wanted
    if on:
        keep_guess(place, wanted, replace_file=force)


def map_place(out: str) -> str:
    """Return where the guess for a table is kept: beside its result.

    Examples
    --------
    >>> map_place("day/screened.csv.gz"), map_place("-")
    ('day/screened.map.toml', 'foldspan.map.toml')
    """
    name = os.path.basename(out)
    stem = "foldspan" if out == "-" else name.removesuffix(".gz").rsplit(".", 1)[0] or "foldspan"
    return os.path.join(os.path.dirname(out), f"{stem}.map.toml")


def guessed(table: str, typed: Wanted, place: str, *, replace_file: bool) -> Wanted:
    """Return what columns are likely to hold, what was said of them first, and show it.

    Raises
    ------
    FoldspanError
        As ``sample_of``; E308 where the file is there already and may not be replaced.
    """
    from foldspan.cli.lines import aside, bullet
    from foldspan.files.output import check_outputs
    from foldspan.tables.guessing.propose import propose
    from foldspan.tables.guessing.sample import sample_of
    from foldspan.text.tables.guessing import GUESSED, OPEN, guess_lines, open_lines

    check_outputs([place], [table], replace=replace_file)
    sample = sample_of(table, typed.sheet)
    guess = propose(sample.names, sample.columns, sample.rules)
    found = guess.wanted
    wanted = Wanted(
        {**found.names, **typed.names},
        {**{name: unit for name, unit in found.units.items() if name not in typed.names}, **typed.units},
        typed.words, typed.sheet,
    )  # fmt: skip
    typer.echo(aside(GUESSED), err=True)
    for given, meant, reason in guess_lines(guess):
        if given not in typed.names:
            typer.echo(aside(bullet(f"{given}: {meant}, {reason}")), err=True)
    # a site that is several is refused by name in any case
    still_open = [line for line in open_lines(guess, sites=False) if line[0] not in wanted.names]
    if still_open:
        typer.echo(aside(OPEN), err=True)
        for given, choice in still_open:
            typer.echo(aside(bullet(f"{given}: {choice}")), err=True)
    return wanted


def keep_guess(place: str, wanted: Wanted, *, replace_file: bool) -> None:
    """Write what was used as a file for ``--map-file``; E303 or E308 where that cannot be."""
    from foldspan.cli.lines import aside
    from foldspan.files.output import write_private
    from foldspan.text.tables.guessing import KEPT

    write_private(place, _as_file(wanted), replace=replace_file)
    typer.echo(aside(KEPT.format(path=place)), err=True)


def _as_file(wanted: Wanted) -> str:
    """What is said of columns as ``--map-file`` reads it."""
    import tomli_w

    sections = {"columns": wanted.names, "units": wanted.units, "words": wanted.words}
    return tomli_w.dumps({name: dict(some) for name, some in sections.items() if some})


def _pairs(option: str, given: Sequence[str], shape: str) -> dict[str, str]:
    found: dict[str, str] = {}
    for pair in given:
        left, mark, right = pair.rpartition("=")
        if not (mark and left.strip() and right.strip()):
            problem = Problem(
                "E501", option, "not in the form THEIRS=OURS", f"Write {option} {shape}.", pair
            )
            raise FoldspanError([problem])
        name, meant = left.strip(), right.strip()
        if found.setdefault(name, meant) != meant:
            what, remedy = "given twice, with different values", "Keep the one that is right."
            raise FoldspanError([Problem("E501", f"{option} {name}", what, remedy)])
    return found


def _from_file(path: str) -> tuple[dict[str, dict[str, str]], dict[str, Any]]:
    tree = parse_tree(read_text(path), "toml", path)
    found: dict[str, dict[str, str]] = {name: {} for name in SECTIONS}
    words = tree.pop("words", {})
    if not isinstance(words, dict):
        remedy = 'Write [words] with lines "their word" = "our_word".'
        raise FoldspanError([Problem("E121", f"{path}: words", "not a section", remedy)])
    for name, section in tree.items():
        if name not in SECTIONS or not isinstance(section, dict):
            remedy = 'Write [columns] with lines "their name" = "our_name", [units] and [words].'
            raise FoldspanError([Problem("E121", f"{path}: [{name}]", "not expected", remedy)])
        found[name] = {str(key): _text(path, name, key, value) for key, value in section.items()}
    return found, words


def _text(path: str, section: str, key: str, value: Any) -> str:
    if isinstance(value, str) and value.strip():
        return value.strip()
    remedy = f'Write "{key}" = "…".'
    raise FoldspanError([Problem("E121", f"{path}: [{section}] {key}", "not a text", remedy)])
