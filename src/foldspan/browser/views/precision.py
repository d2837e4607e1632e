"""Precision: the testers' own errors from repeats in the book, beside published targets."""

from __future__ import annotations

from starlette.responses import Response

from foldspan.api.precision import precision
from foldspan.browser.app import PageRequest
from foldspan.browser.shown import page
from foldspan.measurement.technical_error import Precision, Repeat, grade, is_too_alike, target_of
from foldspan.quantities import BY_NAME
from foldspan.text.precision import (
    CHANGE_SENTENCE,
    GRADE_WORDS,
    NOBODY,
    RELIABILITY_SENTENCE,
    TARGET_SENTENCE,
    bounds_words,
    remark_sentence,
)


def precision_page(request: PageRequest) -> Response:
    """Show how well the testers repeat their own readings."""
    repeats = request.desk.repeats()
    result = precision(
        [Repeat(repeat.code, repeat.tester, repeat.quantity, repeat.readings) for repeat in repeats]
    )
    sites = [
        {
            "label": BY_NAME[name].label[:1].upper() + BY_NAME[name].label[1:],
            "rows": [
                _row(name, tester, error, site.minimal_detectable_change_of_two[tester])
                for tester, error in site.within.items()
            ],
        }
        for name, site in result.sites.items()
        if site.within
    ]
    notes = [TARGET_SENTENCE, CHANGE_SENTENCE, RELIABILITY_SENTENCE]
    notes += [remark_sentence(remark) for remark in result.remarks]
    return page(
        "precision", sites=sites, notes=notes if sites else [], clients=result.clients,
        testers=len(result.testers), readings=result.readings,
    )  # fmt: skip


def _row(name: str, tester: str, error: Precision, change: float) -> dict[str, str]:
    target, word = target_of(name), ""
    # no praise for readings that were hardly blind
    if target is not None and not is_too_alike(error, name):
        found, is_sure = grade(error, target.skilled_within, target.beginner_within)
        word = GRADE_WORDS[found] + ("" if is_sure else "?")
    return {
        "tester": tester or NOBODY, "clients": str(error.clients), "tem": f"{error.tem:.2f}",
        "unit": BY_NAME[name].unit, "bounds": bounds_words(error), "percent": f"{error.relative:.1f}",
        "change": f"{change:.1f}", "word": word,
    }  # fmt: skip
