"""``foldspan calibrate TABLE``: hold the ranges against measured reference values."""

from __future__ import annotations

import json
import os
from typing import TYPE_CHECKING, Annotated

import typer

from foldspan.cli.lines import aside, wrap
from foldspan.cli.options import AsPrinted, Force, Map, MapFile, SheetWanted, TableGiven, Unit
from foldspan.cli.signs import echo_json
from foldspan.cli.words import one_of
from foldspan.display_units import signed
from foldspan.problems import FoldspanError, Problem

if TYPE_CHECKING:
    from foldspan.tables.columns import Wanted
    from foldspan.validation.recalibration import LearntCorrection
    from foldspan.validation.references import ReferencedTable
    from foldspan.validation.scores import Judgement
    from foldspan.validation.table import Calibration

WIDTH = 80
TITLES = {"sex": "Sex", "age": "Age", "bmi": "BMI", "measured": "Measured"}

ScaleOfRows = Annotated[
    str,
    typer.Option(
        metavar="density|dxa",
        help="Reference method of all rows, if there is no such column.",
    ),
]


def command(
    table: TableGiven,
    map_: Map = [],  # noqa: B006
    map_file: MapFile = "",
    sheet: SheetWanted = "",
    unit: Unit = [],  # noqa: B006
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON (schema version 2).")] = False,
    reference_method: ScaleOfRows = "",
    figure: Annotated[
        str, typer.Option("-o", "--output", help="Draw a coverage chart: .png, .svg or .pdf.")
    ] = "",
    fit: Annotated[
        str, typer.Option("--fit", help="Fit a local correction and save it to this file.")
    ] = "",
    local: Annotated[
        str, typer.Option("--local", help="Test the ranges with this local correction.")
    ] = "",
    as_printed: AsPrinted = False,
    force: Force = False,
) -> None:
    """Compare ranges with measured body-fat values in a table.

    The table has one row per client, as for reconcile_table, with reference_fat_percent and
    reference_method (density or dxa).

    Example: foldspan calibrate men.csv --reference-method density
    """
    import foldspan
    from foldspan.cli.screen_map import mapping_of
    from foldspan.files.output import Outputs, check_outputs
    from foldspan.practice.settings import SWITCHED_OFF

    if reference_method:
        one_of("--reference-method", reference_method, ("density", "dxa"))
    _check_wanted(figure, fit, as_printed=as_printed)
    check_outputs([figure, fit], [table, local, map_file], replace=force)
    people = _people(table, mapping_of(map_, unit, map_file, sheet))
    correction = foldspan.read_correction(local) if local not in ("", SWITCHED_OFF) else None
    judged = foldspan.calibrate(
        people, reference_method=reference_method, local=correction, as_printed=as_printed
    )
    if as_json:
        echo_json(json.dumps(judged.to_dict(), indent=2, ensure_ascii=False))
    else:
        typer.echo(page(judged))
    for caution in judged.cautions:
        typer.echo(aside(caution), err=True)
    done = Outputs()
    with done.named():
        if figure:
            _draw(judged, figure, force=force)
            done.add(figure)
        if fit:
            learnt = foldspan.learn_correction(people, reference_method=reference_method)
            foldspan.save_correction(fit, learnt, replace=force)
            typer.echo(aside(_learnt_note(learnt, fit)), err=True)


def _people(path: str, wanted: Wanted) -> ReferencedTable:
    """Return the people of a table, and tell how it was read and which rows do not count."""
    from foldspan.tables.whole_table import read_table
    from foldspan.text.tables.sheets import how_read
    from foldspan.validation.references import from_file

    read = read_table(path, wanted.sheet)
    for problem in read.problems:
        typer.echo(aside(problem.sentence()), err=True)
    for note in how_read(read.how_written, read.notes):
        typer.echo(aside(note), err=True)
    return from_file(read, wanted)


