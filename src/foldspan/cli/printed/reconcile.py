"""The reconcile page as text: 80 columns, colour only on a terminal."""

from __future__ import annotations

import os
import sys

import typer

from foldspan.cli.lines import bullet, key_lines, table, width, wrap
from foldspan.cli.printed.health import bands_parts, flags_part, refers
from foldspan.display_units import UNITS, signed, whole_ends
from foldspan.results.result import EquationResult, Result
from foldspan.text.en.reconcile import (
    BUDGET_NAMES,
    FAMILY_NAMES,
    LEFT_OUT_WORDS,
    REFERENCE_SENTENCES,
    SEX_WORDS,
    verdict_sentence,
)
from foldspan.text.made_with import local_sentence, made_with, printed_sentence
from foldspan.visit.model import Visit

MOST_REASONS = 6
# a step that does not show at one decimal is not told [points]
LEAST_STEP = 0.05
REFERENCE_SHORT = {"density": "underwater weighing", "dxa": "DXA"}
STEPS_LEGEND = (
    "Published: the equation's own result, for its own reference method. Converted: change to the"
    " reference method used here, in percentage points. Corrected: the equation's known average"
    " error at this age in the US survey, removed; for skinfolds the error at this age and at a"
    " result this high. Background: a further known error, in adults of the family background that"
    " the client stated. Between age groups: near an age limit, both"
    " groups count."
)
SILENT_WORDS = {"none_fits": "no suitable equation", "none_taken": "not enough measured"}
VERDICT_COLOURS = {"agree": "green", "strained": "yellow", "disagree": "red", "single": None}


def page(visit: Visit, result: Result, units: str, show_all: bool, show_budget: bool) -> str:
    """Return the whole page for one visit."""
    parts = [heading(visit)]
    is_referred = refers(result.health)
    if is_referred:
        parts.append(flags_part(result.health))
    if result.has_range:
        parts += [
            _range(result, units),
            families_part(result),
            _verdict(result),
        ]
        if show_budget:
            parts.append(_budget(result))
        if result.findings:
            lines = [bullet(finding.text) for finding in result.findings[:MOST_REASONS]]
            parts.append("\n".join(["Reasons", *lines]))
    else:
        parts += no_range_parts(result)
    if not is_referred:
        parts.append(flags_part(result.health))
    parts += bands_parts(result.health, show_all=show_all)
    if show_all:
        parts.append(_equations(result))
    parts.append("\n".join(["Cautions", *(bullet(caution) for caution in result.cautions)]))
    return "\n\n".join(parts)


def heading(visit: Visit) -> str:
    """Return who was measured, in one line without a name."""
    client = visit.client
    facts = [
        client.code,
        visit.day.isoformat() if visit.day else "",
        client.known_sex or "equations for both sexes",
        f"{int(client.age_years)} years",
        "athlete" if client.athlete else "",
    ]
    return " · ".join(fact for fact in facts if fact)


def no_range_parts(result: Result) -> list[str]:
    """Return why there is no range, and both answers where it is open which equations fit."""
    if not result.by_sex:
        return [
            "No range can be given for this visit.",
            *(wrap(problem.sentence()) for problem in result.problems),
        ]
    answers = [
        bullet(
            f"Equations for {SEX_WORDS[sex]}: {_either(result_of_sex)}"
            f" {local_sentence(result_of_sex.local)}"
        )
        for sex, result_of_sex in result.by_sex
    ]
    answers += [wrap(printed_sentence(result))] if result.as_printed else []
    why = [wrap(problem.sentence()) for problem in result.problems]
    return ["\n".join(["Both results, side by side", *answers]), *why]


def _either(result: Result) -> str:
    if result.has_range:
        return likely_sentence(result)
    return " ".join(problem.sentence() for problem in result.problems)


