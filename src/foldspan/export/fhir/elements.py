"""Elements of FHIR R4 that several resources share: codes, quantities, notes, reasons for no value.

A code stands only where one was found for exactly this; what has none is named in words. LOINC codes of
skinfold sites and of waist ratios could not be verified, the one known for the hip names a protocol and
not a result, and SNOMED codes need a licence.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from foldspan.quantities import BY_NAME
from foldspan.results.result import Spread
from foldspan.standards.loinc import DISPLAYS, LOINC
from foldspan.text.en.staff_pages import FHIR_WORDS

CATEGORIES = "http://terminology.hl7.org/CodeSystem/observation-category"
ABSENT = "http://terminology.hl7.org/CodeSystem/data-absent-reason"
UCUM = {"bmi": "kg/m2", "percent": "%", "kg": "kg", "pressure": "mm[Hg]", "age": "a"}
# what no reading of weight, fold or girth says more finely than; an estimate less still
DIGITS = 1
KINDS = ("skinfold", "girth", "breadth")


def category(name: str) -> list[dict[str, Any]]:
    """Return a category of Observations by its code."""
    return [{"coding": [{"system": CATEGORIES, "code": name}]}]


def site_of(name: str) -> str:
    """Return where on the body a quantity is measured, "" for the whole of it."""
    quantity = BY_NAME[name]
    return quantity.label.removesuffix(f" {quantity.kind}") if quantity.kind in KINDS else ""


def _words_of(key: str) -> str:
    """Return what a key is, in words that no other key has."""
    if key not in BY_NAME:
        return FHIR_WORDS[f"code.{key}"]
    site = site_of(key)
    return FHIR_WORDS[f"code.{BY_NAME[key].kind}"].format(site=site) if site else BY_NAME[key].label


def code(key: str) -> dict[str, Any]:
    """Return what a key is: in words, and by the LOINC code that was found for it."""
    text = _words_of(key)
    if key not in LOINC:
        return {"text": text}
    coding = {"system": "http://loinc.org", "code": LOINC[key]}
    if key in DISPLAYS:
        coding["display"] = DISPLAYS[key]
    return {"coding": [coding], "text": text}


def quantity(value: float, unit: str, digits: int = DIGITS) -> dict[str, Any]:
    """Return a number with its UCUM unit."""
    return {
        "value": round(float(value), digits),
        "unit": unit,
        "system": "http://unitsofmeasure.org",
        "code": unit,
    }


def spread(spread: Spread, unit: str) -> dict[str, Any]:
    """Return an estimate with its two ranges and its standard error."""
    assert spread.estimate is not None
    assert spread.se is not None
    parts: Sequence[tuple[str, tuple[float, float] | None]] = (
        ("range_80", spread.range_80),
        ("range_95", spread.range_95),
    )
    ranges = [
        {
            "code": {"text": FHIR_WORDS[name]},
            "valueRange": {
                "low": quantity(ends[0], unit),
                "high": quantity(ends[1], unit),
            },
        }
        for name, ends in parts
        if ends is not None
    ]
    return {
        "valueQuantity": quantity(spread.estimate, unit),
        "component": [*ranges, error(spread.se, unit)],
    }


def error(se: float, unit: str) -> dict[str, Any]:
    """Return a standard error as a component; a small one by its first digit, as none is nought."""
    return component("standard_error", quantity(se, unit, DIGITS if se >= 0.05 else 3))


def component(name: str, value: dict[str, Any]) -> dict[str, Any]:
    """Return a component with a quantity, named in words."""
    return {"code": {"text": FHIR_WORDS[name]}, "valueQuantity": value}


def concept(what: str, **values: str) -> dict[str, str]:
    """Return a method in words."""
    return {"text": FHIR_WORDS[f"method.{what}"].format(**values)}


def note(key: str, **values: str) -> list[dict[str, str]]:
    """Return a note."""
    return [{"text": FHIR_WORDS[f"note.{key}"].format(**values)}]


def absent(reason: str, text: str) -> dict[str, Any]:
    """Return why there is no value, by its code and in words."""
    return {"coding": [{"system": ABSENT, "code": reason}], "text": text}
