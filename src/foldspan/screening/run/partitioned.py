"""Partitioned: a folder of Parquet files to a folder of the same names, each worked on as a whole.

A part that is done says so itself: the counts over its rows and what it was made from stand in its own
metadata, so that an interrupted run goes on where it stopped, on any machine that sees the folders.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from importlib.metadata import version
from pathlib import Path
from typing import Any

import pyarrow as pa
import pyarrow.parquet as pq

from foldspan.files.output import check_apart
from foldspan.problems import FoldspanError, Problem
from foldspan.screening.batch import Plan, as_text
from foldspan.screening.collect import SHOWN, ReferralList
from foldspan.screening.counts import Tally
from foldspan.screening.referrals import Flagged, referrals_of
from foldspan.screening.run.single import Gathered, LetterWriter, Progress, layout_for, run_columns
from foldspan.tables.columns import LABELS, Layout, Wanted
from foldspan.tables.parquet import (
    ParquetSource,
    TableSource,
    is_from_elsewhere,
    kept_in,
    readable_parts,
)
from foldspan.tables.paths import TablePaths, make_folder, parts_of
from foldspan.text.screen import NOTES

# columns of a result that the list of those to be referred is made from
REFERRAL_INPUTS = ("flags", "borderline_flags", "problems")


@dataclass(frozen=True, slots=True)
class PartJob:
    """One part: where it comes from and goes to, and how it is to be worked on.

    ``made_of`` is what its result depends on, as it was before the work began. ``again`` is set where
    it was given out before, and its result may be there already.
    """

    source: str
    out: str
    plan: Plan
    made_of: dict[str, Any]
    letters: LetterWriter | None = None
    again: bool = False


@dataclass(frozen=True, slots=True, repr=False)
class PartDone:
    """A part that is done, or why it could not be."""

    source: str
    tally: Tally
    letters: LetterWriter | None = None
    problem: str = ""


Mapper = Callable[[Callable[[PartJob], PartDone], Iterable[PartJob]], Iterator[PartDone]]


def work_on_part(job: PartJob) -> PartDone:
    """Work on one part from file to file; a part that cannot be read is left out and says why."""
    _check_version(job)
    if job.again and job.letters is None and _is_done(job):
        return _kept_part(job)
    letters = None if job.letters is None else job.letters.for_a_part()
    gathered = Gathered(ReferralList(is_wanted=False), letters, Path(job.source).stem)
    job_paths = TablePaths(job.source, "parquet", job.out, "parquet")

    def kept() -> dict[str, Any]:
        gathered.count_repeats()
        return job.made_of | {"tally": gathered.tally.to_dict()}

    try:
        source = ParquetSource(job.source)
        if list(job.plan.layout.names) != source.names:
            what = "its columns differ from those of the first part"
            remedy = "Give all parts the same columns in the same order."
            raise FoldspanError([Problem("E404", job.source, what, remedy)])
        run_columns(
            job_paths, iter([source]), lambda layout, source: job.plan, Wanted(), gathered,
            workers=1, replace=True, progress=lambda rows, share: None, kept=kept,
        )  # fmt: skip
    except FoldspanError as error:
        if error.problems[0].where == job.out:
            raise  # no room, no right to write: nothing to do with this part
        return PartDone(job.source, Tally(), letters, str(error))
    finally:
        gathered.close()
    return PartDone(job.source, gathered.tally, letters)


def _check_version(job: PartJob) -> None:
    """Raise E303 where the worker is of another version than the one that leads it."""
    here, wanted = version("foldspan"), job.made_of["version"]
    if here != wanted:
        what = f"a worker has foldspan {here}, and this is foldspan {wanted}"
        remedy = "Install one version on every machine."
        raise FoldspanError([Problem("E303", "--scheduler", what, remedy)])


def _how(plan: Plan) -> dict[str, Any]:
    """What every result depends on: the version, and how the parts are worked on."""
    settings = [
        plan.reference_method, plan.conversion, plan.with_disputed, plan.as_printed, plan.local,
        plan.with_letters, plan.accept_unusual,
        list(plan.layout.names), sorted(plan.layout.columns.items()), sorted(plan.word_meanings.items()),
    ]  # fmt: skip
    if plan.earlier is not None:  # by what it holds: where it waits is new in every run
        settings.append(plan.earlier.stamp)
    return {
        "version": version("foldspan"),
        "how": hashlib.sha256(repr(settings).encode()).hexdigest(),
    }


def _state_of(source: Path) -> dict[str, Any]:
    """A part as it is now."""
    state = source.stat()
    return {"bytes": state.st_size, "changed": state.st_mtime_ns}


def run_parts(
    paths: TablePaths,
    plan_of: Callable[[Layout, TableSource], Plan],
    wanted: Wanted,
    gathered: Gathered,
    *,
    mapper: Mapper,
    resume: bool,
    force: bool,
    progress: Progress,
) -> list[str]:
    """Screen a folder of parts into a folder; return why parts were left out.

    Raises
    ------
    FoldspanError
        E308 where the folder of the result holds parts already, and neither ``resume`` nor ``force``.
    """
    make_folder(paths.out)
    if not (resume or force) and parts_of(paths.out):
        remedy = "Add --resume to continue, --force to start again, or give a new folder."
        raise FoldspanError([Problem("E308", paths.out, "already contains parts", remedy)])
    left_out: list[str] = []
    # the list of whom to refer is read off the results
    first = _first_part(paths, left_out)
    plan = replace(plan_of(layout_for(first.names, wanted), first), with_list=False)
    jobs = _jobs_of(paths, plan, gathered.letters)
    check_apart([(job.out, job.source) for job in jobs])
    waiting = [job for job in jobs if not (resume and _is_done(job))]
    _spare([job.out for job in waiting], force=force)
    fresh_ones = {job.source for job in waiting}
    done = {job.source: _kept_part(job) for job in jobs if job.source not in fresh_ones}
    size = sum(os.path.getsize(job.source) for job in jobs)
    read = 0
    fresh = iter(mapper(work_on_part, waiting))
    for job in jobs:
        part = done[job.source] if job.source in done else next(fresh)
        read += os.path.getsize(job.source)
        if part.problem:
            old = NOTES["old"].format(path=job.out) if os.path.exists(job.out) else ""
            left_out.append(f"{part.problem} {old}".strip())
            continue
        gathered.tally += part.tally
        if gathered.letters is not None and part.letters is not None:
            gathered.letters.count(part.letters)
        _add_referrals(gathered.referrals, job)
        progress(gathered.tally.rows, read / size)
    stale = {path.name for path in parts_of(paths.out)} - {Path(job.out).name for job in jobs}
    if stale:
        left_out.append(NOTES["stale"].format(folder=paths.out, names=", ".join(sorted(stale))))
    return list(dict.fromkeys(left_out))


def _jobs_of(paths: TablePaths, plan: Plan, letters: LetterWriter | None) -> list[PartJob]:
    how = _how(plan)
    return [
        PartJob(str(path), os.path.join(paths.out, path.name), plan, how | _state_of(path), letters)
        for path in parts_of(paths.source)
    ]


def _first_part(paths: TablePaths, left_out: list[str]) -> ParquetSource:
    """The first part that can be read."""
    first = next(readable_parts(paths.source, left_out), None)
    if first is None:
        remedy = "Check the parts one by one."
        raise FoldspanError(
            [Problem("E303", paths.source, "none of the parts can be read", remedy)]
        )
    first.close()
    return first


def _is_done(job: PartJob) -> bool:
    """Whether the result of a part is there, whole, and made from the same in the same way."""
    kept = kept_in(Path(job.out)) if os.path.exists(job.out) else None
    if kept is None or {key: kept.get(key) for key in job.made_of} != job.made_of:
        return False
    try:  # the metadata stand at the end: what is before them may be damaged
        pq.read_table(job.out, columns=[*REFERRAL_INPUTS])
    except (OSError, pa.ArrowException):
        return False
    return True


def _spare(results: Sequence[str], *, force: bool) -> None:
    """Raise E308 where a file that no screening wrote stands in the place of a result."""
    others = [path for path in results if not force and is_from_elsewhere(Path(path))]
    if others:
        remedy = "Choose another folder, or add --force to overwrite it."
        raise FoldspanError(
            [Problem("E308", path, "already exists, from another run", remedy) for path in others]
        )


def _kept_part(job: PartJob) -> PartDone:
    kept = kept_in(Path(job.out))
    assert kept is not None
    return PartDone(job.source, Tally.from_dict(kept["tally"]))


def _add_referrals(referrals: ReferralList, job: PartJob) -> None:
    """Read the list of those to be referred off a part that is done."""
    layout = job.plan.layout
    names = {
        label: layout.names[layout.columns[label][0].place]
        for label in LABELS
        if label in layout.columns
    }
    columns = [*REFERRAL_INPUTS, *names.values()]
    base = 0
    with pq.ParquetFile(job.out) as file:
        for batch in file.iter_batches(columns=columns):
            labels = {column: as_text(batch.column(name)) for column, name in names.items()}
            flags, unsure, problems = (_decoded(batch.column(name)) for name in REFERRAL_INPUTS)
            flagged = Flagged.from_texts(flags, unsure)
            rows = flagged.rows if referrals.is_wanted else flagged.first(SHOWN)
            found = referrals_of(
                flagged, rows, problems, labels, takes_units=job.plan.accept_unusual
            )
            more = flagged.rows.size - rows.size
            referrals.add(found, base, Path(job.source).name, more=more)
            base += len(batch)


def _decoded(column: pa.Array) -> pa.Array:
    return column.cast(pa.string()) if pa.types.is_dictionary(column.type) else column


__all__ = ["Mapper", "PartDone", "PartJob", "run_parts", "work_on_part"]