def likely_sentence(result: Result) -> str:
    """Return the 80 % range of a result that has one, as a sentence."""
    fat = result.fat_percent
    assert fat.range_80 is not None
    low, high = whole_ends(fat.range_80)
    return (
        f"Body fat: {low}% to {high}% (80% range), best single estimate about {fat.estimate:.0f}%."
    )


def _range(result: Result, units: str) -> str:
    wide = result.fat_percent.range_95
    assert wide is not None
    lowest, highest = whole_ends(wide)
    lines = [
        wrap(likely_sentence(result)),
        wrap(REFERENCE_SENTENCES[result.reference_method]),
        wrap(f"Very likely between {lowest}% and {highest}% (95% range)."),
    ]
    fat_mass, fat_free_mass = result.fat_mass_kg.estimate, result.fat_free_mass_kg.estimate
    if fat_mass is not None and fat_free_mass is not None:
        per, unit = UNITS[units].per_mass, UNITS[units].mass
        weight = round((fat_mass + fat_free_mass) / per, 1)
        shown = round(fat_mass / per, 1)
        lines.append(
            wrap(
                f"Best estimate: fat mass {shown:.1f} {unit} + fat-free mass"
                f" {weight - shown:.1f} {unit} = {weight:.1f} {unit}."
            )
        )
        least, most = result.fat_mass_kg.range_80 or (fat_mass, fat_mass)
        low, high = whole_ends((least / per, most / per))
        lines.append(f"Fat mass: {low} to {high} {unit} (80% range).")
    if made_with(result):
        lines.append(wrap(made_with(result)))
    return "\n".join(lines)


# columns that the table of the methods takes
TABLE_WIDTH = 59
# columns of an equation with its numbers
EQUATION_WIDTH = 69
LISTED = "Methods: body fat ± standard error of estimate (SEE)"


def families_part(result: Result) -> str:
    """Return the methods side by side: what each says, its error and its weight.

    A list where the terminal is too narrow for the table.
    """
    remarks = [wrap(remark) for remark in _remarks_on_families(result)]
    if width() < TABLE_WIDTH:
        return "\n".join([wrap(LISTED), *_families_listed(result), *remarks])
    lines = [f"{'Method':<22}{'body fat':>9}{'SEE':>7}{'weight':>9}{'equations':>12}"]
    by_family = {family.method: family for family in result.methods}
    for family, name in FAMILY_NAMES.items():
        estimate = by_family.get(family)
        if estimate is None:
            lines.append(f"{name:<22}{SILENT_WORDS[result.why_silent(family)]:>20}")
            continue
        lines.append(
            f"{name:<22}{estimate.estimate:>8.1f}%{estimate.se:>7.1f}"
            f"{100 * estimate.weight:>8.0f}%{len(estimate.equations):>12}"
        )
    left = 1.0 - sum(family.weight for family in result.methods)
    if left > 0.005:
        lines.append(f"{'results from elsewhere':<22}{'':>16}{100 * left:>8.0f}%")
    return "\n".join([*lines, *remarks])


def _remarks_on_families(result: Result) -> list[str]:
    lines = [
        (
            "SEE: standard error of estimate; the true value lies within one SEE about 68% of"
            " the time."
        )
    ]
    if any(family.weight < 0.005 for family in result.methods):
        lines.append("Weight 0%: this method adds no information beyond the others.")
    return lines


def _families_listed(result: Result) -> list[str]:
    """The table of the methods as points of a list."""
    by_family = {family.method: family for family in result.methods}
    lines = []
    for family, name in FAMILY_NAMES.items():
        estimate = by_family.get(family)
        if estimate is None:
            lines.append(bullet(f"{name}: {SILENT_WORDS[result.why_silent(family)]}"))
            continue
        many = (
            "1 equation" if len(estimate.equations) == 1 else f"{len(estimate.equations)} equations"
        )
        weight = f"weight {100 * estimate.weight:.0f}%"
        lines.append(
            bullet(f"{name}: {estimate.estimate:.1f}% ± {estimate.se:.1f} (SEE), {weight}, {many}")
        )
    left = 1.0 - sum(family.weight for family in result.methods)
    if left > 0.005:
        lines.append(bullet(f"results from elsewhere: weight {100 * left:.0f}%"))
    return lines