def _check_wanted(figure: str, fit: str, *, as_printed: bool) -> None:
    """Raise for a figure that cannot be drawn or a correction not to be learnt, before judging."""
    if figure:
        from foldspan.figures.style import check_figure_ending

        check_figure_ending(figure)
    if fit and as_printed:
        remedy = "Use only one: a correction is fitted to the range as it is normally calculated."
        raise FoldspanError(
            [Problem("E501", "--fit", "cannot be combined with --as-printed", remedy)]
        )


def _draw(judged: Calibration, path: str, *, force: bool) -> None:
    from foldspan.figures.coverage import coverage_figure

    coverage_figure(judged, path, replace=force)
    typer.echo(f"Figure written to {path}.", err=True)


def page(judged: Calibration) -> str:
    """Return the judgement as text, 80 columns."""
    counts = judged.counts
    parts = [
        wrap(
            f"{counts['judged']} of {counts['rows']} rows used; {counts['without_reference']}"
            f" without a reference value, {counts['reference_unusable']} with one that cannot be"
            f" used, {counts['without_range']} without a range. Percentage points of fat; lower"
            " CRPS (continuous ranked probability score) is better."
        ),
        _table("All", {"all people": judged.overall}),
    ]
    for kind, title in TITLES.items():
        if judged.groups.get(kind):
            parts.append(_table(title, judged.groups[kind]))
    parts.append(_table("Range and alternatives", judged.ways))
    order = sorted(judged.equations, key=lambda key: judged.equations[key].crps)
    singles = {key: judged.equations[key] for key in order}
    parts.append(_table("Single equations with their published error, best first", singles))
    shares = ", ".join(f"{word} {100 * share:.1f}%" for word, share in judged.verdicts.items())
    parts.append(f"Agreement of methods: {shares}")
    return "\n\n".join(parts)


def _table(title: str, members: dict[str, Judgement] | object) -> str:
    assert isinstance(members, dict)
    header = f"{'n':>5}{'bias':>6}{'SD':>5}{'SE':>5}{'50%':>6}{'80%':>6}{'95%':>6}{'CRPS':>6}"
    lines = [f"{title:<35}{header}"] if len(title) < 35 else [title, f"{'':<35}{header}"]
    for name, member in members.items():
        held = "".join(f"{100 * member.coverage[level][0]:>6.1f}" for level in member.coverage)
        numbers = (
            f"{member.n:>5}{signed(member.bias, 1):>6}{member.sd:>5.1f}{member.claimed_se:>5.1f}"
        )
        numbers += f"{held}{member.crps:>6.2f}"
        if len(name) > 34:
            lines.append(name)
            name = ""
        lines.append(f"{name:<35}{numbers}")
    return "\n".join(lines)


def _learnt_note(learnt: LearntCorrection, path: str) -> str:
    import tomli_w

    from foldspan.practice.settings import settings_file

    lines = [f"Local correction based on {learnt.correction.people} people, written to {path}."]
    for sex, part in learnt.correction.by_sex.items():
        moves = ", ".join(
            f"{name} {signed(-offset, 1)}"
            for name, offset in zip(part.families, part.offset, strict=True)
        )
        lines.append(f"  {sex} ({part.n}): {moves} points")
    lines += [
        f"  {100 * level:.0f}% range in people left out of the fit: covered"
        f" {100 * learnt.held_out.coverage[level][0]:.1f}%, without the correction"
        f" {100 * learnt.without.coverage[level][0]:.1f}%"
        for level in (0.80, 0.95)
    ]
    lines.append(
        f"  stated standard error {learnt.held_out.claimed_se:.1f} points, without the"
        f" correction {learnt.without.claimed_se:.1f}"
    )
    named = tomli_w.dumps({"local": os.path.abspath(path)}).strip()
    where = settings_file() or "your settings file"
    lines.append(f"  --local {path} uses it once. To use it always, write in {where}:\n  {named}")
    return "\n".join(lines)
