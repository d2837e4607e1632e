"""The change page as text, for the trainer; 80 columns."""

from __future__ import annotations

from foldspan.cli.lines import bullet, table, wrap
from foldspan.cli.printed.health import flags_part
from foldspan.display_units import UNITS, signed
from foldspan.followup.difference import Difference
from foldspan.results.change import ChangeResult
from foldspan.results.result import Health
from foldspan.text.change import (
    CAREFUL,
    MASS_MEANINGS,
    SEVERAL_AT_ONCE,
    SIDE_BY_SIDE,
    break_sentences,
    cancel_sentence,
    chance_sentence,
    course_sentences,
    mass_changes,
    printed_amount,
    raw_sentence,
    repeat_sentence,
    smallest_sentence,
    span_words,
)
from foldspan.text.en.reconcile import MEASURE_AGAIN, REFERENCE_SENTENCES, SEX_WORDS
from foldspan.text.made_with import made_with
from foldspan.text.raw_changes import raw_changes


def page(result: ChangeResult, units: str) -> str:
    """Return the whole page."""
    change = result.change
    parts = _by_sex(result, units) if result.by_sex else [_fat(result, units)]
    if result.is_careful:
        parts.insert(0, wrap(CAREFUL))
    if result.flags:
        parts.append(flags_part(Health(flags=result.flags), with_intake=False))
    raw = _raw(result, units)
    if raw:
        parts.append("\n".join(raw))
    if any(
        result_of_sex.change.fat_mass is not None
        for result_of_sex in (result, *dict(result.by_sex).values())
    ):
        parts.append(wrap(MASS_MEANINGS))
    course = course_sentences(result)
    if course:
        parts.append("\n".join(["Across all visits", *map(bullet, course)]))
    notes = break_sentences(change, result.trend)
    notes += [raw_sentence(change)] if raw else []
    notes += [SEVERAL_AT_ONCE] if result.by_sex and result.step is not None else []
    if change.percent is not None:
        notes += [cancel_sentence(change)]
    if result.measure_all_again:
        notes = [MEASURE_AGAIN, *notes, smallest_sentence(change)]
    else:
        notes.append(repeat_sentence(change))
    parts.append("\n".join(["Please note", *map(bullet, filter(None, notes))]))
    return "\n\n".join(parts)


def _fat(result: ChangeResult, units: str) -> str:
    """Whether body fat changed, by how much, and the masses."""
    percent = result.change.percent
    if percent is None:
        none = wrap("No equation can be used with the measurements common to both visits.")
        return "\n\n".join(filter(None, [none, "\n".join(_masses(result, units))]))
    lines = [
        *([] if result.step is None else ["From the first visit to the last:"]),
        wrap(chance_sentence(percent, "body fat", result.change)),
        _line("body fat", percent, "%", "points"),
        *_masses(result, units),
        wrap(REFERENCE_SENTENCES[result.reference_method]),
    ]
    return "\n".join([*lines, *([wrap(made_with(result))] if made_with(result) else [])])


def _by_sex(result: ChangeResult, units: str) -> list[str]:
    """Both answers side by side, where it is left open which equations fit."""
    parts = [wrap(SIDE_BY_SIDE)]
    for sex, result_of_sex in result.by_sex:
        sentences = [text for text in course_sentences(result_of_sex) if text != SEVERAL_AT_ONCE]
        sentences += filter(None, [smallest_sentence(result_of_sex.change)])
        head = f"Equations for {SEX_WORDS[sex]}"
        parts.append("\n".join([head, _fat(result_of_sex, units), *map(bullet, sentences)]))
    return parts


def _masses(result: ChangeResult, units: str) -> list[str]:
    unit = UNITS[units].mass
    return [
        _line(name, difference, unit, unit, end)
        for name, difference, end in mass_changes(result.change, UNITS[units])
    ]


def _line(name: str, difference: Difference, unit: str, of_change: str, end: str = "") -> str:
    """A value at both visits, how much it changed and the likely span."""
    after = unit if unit == "%" else f" {unit}"
    head = f"  {name:<13} {difference.earlier:6.1f}{after} -> "
    line = f"{difference.later:.1f}{after}: {span_words(difference, of_change)}{end}"
    return wrap(line, head, " " * 16)


def _raw(result: ChangeResult, units: str) -> list[str]:
    """Return the sum of folds and every girth as a table; below it what makes a change real."""
    rows = raw_changes(result.change, UNITS[units])
    if not rows:
        return []
    title, points = "Raw measures (no equation involved)", []
    lines = [f"{title:<39}{'change':>7}    {'80% range':<15}{'MDC':>10}"]
    for row in rows:
        difference = row.difference
        low, high = difference.range_80
        span = f"{signed(low, 1)} to {signed(high, 1)}"
        real = "  real" if difference.is_real else ""
        lines.append(
            f"  {row.label:<37}{signed(printed_amount(difference), 1):>7} {row.unit} {span:<15}"
            f"{difference.minimal_detectable_change:>8.1f}{real}"
        )
        points.append(
            f"{row.label}: {signed(printed_amount(difference), 1)} {row.unit}, 80% range {span},"
            " minimal detectable change"
            f" {difference.minimal_detectable_change:.1f}{'; real' if real else ''}"
        )
    return table(lines, title, points)