def _verdict(result: Result) -> str:
    return wrap(_colour(verdict_sentence(result.verdict, result.misfit.inflation), result.verdict))


def _budget(result: Result) -> str:
    total = sum(result.budget.values())
    rows, points = [f"{'':<36}{'points²':>9}{'share':>8}"], []
    every = [(BUDGET_NAMES[block], variance) for block, variance in result.budget.items()]
    for name, variance in [*every, ("total (squared standard error)", total)]:
        share = f"{100 * variance / total:.0f}%"
        rows.append(f"{name:<36}{variance:>9.2f}{share:>8}")
        points.append(f"{name}: {variance:.2f} points², {share}")
    title = "Sources of uncertainty"
    return "\n".join(table([title, *rows], title, points))


def _equations(result: Result) -> str:
    is_wide = width() >= EQUATION_WIDTH
    lines = ["Equations", *([f"{'':2}{'key':<52}{'body fat':>9}{'±':>6}"] if is_wide else [])]
    for equation in result.equations:
        if equation.used and equation.estimate is not None and equation.se is not None:
            numbers = f"{equation.estimate:>8.1f}%{equation.se:>6.1f}"
            if is_wide:
                lines.append(f"{'*':2}{equation.key:<52}{numbers}")
            else:
                said = f"{'':4}{equation.estimate:.1f}% ± {equation.se:.1f}"
                lines += [*key_lines(equation.key, "* "), said]
            lines += [
                wrap(f"({LEFT_OUT_WORDS[code]})", " " * 4, " " * 6) for code in equation.remarks
            ]
            lines += _steps(equation)
        elif "wrong_sex" not in equation.left_out_because:
            value = "" if equation.estimate is None else f"{equation.estimate:>8.1f}%"
            if is_wide:
                lines.append(f"{'':2}{equation.key:<52}{value}".rstrip())
            else:
                lines += key_lines(equation.key)
                lines += [f"{'':4}{value.strip()}"] if value else []
            lines += [
                wrap(f"left out: {LEFT_OUT_WORDS[code]}", " " * 4, " " * 6)
                for code in equation.left_out_because
            ]
            lines += _steps(equation)
    lines.append("left out: developed for the other sex")
    lines += [
        line
        for equation in result.equations
        if "wrong_sex" in equation.left_out_because
        for line in key_lines(equation.key)
    ]
    in_use = "* used. ±: the equation's whole error for this person, without measurement error."
    lines.append(wrap(in_use))
    lines.append(wrap(STEPS_LEGEND))
    return "\n".join(lines)


def _steps(equation: EquationResult) -> list[str]:
    """Return what the source prints and each step from there to the estimate, on a line below it."""
    if equation.estimate is None or equation.as_printed is None:
        return []
    steps = {
        "converted": equation.moved,
        "corrected": equation.levelled,
        "background": equation.for_background,
    }
    steps["between age groups"] = equation.estimate - equation.as_printed - sum(steps.values())
    steps_shown = [
        f"{name} {signed(points, 1)}" for name, points in steps.items() if abs(points) >= LEAST_STEP
    ]
    if not (steps_shown or equation.used):
        return []
    printed = f"published {equation.as_printed:.1f}% ({REFERENCE_SHORT[equation.reference_method]})"
    return [wrap("; ".join([printed, *steps_shown]), " " * 4, " " * 6)]


def _colour(text: str, verdict: str | None) -> str:
    colour = VERDICT_COLOURS.get(verdict or "single")
    if colour is None or os.environ.get("NO_COLOR") or not sys.stdout.isatty():
        return text
    word, _, rest = text.partition(":")
    return typer.style(word, fg=colour) + (":" + rest if rest else "")
