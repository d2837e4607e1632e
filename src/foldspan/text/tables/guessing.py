"""Wording of what columns are likely to hold, and why."""

from __future__ import annotations

from collections.abc import Iterable

import pyarrow as pa

from foldspan.measurement.site_names import suprailiac_sites, waist_levels
from foldspan.tables.column_names import mapping
from foldspan.tables.guessing.propose import Guess, Proposal, named_by, propose

REASONS = {
    "known": "foldspan's own column name",
    "form": "recognised from the column name",
    "near": "the column name is a close match",
    "values": "recognised from the column name; {unit} is the only unit that fits the values",
    "unknown": "not used",
    "level": "waist girth, level not stated; choose the level that was measured",
    "suprailiac": "skinfold above the hip, site not stated; choose the site that was measured",
    "unit_open": "the unit is not clear from the column name or the values; choose it",
    "misfit": "the column name suggests {target}, but the values do not fit it; choose what it holds",
    "twice": "another column could hold the same; choose which one to use",
}
GUESSED = "What these columns were guessed to hold; please check:"
KEPT = "What each column means is saved in {path}: use it with --map-file next time."
OPEN = "Not clear; please decide with --map or --unit:"


def guess_lines(guess: Guess) -> list[tuple[str, str, str]]:
    """Return the columns that are used or should be, as name, meaning and reason."""
    return [
        (one.given, _meaning(one), _reason(one))
        for one in guess.proposals
        if one.meant and one.reason != "known"
    ]


def open_lines(guess: Guess, *, sites: bool = True) -> list[tuple[str, str]]:
    """Return the columns that somebody has to decide about, and why; ``sites`` of several levels too."""
    return [
        (one.given, _choice(one))
        for one in guess.proposals
        if one.is_open and (sites or one.reason not in ("level", "suprailiac"))
    ]


def why_proposed(one: Proposal) -> str:
    """Return why a column is used as proposed, or why somebody has to decide about it."""
    return (
        REASONS[one.reason].format(unit="", target="a measurement") if one.is_open else _reason(one)
    )


def what_to_call(names: Iterable[str]) -> list[str]:
    """Return, for columns that were not used, what each may be and how to say so."""
    lines = []
    for one in propose(tuple(names), [pa.array([], pa.string()) for _ in names]).proposals:
        near = one.meant or named_by(one.given)
        if one.reason == "level":
            choices = waist_levels("cm")[1]
            lines.append(f"{one.given} may be a waist at one of four levels: name it {choices}.")
        elif one.reason == "suprailiac":
            lines.append(
                f"{one.given} may be one of three skinfolds: {suprailiac_sites('_mm')[1]}."
            )
        elif near:
            said = mapping(one.given, near)
            lines.append(f"{one.given} may be {near}: rename it, or use {said}.")
    return lines


def _meaning(one: Proposal) -> str:
    return (
        f"{one.meant} (in {one.unit})"
        if one.unit and not one.meant.endswith(one.unit)
        else one.meant
    )


def _reason(one: Proposal) -> str:
    words = REASONS[one.reason].format(unit=one.unit, target="")
    return f"{words}; typical value {one.typical:.4g}" if one.typical is not None else words


def _choice(one: Proposal) -> str:
    words = REASONS[one.reason].format(unit="", target="a measurement")
    if one.reason == "level":
        return f"{words}: {waist_levels('cm')[1]}"
    if one.reason == "suprailiac":
        return f"{words}: {suprailiac_sites('_mm')[1]}"
    return words
