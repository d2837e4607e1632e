"""The precision page as text, for the trainer; 80 columns."""

from __future__ import annotations

from foldspan.cli.lines import bullet, width, wrap
from foldspan.display_units import signed
from foldspan.measurement.technical_error import Precision, grade, is_too_alike, target_of
from foldspan.quantities import BY_NAME
from foldspan.results.precision import PrecisionResult, SitePrecision
from foldspan.text.precision import (
    CHANGE_SENTENCE,
    GRADE_WORDS,
    NOBODY,
    RELIABILITY_SENTENCE,
    TARGET_SENTENCE,
    bounds_words,
    reliability_words,
    remark_sentence,
)

NAME = 18
# columns of a row with its word, and what stands in the last column of numbers
TABLE_WIDTH = 80
REAL_FROM, TOTAL = "MDC", "total"


def page(result: PrecisionResult) -> str:
    """Return the whole page."""
    parts = [
        wrap(
            f"Technical error of measurement (TEM): {_count(result.clients, 'client')},"
            f" {_count(len(result.testers), 'tester')}, {_count(result.readings, 'reading')}."
        )
    ]
    within = [(name, site) for name, site in result.sites.items() if site.within]
    across = [(name, site) for name, site in result.sites.items() if site.between is not None]
    if within:
        lines = [_header("Within each tester", REAL_FROM)]
        for name, site in within:
            lines += _within(name, site)
        parts.append("\n".join(lines))
    if across:
        lines = [_header("Between testers", TOTAL)]
        for name, site in across:
            lines += _between(name, site)
        parts.append("\n".join(lines))
    systematic = [line for name, site in result.sites.items() for line in _systematic(name, site)]
    if systematic:
        title = "Average above (+) or below (-) the mean of all testers, with 95% limits"
        parts.append("\n".join([wrap(title), *systematic]))
    notes = [TARGET_SENTENCE] + ([CHANGE_SENTENCE] if within else []) + [RELIABILITY_SENTENCE]
    notes += [remark_sentence(remark) for remark in result.remarks]
    parts.append("\n".join(["Please note", *map(bullet, notes)]))
    return "\n\n".join(parts)


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"


def _header(title: str, last: str) -> str:
    if width() < TABLE_WIDTH:
        return title
    return (
        f"{title:<{NAME}}{'clients':>8}{'TEM':>6}{'95% limits':>15}{'% mean':>7}{'R':>6}{last:>10}"
    )


def _within(name: str, site: SitePrecision) -> list[str]:
    target = target_of(name)
    lines = [_site_line(name)]
    for tester, precision in site.within.items():
        goals = None if target is None else (target.skilled_within, target.beginner_within)
        if is_too_alike(precision, name):
            goals = None  # no praise for readings that were hardly blind
        [*longer, row] = _row(
            tester or NOBODY,
            precision,
            site.minimal_detectable_change_of_two[tester],
            goals,
            REAL_FROM,
        )
        alike = wrap("too alike", "    ") if width() < TABLE_WIDTH else f"{row} too alike"
        if not is_too_alike(precision, name):
            lines += [*longer, row]
        else:
            lines += [*longer, *([row, alike] if width() < TABLE_WIDTH else [alike])]
    return lines


def _between(name: str, site: SitePrecision) -> list[str]:
    if site.between is None:
        return []
    target = target_of(name)
    goals = None if target is None else (target.skilled_between, target.beginner_between)
    return [_site_line(name), *_row("all testers", site.between, site.total, goals, TOTAL)]


def _site_line(name: str) -> str:
    return f"{BY_NAME[name].label} [{BY_NAME[name].unit}]"


def _row(
    label: str,
    precision: Precision,
    last: float | None,
    goals: tuple[float, float] | None,
    last_name: str,
) -> list[str]:
    word = ""
    if goals is not None:
        reached, is_sure = grade(precision, *goals)
        word = f"{GRADE_WORDS[reached]}{'' if is_sure else '?'}"
        if reached == "too_few" and width() >= TABLE_WIDTH:
            word = "too few"  # the table is no wider
    if width() < TABLE_WIDTH:
        text = (
            f"{label}: {_count(precision.clients, 'client')}, TEM {precision.tem:.2f},"
            f" 95% limits {bounds_words(precision)}, {precision.relative:.1f}% of the mean,"
            f" R {reliability_words(precision)}"
        )
        text += "" if last is None else f", {last_name} {last:.2f}"
        return [wrap(f"{text}; {word}" if word else text, "  ", "    ")]
    longer = [] if len(label) <= NAME - 3 else [wrap(label, "  ", "  ")]
    label = "" if longer else label
    numbers = (
        f"{precision.clients:>8}{precision.tem:>6.2f}{bounds_words(precision):>15}{precision.relative:>7.1f}"
        f"{reliability_words(precision):>6}{'-' if last is None else f'{last:.2f}':>10}"
    )
    return [*longer, f"  {label:<{NAME - 2}}{numbers} {word}".rstrip()]


def _systematic(name: str, site: SitePrecision) -> list[str]:
    lines = []
    for tester, difference in site.systematic.items():
        label = tester or NOBODY
        if difference.low is None or difference.high is None:
            span = "one client, no limits"
        else:
            span = f"{signed(difference.low, 2)} to {signed(difference.high, 2)}"
            span += "  real" if difference.is_real else ""
        above = f"{signed(difference.difference, 2)} {BY_NAME[name].unit}"
        lines.append(wrap(f"{label} {above}, {span}", "  ", "    "))
    return [_site_line(name), *lines] if lines else []
