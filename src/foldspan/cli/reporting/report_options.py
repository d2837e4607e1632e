"""How pages are asked for: what one page and many have in common."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from foldspan.cli.options import LANGUAGE_CODES
from foldspan.cli.words import one_of
from foldspan.problems import FoldspanError, Problem

if TYPE_CHECKING:
    from foldspan.cli.visits_given import GivenVisits
    from foldspan.export.report import Report

READERS = ("client", "trainer", "clinician")
FIGURE_NAMES = (
    "dots", "agreement", "equations", "bands", "budget", "narrowing", "profile", "trend",
)  # fmt: skip
FORMATS = ("pdf", "html", "json", "fhir.json")


@dataclass(frozen=True, slots=True)
class ReportOptions:
    """What is wanted of every page; ``settings`` are those of ``api.report`` and the same for all."""

    reader: str
    """``client``, ``trainer`` or ``clinician``."""
    book: str = ""
    """The record book, "" for the usual one."""
    agreed: bool = False
    """Whether the client has just agreed to share it."""
    with_sex_and_age: bool = False
    """Whether files for other programs tell sex and age."""
    replace: bool = False
    """Whether files that are there may be written over."""
    accept_unusual: bool = False
    """Whether very unusual values are taken."""
    settings: dict[str, Any] = field(default_factory=dict)
    """Units, language, paper, practice, and how the range is worked out."""

    def page(self, given: GivenVisits) -> Report:
        """Return the page about the last of the visits given."""
        from foldspan.api.report import report
        from foldspan.measuring.beside import BesideVisits

        beside = given.beside or BesideVisits()
        options = beside.for_report()
        if self.agreed:
            options |= {"agreed_to_share": True, "agreed_anew": beside.agreed is False}
        first, *later = given.visits
        return report(first, *later, reader=self.reader, **options, **self.settings)

    def remarks(self, given: GivenVisits, made: Report, paths: Sequence[str]) -> list[str]:
        """Return what whoever hands the page over should know about it."""
        from foldspan.text.en.staff_pages import PAGE_REMARKS

        lines = []
        if self.reader != "client":  # a client reads no spans
            warnings = [problem for visit in given.visits for problem in visit.warnings]
            lines += [problem.sentence(show_given=True) for problem in warnings]
        beside = given.beside
        if beside is not None and beside.wants_none and self.reader == "client":
            lines.append(PAGE_REMARKS["wants_none"])
        if self.agreed and beside is not None and beside.agreed is False:
            lines.append(PAGE_REMARKS["said_no"])
        return [*lines, *dict.fromkeys(line for path in paths for line in made.remarks(path))]


def files_kept(book: str, local: str) -> tuple[str, ...]:
    """Return the files that a page must not be written over, whatever visit it is about."""
    from foldspan.files.output import files_of_book
    from foldspan.practice.settings import files_of_settings
    from foldspan.records.location import book_path
    from foldspan.validation.correction_file import files_read

    return (*files_of_book(book_path(book)), *files_of_settings(), *files_read(local))


def check_words(reader: str, units: str, language: str, paper: str, figure: str) -> None:
    """Raise E501 for a word that is not known."""
    one_of("--for", reader, READERS)
    one_of("--units", units, ("metric", "us"))
    for name, given, known in (
        ("--language", language, LANGUAGE_CODES),
        ("--paper", paper, ("a4", "letter")),
        ("--figure", figure, FIGURE_NAMES),
    ):
        if given:
            one_of(name, given, known)


def check_patient(endings: Sequence[str], *, wanted: bool) -> None:
    """Raise E501 where sex and age are asked for in files that do not change by it."""
    if wanted and ".fhir.json" not in endings:
        remedy = "Give a file name that ends in .fhir.json, or leave the option out."
        raise FoldspanError([Problem("E501", "--with-patient", "is for .fhir.json only", remedy)])


def check_one_or_many(
    visits: Sequence[str], out: str, folder: str, formats: Sequence[str], figure: str,
    *, every: bool, agreed: bool,
) -> None:  # fmt: skip
    """Raise E501 for options of one page beside those of many, and for a place or visit that lacks.

    All at once.
    """
    found: list[tuple[str, str, str]] = []
    if folder:
        for_one_page = ((out, "--out"), (figure, "--figure"), (agreed, "--agreed"))
        remedy = "Leave it out, or write this page by itself with -o FILE."
        found += [
            (name, "is for one page, not for --out-dir", remedy) for on, name in for_one_page if on
        ]
    else:
        for_many_pages = ((formats, "--format"), (every, "--every-client"))
        remedy = "Add --out-dir DIR, or leave it out."
        found += [(name, "is for --out-dir", remedy) for on, name in for_many_pages if on]
        if not out:
            remedy = "Write one page with -o FILE, or many with --out-dir DIR."
            found.append(("--out", "no file given", remedy))
    if visits and every:
        remedy = "Give the visits, or leave them out for every client in the book."
        found.append(("--every-client", "contradicts the visits named", remedy))
    if not visits and not every:
        remedy = "Give a visit file or a client in the book."
        found.append(("VISIT", "none given", remedy))
    if found:
        raise FoldspanError([Problem("E501", *problem) for problem in found])
    for word in formats:
        one_of("--format", word, FORMATS)
