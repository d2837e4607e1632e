"""Report: the frozen answer of ``report``, and the files that it can be written to."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import Any

from foldspan.export.fhir.bundle import OfVisit, bundle
from foldspan.figures.style import as_image
from foldspan.files.output import check_outputs, write_private
from foldspan.pages.client_page import client_bands, client_pages, fat_band
from foldspan.pages.document import Document, Picture
from foldspan.pages.dot_plot import dot_picture
from foldspan.pages.html_page import as_html
from foldspan.pages.inputs import Material
from foldspan.pages.pdf_page import as_pdf, missing_glyphs
from foldspan.pages.pictures import PICTURES, agreement_picture, bands_picture
from foldspan.pages.staff_parts import left_out_lines
from foldspan.problems import FoldspanError, Problem
from foldspan.results.result import SCHEMA_VERSION
from foldspan.text.en.staff_pages import PAGE_REMARKS

PAGE_ENDINGS = (".html", ".pdf", ".fhir.json", ".json")
PICTURE_ENDINGS = (".png", ".svg")
FIGURES = ("dots", *PICTURES, "bands")
# for those who measure, in English
STAFF_FIGURES = ("equations", "budget", "narrowing", "profile")
NOT_AGREED = Problem(
    "E802",
    "page",
    "the client did not agree to share results with a clinician",
    "Ask again if needed; without their consent, the results stay with the client.",
)


@dataclass(frozen=True, slots=True, repr=False)
class Report:
    """One page for one ``reader``: ``client``, ``trainer`` or ``clinician``."""

    reader: str
    """``client``, ``trainer`` or ``clinician``."""
    material: Material
    """The data the page was made from."""
    document: Document
    """The page as parts in reading order."""

    def __repr__(self) -> str:
        """Return a line without any value of the client."""
        return f"Report(reader={self.reader!r})"

    @property
    def hides_numbers(self) -> bool:
        """Whether the client's page has no numbers: careful words, or a doctor needed today."""
        return self.reader == "client" and (self.material.is_careful or self.material.is_urgent)

    def html(self) -> str:
        """Return the page as one HTML file that loads nothing from the network."""
        return as_html(self.document)

    def pdf(self) -> bytes:
        """Return the page as a PDF file; a client's page and a letter are one sheet each.

        A trainer's page is two sheets, unless the full page was asked for.
        """
        if self.reader == "client":
            shorter = islice(client_pages(self.material), 1, None)  # the first is the document
            return as_pdf(self.document, most_sheets=1, shorter=shorter)
        if self.reader == "trainer" and not self.material.is_full:
            return as_pdf(self.document, most_sheets=2)
        return as_pdf(self.document, is_letter=self.reader == "clinician")

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON tree: the page as parts in reading order, and what it was made from.

        For a client's page without numbers, the data it was made from are left out.
        """
        tree: dict[str, Any] = {
            "schema_version": SCHEMA_VERSION,
            "for": self.reader,
            "units": self.material.units.system,
            "page": self.document.to_dict(),
        }
        if self.hides_numbers:
            return tree
        changes = [None if step is None else step.to_dict() for step in self.material.steps]
        return tree | {
            "reconcile": self.material.result.to_dict(),
            "explain": self.material.full_explanation.to_dict(),
            "changes": changes,
        }

    def fhir(self, *, with_sex_and_age: bool = False) -> dict[str, Any]:
        """Return all visits as a FHIR R4 Bundle of Observations; docs/pages.md describes it.

        Parameters
        ----------
        with_sex_and_age : bool
            Whether to include the sex used in the equations and the age.

        Raises
        ------
        FoldspanError
            E802 if the client did not agree to share, because such a file is meant to be passed on.
        """
        if self.material.agreed is False and self.reader != "client":
            raise FoldspanError([NOT_AGREED])
        material = self.material
        before = [(visit, explain()) for visit, explain in material.before]
        visits = [
            OfVisit(visit, explanation, explanation.result.flags) for visit, explanation in before
        ]
        visits.append(
            OfVisit(material.visit, material.explanation, material.flags, material.not_taken)
        )
        return bundle(
            visits, settings=material.settings, show_numbers=not self.hides_numbers,
            for_client=self.reader == "client", with_sex_and_age=with_sex_and_age,
        )  # fmt: skip

    def picture(self, name: str) -> Picture:
        """Return one picture by its name.

        Raises
        ------
        FoldspanError
            E501 for an unknown figure, or one not available in this language; E801 if there is
            nothing to draw.
        """
        if name not in FIGURES:
            remedy = f"Use one of {', '.join(FIGURES)}."
            raise FoldspanError([Problem("E501", "--figure", "unknown figure", remedy, name)])
        material, found = self.material, None
        if name in STAFF_FIGURES and material.language.code != "en":
            remedy = (
                f"Leave the language out, or choose a figure other than {', '.join(STAFF_FIGURES)}."
            )
            raise FoldspanError(
                [Problem("E501", "language", ("this figure has no language setting"), remedy)]
            )
        if material.result.has_range and not self.hides_numbers:
            if name == "agreement":
                found = agreement_picture(material, for_client=self.reader == "client")
            elif name == "dots":
                found = dot_picture(material, fat_band(material))
            elif name == "bands":
                found = next((bands_picture(material, x) for x in client_bands(material)), None)
            else:
                found = PICTURES[name](material)
        if found is None:
            raise FoldspanError([self._nothing_to_draw(name)])
        return found

    def _nothing_to_draw(self, name: str) -> Problem:
        if self.hides_numbers:
            what = "this client's page has no numbers, so it has no figures"
            return Problem("E801", name, what, "Choose --for trainer or --for clinician.")
        if not self.material.result.has_range:
            remedy = "foldspan reconcile shows why; the page itself can be written."
            return Problem("E801", name, "this visit has no range to draw", remedy)
        remedy = {
            "trend": "Give two visits or more with their dates, the earliest first.",
            "bands": "None of the standards shown to clients applies to this visit.",
        }.get(name, "Measure more, or choose another figure.")
        return Problem("E801", name, "this visit has nothing to draw", remedy)

    def write(
        self, path: str, *, figure: str = "", replace: bool = False, with_sex_and_age: bool = False
    ) -> None:
        """Write the page, or one figure, to a file that only its owner can read.

        Parameters
        ----------
        path : str
            ``.html``, ``.pdf``, ``.json`` and ``.fhir.json`` for the page, ``.png`` and ``.svg`` for a
            figure.
        figure : str, optional
            One of ``FIGURES``; the agreement by default.
        replace : bool
            Overwrite an existing file. A file is written completely or not at all.
        with_sex_and_age : bool
            As in ``fhir``; other files are not affected.

        Raises
        ------
        FoldspanError
            E307 for an unknown file extension, E308 if the file already exists, E302 or E303 if it
            cannot be written; E501 and E801 as in ``picture``.
        """
        ending_of(path, figure)
        check_outputs([path], replace=replace)  # before the work of setting it
        content = self.content(path, figure=figure, with_sex_and_age=with_sex_and_age)
        write_private(path, content, replace=replace)

    def remarks(self, path: str) -> tuple[str, ...]:
        """Return what whoever wrote a page to ``path`` should know about it."""
        lines = left_out_lines(self.material)
        days = [visit.day for visit, _ in self.material.earlier]
        if days and None in (*days, self.material.visit.day):
            lines.append(PAGE_REMARKS["no_days"])
        if self.material.visit.day is not None and self.material.visit.day in days:
            lines.append(PAGE_REMARKS["same_day"])
        if path.lower().endswith(".pdf") and missing_glyphs(self.document):
            lines.append(PAGE_REMARKS["no_glyphs"])
        return tuple(lines)

    def content(
        self, path: str, *, figure: str = "", with_sex_and_age: bool = False
    ) -> str | bytes:
        """Return what ``write`` would write to a file of this name."""
        ending = ending_of(path, figure)
        if ending in PICTURE_ENDINGS:
            picture = self.picture(figure or "agreement")
            return as_image(picture.draw, ending, self.document.title, picture.alt)
        made: dict[str, Callable[[], str | bytes]] = {
            ".html": self.html,
            ".pdf": self.pdf,
            ".json": lambda: _json(self.to_dict()),
            ".fhir.json": lambda: _json(self.fhir(with_sex_and_age=with_sex_and_age)),
        }
        return made[ending]()


def ending_of(path: str, figure: str = "") -> str:
    """Return the ending that decides what is written.

    Raises
    ------
    FoldspanError
        E307 for an ending that is none of these, or that does not go with a figure.
    """
    name = Path(path).name.lower()
    allowed = PICTURE_ENDINGS if figure else (*PAGE_ENDINGS, *PICTURE_ENDINGS)
    found = next((ending for ending in allowed if name.endswith(ending)), "")
    if found and name not in allowed:
        return found
    what = "this file extension is not for figures" if figure and path else "unknown file extension"
    remedy = f"Give a file name that ends in {', '.join(allowed[:-1])} or {allowed[-1]}."
    raise FoldspanError([Problem("E307", path or "-o", what, remedy)])


def _json(tree: dict[str, Any]) -> str:
    return json.dumps(tree, indent=2, ensure_ascii=False) + "\n"
