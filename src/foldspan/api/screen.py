"""Screening a table from Python: one file or folder to another, and its summary."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping, Sequence
from contextlib import closing, contextmanager, nullcontext
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from foldspan.estimation.local_correction import LocalCorrection
from foldspan.estimation.settings import settings_for
from foldspan.explanation.correction_used import LocalUsed
from foldspan.extras import require
from foldspan.files.output import Outputs, check_apart, check_outputs, private_file
from foldspan.practice.model import Practice
from foldspan.problems import FoldspanError, Problem
from foldspan.screening.batch import Plan
from foldspan.screening.before.given import EarlierTable, as_earlier
from foldspan.screening.collect import ReferralList
from foldspan.screening.notes import ScreeningNote, columns_read, notes_on_earlier
from foldspan.screening.run.partitioned import Mapper, run_parts
from foldspan.screening.run.processes import in_order
from foldspan.screening.run.single import Gathered, LetterWriter, Progress, run_columns, run_csv
from foldspan.screening.summary import Screening
from foldspan.tables.columns import Layout, Wanted
from foldspan.tables.parquet import ParquetSource, TableSource, readable_parts
from foldspan.tables.paths import TablePaths, check_list, check_sheet, paths_of
from foldspan.tables.value_words import meanings

if TYPE_CHECKING:
    from foldspan.screening.before.summary import Matching
    from foldspan.screening.workbook import ResultWorkbook
    from foldspan.tables.csv.blocks import CsvSource


def screen_table(
    path: str | os.PathLike[str],
    out: str | os.PathLike[str],
    *,
    names: Mapping[str, str] | None = None,
    units: Mapping[str, str] | None = None,
    words: Mapping[str, Any] | None = None,
    sheet: str = "",
    before: str | os.PathLike[str] | EarlierTable | None = None,
    reference_method: str = "",
    conversion: str = "siri1961",
    with_disputed: bool = False,
    as_printed: bool = False,
    local: LocalCorrection | None = None,
    referrals: str = "",
    letters: str = "",
    practice: Practice | None = None,
    workers: int = 1,
    scheduler: str = "",
    resume: bool = False,
    replace: bool = False,
    accept_unusual: bool = False,
    most_problems: int = 0,
    progress: Progress | None = None,
) -> Screening:
    """Screen a table with one row per client into another file, of any length, in constant memory.

    Parameters
    ----------
    path, out : str or path
        ``.csv``, ``.csv.gz``, ``.xlsx`` or ``.parquet``, and ``.ods`` to read; ``-`` for a CSV on the
        standard streams; or a folder of ``.parquet`` parts, whose result may be a folder too. The
        result has the columns of the table, unchanged, and those of ``reconcile_table`` with three
        bands, in the order of the rows; a workbook also has sheets with the people to refer, the
        summary, and the problems.
    names, units : mapping, optional
        Column in the table → name used here, and column in the table → unit of its bare numbers.
        The name ``not_used`` ignores a column.
    words : mapping, optional
        Word in the table → word used here, such as ``{"weiblich": "female"}``, for every column
        that has that word; or column → such a mapping.
    sheet : str
        The sheet of a workbook, where there are several.
    before : str, path or EarlierTable, optional
        An earlier table, such as that of the year before. Clients are matched by their ``code``, and
        the result says for each whether the change is beyond chance.
    reference_method, conversion, with_disputed, as_printed, local
        As in ``reconcile``.
    referrals : str
        File for the list of people to refer (CSV), the most urgent first.
    letters : str
        Folder for letters to a clinician, one for each person to refer.
    practice : Practice, optional
        Sender of the letters, as returned by ``foldspan.site_practice()``.
    workers : int
        Number of processes. In a script, more than one needs the call to be under ``if __name__ ==
        "__main__":``.
    scheduler : str
        Address of a Dask scheduler, or ``local``; for folders of parts only.
    resume : bool
        Continue with a folder of parts whose screening was interrupted.
    replace : bool
        Overwrite existing files.
    accept_unusual : bool
        Also write letters where the only reason for referral is a weight that looks like another
        unit.
    most_problems : int
        How many rows with a problem the summary names, of a table of one file.
    progress : callable, optional
        Called with the number of rows done and the share of the table read, or None.

    Returns
    -------
    Screening
        The summary. No row is lost: for a row without a range, ``problems`` says why.

    Raises
    ------
    FoldspanError
        For a table that cannot be read as one row per client, a result that cannot be written, and
        unknown options.

    Examples
    --------
    >>> import foldspan, tempfile, pathlib
    >>> folder = pathlib.Path(tempfile.mkdtemp())
    >>> day = ["sex,age_years,weight_kg,height_cm", "female,41,71.3,168"]
    >>> _ = (folder / "day.csv").write_text(chr(10).join(day))
    >>> foldspan.screen_table(str(folder / "day.csv"), str(folder / "out.csv")).with_range
    1
    """
    paths = paths_of(os.fspath(path), os.fspath(out), replace=replace)
    _check_outputs(paths, referrals, letters, replace=replace)
    _check(paths, workers, scheduler, resume, sheet)
    earlier = as_earlier(before)
    _check_earlier(earlier, scheduler, (os.fspath(out), referrals, letters))
    wants_list = bool(referrals) or paths.out_kind == "sheet"
    options: dict[str, Any] = {
        **_checked(
            reference_method, conversion,
            {"with_disputed": with_disputed, "as_printed": as_printed, "local": local},
        ),
        "word_meanings": meanings(words or {}),
        "as_text": paths.out_kind == "csv", "with_list": wants_list, "with_letters": bool(letters),
        "accept_unusual": accept_unusual, "most_problems": most_problems,
    }  # fmt: skip
    run = _Run(
        paths, Wanted(dict(names or {}), dict(units or {}), sheet=sheet), options,
        workers, scheduler, resume, replace, progress or (lambda rows, share: None), earlier,
    )  # fmt: skip
    listing = ReferralList(with_part=paths.source_kind == "parts", is_wanted=wants_list)
    with closing(Gathered(listing, most_problems=most_problems)) as gathered:
        gathered.letters = _letter_writer(letters, options, practice, replace=replace or resume)
        return run.whole(gathered, referrals)


def _letter_writer(
    folder: str, options: dict[str, Any], practice: Practice | None, *, replace: bool
) -> LetterWriter | None:
    if not folder:
        return None
    from foldspan.api.letters import Letters

    settings = {
        name: options[name]
        for name in ("reference_method", "conversion", "with_disputed", "as_printed", "local")
    }
    return Letters(folder, settings, practice=practice, replace=replace)


def _checked(reference_method: str, conversion: str, options: Mapping[str, Any]) -> dict[str, Any]:
    """Return the settings of every row, with the reference method that they come to; E501, E601."""
    return {
        "reference_method": settings_for(reference_method, conversion, **options).reference_method,
        "conversion": conversion,
        **options,
    }


def _check_outputs(paths: TablePaths, referrals: str, letters: str, *, replace: bool) -> None:
    """Raise for a list or letters that cannot be written, or would be over what is read."""
    check_list(referrals)
    if letters:
        require("pages")
    if "sheet" in (paths.source_kind, paths.out_kind):
        require("sheets")
    check_apart([(referrals, paths.out), *((letters, path) for path in (paths.source, paths.out))])
    check_outputs([referrals], [paths.source], replace=replace)


def _check(paths: TablePaths, workers: int, scheduler: str, resume: bool, sheet: str) -> None:
    """Raise E501 for options that do not go with these paths."""
    check_sheet(paths.source_kind, sheet)
    found = []
    if workers < 1:
        found.append(Problem("E501", "workers", "at least one is needed", "Use 1 or more."))
    if paths.out_kind != "parts":
        remedy = "Both the table and the result must be folders of .parquet parts."
        found += [
            Problem("E501", name, "works from a folder to a folder only", remedy)
            for name, given in (("resume", resume), ("scheduler", bool(scheduler)))
            if given
        ]
    if found:
        raise FoldspanError(found)


def _check_earlier(earlier: EarlierTable | None, scheduler: str, outputs: Sequence[str]) -> None:
    """Raise for an earlier table that would be written over, or that other machines cannot see."""
    if earlier is None:
        return
    path = os.fspath(earlier.path)
    check_apart([(out, path) for out in outputs])
    if scheduler and scheduler != "local":
        what, remedy = (
            "works on one machine only",
            "Leave --scheduler out, or use --scheduler local.",
        )
        raise FoldspanError([Problem("E501", "--before", what, remedy)])


@dataclass(slots=True)
class _Run:
    """One screening that was asked for, and what it comes to know besides its rows."""

    paths: TablePaths
    wanted: Wanted
    options: dict[str, Any]
    workers: int
    scheduler: str
    resume: bool
    replace: bool
    progress: Progress
    earlier: EarlierTable | None = None
    matching: Matching | None = None
    layouts: list[Layout] = field(default_factory=list)
    left_out: list[str] = field(default_factory=list)
    notes: list[ScreeningNote] = field(default_factory=list)

    def _plan_of_csv(self, layout: Layout, source: CsvSource) -> Plan:
        if source.dialect.how_written:
            self.notes.append(ScreeningNote("written", dialect=source.dialect))
        self.layouts.append(layout)
        return Plan(layout, source.dialect, **self.options)

    def _plan_of(self, layout: Layout, source: TableSource) -> Plan:
        self.notes += [ScreeningNote("sheet", sheet=note) for note in source.notes]
        self.layouts.append(layout)
        return Plan(layout, source.dialect, **self.options)

    def whole(self, gathered: Gathered, referrals: str) -> Screening:
        """Run it, write the list of those to refer, and return what came of it."""
        done = Outputs()
        with (
            done.named(),
            # opened before the work begins: a list that cannot be written is told at once
            private_file(referrals, replace=self.replace) if referrals else nullcontext() as listed,
        ):
            self.beside_earlier(gathered)
            done.add(self.paths.out)
            if listed is not None:
                gathered.referrals.write(listed)
        return self.summary(gathered)

    def beside_earlier(self, gathered: Gathered) -> None:
        """Run it with the earlier table at hand, where there is one."""
        if self.earlier is None:
            self.go(gathered)
            return
        from foldspan.screening.before.prepare import prepared

        settings = Plan(Layout((), {}), **self.options).settings
        with prepared(self.earlier, self.paths, self.wanted, settings, workers=self.workers) as (
            earlier,
            self.matching,
        ):
            self.options["earlier"] = earlier
            self.go(gathered)

    def go(self, gathered: Gathered) -> None:
        """Run it from door to door."""
        paths, wanted = self.paths, self.wanted
        if paths.out_kind == "parts":
            with _mapper(self.workers, self.scheduler) as mapper:
                self.left_out += run_parts(
                    paths, self._plan_of, wanted, gathered, mapper=mapper,
                    resume=self.resume, force=self.replace, progress=self.progress,
                )  # fmt: skip
            return
        how: dict[str, Any] = {
            "workers": self.workers, "replace": self.replace, "progress": self.progress,
            "ended": lambda book: self._end(book, gathered),
        }  # fmt: skip
        if paths.source_kind == "csv":
            run_csv(paths, self._plan_of_csv, wanted, gathered, **how)
        else:
            sources: Iterator[TableSource]
            if paths.source_kind == "parts":
                sources = readable_parts(paths.source, self.left_out)
            elif paths.source_kind == "sheet":
                from foldspan.tables.sheets.source import SheetSource

                sources = iter([SheetSource(paths.source, wanted.sheet)])
            else:
                sources = iter([ParquetSource(paths.source)])
            run_columns(paths, sources, self._plan_of, wanted, gathered, **how)

    def _end(self, book: ResultWorkbook, gathered: Gathered) -> None:
        """Write into a workbook what came of it, beside its rows."""
        book.end(self.summary(gathered), gathered.referrals)
        if book.cut:
            self.notes.append(ScreeningNote("cut", rows=book.cut))

    def summary(self, gathered: Gathered) -> Screening:
        """Return what came of it."""
        repeated = gathered.count_repeats()
        layout, matching = self.layouts[0], self.matching
        earlier = () if matching is None else notes_on_earlier(matching.read, matching.unused)
        return Screening(
            reference_method=self.options["reference_method"],
            local=_named(self.options["local"]),
            as_printed=self.options["as_printed"],
            tally=gathered.tally,
            referred=gathered.referrals.count,
            first_referred=gathered.referrals.first,
            repeated_rows=repeated,
            given_names=tuple((name, some[0].given) for name, some in layout.columns.items()),
            unread_rows=tuple(gathered.unread),
            problem_rows=tuple(gathered.problem_rows),
            unused=layout.unused,
            passed_through=layout.passed,
            coded_notes=(
                *self.notes,
                *_column_notes(layout),
                *earlier,
                *_letter_notes(gathered.letters),
            ),
            unreadable_parts=tuple(self.left_out),
            matching=matching,
        )


def _named(local: LocalCorrection | None) -> LocalUsed | None:
    """Return the correction of the rows of the sexes that it covers, as the summary names it."""
    if local is None:
        return None
    return LocalUsed(local.reference_method, local.people, local.made, is_applied=True)


@contextmanager
def _mapper(workers: int, scheduler: str) -> Iterator[Mapper]:
    """How parts are given to workers: processes of this machine, or a cluster."""
    if scheduler:
        from foldspan.screening.run.cluster import cluster_mapper

        with cluster_mapper(scheduler, workers) as mapper:
            yield mapper
    else:
        yield lambda work, jobs: in_order(work, jobs, workers)


def _letter_notes(writer: LetterWriter | None) -> list[ScreeningNote]:
    if writer is None:
        return []
    counts = {"letters": writer.written, "not_referring": writer.without_referral}
    return [
        ScreeningNote(code, rows=rows, folder=writer.folder)
        for code, rows in counts.items()
        if rows
    ]


def _column_notes(layout: Layout) -> list[ScreeningNote]:
    """Which columns were read, and which were not: a measurement by another name is not to be missed."""
    found = [ScreeningNote("read", columns_read(layout))]
    found += [ScreeningNote("passed", tuple(layout.passed))] if layout.passed else []
    found += [ScreeningNote("unused", tuple(layout.unused))] if layout.unused else []
    found += [] if "code" in layout.columns else [ScreeningNote("no_code")]
    missing = tuple(name for name in ("weight_kg", "height_cm") if name not in layout.columns)
    return [*found, *([ScreeningNote("no_size", missing)] if missing else [])]
