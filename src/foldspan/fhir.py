"""FHIR: one visit as a Bundle of Observations of HL7 FHIR R4, with LOINC and UCUM codes.

A code stands only where one was found for exactly this; what has none is named in words. LOINC codes of
skinfold sites and of waist ratios could not be verified, the one known for the hip names a protocol and
not a result, and SNOMED codes need a licence. The range is plain R4: the estimate as a Quantity, the
80 % and the 95 % range as components, what they mean in a note.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Sequence
from typing import Any

from foldspan.catalogue import EQUATIONS
from foldspan.catalogue.card import Equation
from foldspan.evaluate import needed
from foldspan.pages.typed_text import as_typed
from foldspan.quantities import BY_NAME, WAISTS
from foldspan.result import EquationResult, Result, SpokenFlag, Spread
from foldspan.standards.loinc import DISPLAYS, LOINC
from foldspan.visit import Visit
from foldspan.wording import FAMILY_NAMES, SCALE_NAMES
from foldspan.wording_flags import LEVEL_WORDS
from foldspan.wording_pages import FHIR_WORDS

NAMESPACE = uuid.UUID(
    "6f0d9f0e-6f6c-5f5b-9a57-2f1a3d6c8e41"
)  # any fixed one: names are made below it
CATEGORIES = "http://terminology.hl7.org/CodeSystem/observation-category"
ABSENT = "http://terminology.hl7.org/CodeSystem/data-absent-reason"
VITAL = ("weight_kg", "height_cm", "bmi")
CARD_BY_KEY: dict[str, Equation] = {card.key: card for card in EQUATIONS}
UCUM = {"bmi": "kg/m2", "percent": "%", "kg": "kg"}


def bundle(visit: Visit, result: Result, *, show_numbers: bool = True) -> dict[str, Any]:
    """Return one visit as a FHIR R4 Bundle: what was measured, what each method says, the range.

    Every estimate is an Observation of its own, ``derivedFrom`` those that it was worked out from.

    Parameters
    ----------
    visit : Visit
        What was measured.
    result : Result
        Of this visit.
    show_numbers : bool
        False where numbers may harm the reader: values are then marked as masked.
    """
    made = _Made(visit, show_numbers=show_numbers)
    for name in visit.accepted:
        made.measured(name)
    made.indices()
    if result.has_range and show_numbers:
        made.methods(result)
        made.answer(result)
    elif not result.has_range:
        why = "; ".join(one.what for one in result.problems)
        made.add("fat_percent", dataAbsentReason=_absent("not-applicable", why))
    for one in result.flags if show_numbers else ():
        made.flag(one)
    return {
        "resourceType": "Bundle",
        "type": "collection",
        "entry": [*made.patient, *made.entries],
    }


class _Made:
    """The entries made so far, and where each one stands."""

    def __init__(self, visit: Visit, *, show_numbers: bool) -> None:
        self.visit, self.show_numbers = visit, show_numbers
        self.entries: list[dict[str, Any]] = []
        self.places: dict[str, str] = {}
        code = as_typed(visit.client.code)
        sites = ";".join(f"{name}{site.readings}" for name, site in sorted(visit.sites.items()))
        # the same visit has the same addresses each time, and no two visits share one
        self.seed = f"{code}|{visit.day}|{visit.client.sex}|{visit.client.age_years}|{sites}"
        self.patient: list[dict[str, Any]] = []
        self.subject: dict[str, Any] = {"display": FHIR_WORDS["no_code"]}
        if code:
            place = self._place("patient")
            patient = {"resourceType": "Patient", "identifier": [{"value": code}]}
            self.patient = [{"fullUrl": place, "resource": patient}]
            self.subject = {"reference": place}

    def _place(self, key: str) -> str:
        return f"urn:uuid:{uuid.uuid5(NAMESPACE, f'{self.seed}|{key}')}"

    def add(self, key: str, code: str = "", *, origins: Iterable[str] = (), **known: Any) -> None:
        """Add one Observation; ``origins`` are the keys of those that it was worked out from."""
        code = code or key
        category = "vital-signs" if code in VITAL else "exam"
        observation: dict[str, Any] = {
            "resourceType": "Observation",
            "status": "final",
            "category": [{"coding": [{"system": CATEGORIES, "code": category}]}],
            "code": _code(code),
            "subject": self.subject,
        }
        if self.visit.day is not None:
            observation["effectiveDateTime"] = self.visit.day.isoformat()
        if tester := as_typed(self.visit.tester):
            observation["performer"] = [{"display": tester}]
        places = [self.places[name] for name in dict.fromkeys(origins) if name in self.places]
        if places:
            observation["derivedFrom"] = [{"reference": place} for place in places]
        self.places[key] = self._place(key)
        self.entries.append({"fullUrl": self.places[key], "resource": observation | known})

    def value(self, value: float, unit: str, digits: int) -> dict[str, Any]:
        """Return a value, or that it is masked."""
        if not self.show_numbers:
            return {"dataAbsentReason": _absent("masked", FHIR_WORDS["masked"])}
        return {"valueQuantity": _quantity(value, unit, digits)}

    def measured(self, name: str) -> None:
        """Add one measured site: the accepted value, its error, and the readings in their order."""
        one, unit = self.visit.accepted[name], BY_NAME[name].ucum
        known = self.value(one.value, unit, 2)
        if self.show_numbers:
            readings = ", ".join(f"{value:g}" for value in self.visit.sites[name].readings)
            known["note"] = _note("readings", readings=readings, unit=unit)
            if one.is_at_least:
                known["valueQuantity"]["comparator"] = ">="
            else:
                known["component"] = [_component("standard_error", _quantity(one.se, unit, 3))]
        self.add(name, **known)

    def indices(self) -> None:
        """Add the indices that are measured directly."""
        accepted = self.visit.accepted
        if {"weight_kg", "height_cm"} <= set(accepted):
            bmi = accepted["weight_kg"].value / (accepted["height_cm"].value / 100.0) ** 2
            self.add("bmi", origins=("weight_kg", "height_cm"), **self.value(bmi, UCUM["bmi"], 1))

    def methods(self, result: Result) -> None:
        """Add every equation in use, then what each family comes to."""
        for one in result.equations:
            if one.used and one.estimate is not None and one.se is not None:
                self._equation(one, result.scale)
        for family in result.families:
            spoken = {"family": FAMILY_NAMES[family.family], "scale": SCALE_NAMES[result.scale]}
            self.add(
                family.family,
                "fat_percent",
                origins=family.equations,
                method=_said("family", **spoken),
                valueQuantity=_quantity(family.estimate, UCUM["percent"], 1),
                component=[_component("standard_error", _quantity(family.se, UCUM["percent"], 2))],
                note=_note("weight", weight=f"{100 * family.weight:.0f}"),
            )

    def _equation(self, one: EquationResult, scale: str) -> None:
        assert one.estimate is not None
        assert one.se is not None
        names = list(needed(CARD_BY_KEY[one.key]))
        # where another waist stood in, every waist that was taken is named
        if set(names) & set(WAISTS) - set(self.visit.accepted):
            names += WAISTS
        method = _said(
            "equation", key=one.key, source=one.source, built=SCALE_NAMES[one.scale],
            scale=SCALE_NAMES[scale],
        )  # fmt: skip
        self.add(
            one.key,
            "fat_percent",
            origins=names,
            method=method,
            valueQuantity=_quantity(one.estimate, UCUM["percent"], 1),
            component=[_component("standard_error", _quantity(one.se, UCUM["percent"], 2))],
        )

    def answer(self, result: Result) -> None:
        """Add the agreement range, and the masses that follow from it."""
        families = [one.family for one in result.families]
        method = _said("range", scale=SCALE_NAMES[result.scale])
        note = _note("range_means", verdict=result.verdict or "single")
        for key, spread, origins in (
            ("fat_percent", result.fat_percent, families),
            ("fat_mass", result.fat_mass_kg, ["fat_percent", "weight_kg"]),
            ("lean_mass", result.lean_mass_kg, ["fat_percent", "weight_kg"]),
        ):
            if spread.estimate is not None:
                unit = UCUM["percent"] if key == "fat_percent" else UCUM["kg"]
                self.add(key, origins=origins, method=method, note=note, **_spread(spread, unit))

    def flag(self, one: SpokenFlag) -> None:
        """Add a reason to see a clinician, with its rule; no diagnosis."""
        self.add(
            f"flag.{one.code}",
            "flag",
            valueString=one.for_clinician,
            interpretation=[{"text": LEVEL_WORDS[one.level]}],
            method=_said("rule", code=one.code, source=one.source, status=one.status),
        )


def _code(key: str) -> dict[str, Any]:
    text = BY_NAME[key].label if key in BY_NAME else FHIR_WORDS[f"code.{key}"]
    if key not in LOINC:
        return {"text": text}
    coding = {"system": "http://loinc.org", "code": LOINC[key]}
    if key in DISPLAYS:
        coding["display"] = DISPLAYS[key]
    return {"coding": [coding], "text": text}


def _quantity(value: float, unit: str, digits: int) -> dict[str, Any]:
    return {
        "value": round(float(value), digits),
        "unit": unit,
        "system": "http://unitsofmeasure.org",
        "code": unit,
    }


def _spread(spread: Spread, unit: str) -> dict[str, Any]:
    """Return an estimate with its two ranges and its standard error."""
    assert spread.estimate is not None
    assert spread.se is not None
    parts: Sequence[tuple[str, tuple[float, float] | None]] = (
        ("likely", spread.likely),
        ("wide", spread.wide),
    )
    ranges = [
        {
            "code": {"text": FHIR_WORDS[name]},
            "valueRange": {
                "low": _quantity(ends[0], unit, 2),
                "high": _quantity(ends[1], unit, 2),
            },
        }
        for name, ends in parts
        if ends is not None
    ]
    error = _component("standard_error", _quantity(spread.se, unit, 2))
    return {
        "valueQuantity": _quantity(spread.estimate, unit, 2),
        "component": [*ranges, error],
    }


def _component(name: str, quantity: dict[str, Any]) -> dict[str, Any]:
    return {"code": {"text": FHIR_WORDS[name]}, "valueQuantity": quantity}


def _said(what: str, **values: str) -> dict[str, str]:
    return {"text": FHIR_WORDS[f"method.{what}"].format(**values)}


def _note(key: str, **values: str) -> list[dict[str, str]]:
    return [{"text": FHIR_WORDS[f"note.{key}"].format(**values)}]


def _absent(code: str, text: str) -> dict[str, Any]:
    return {"coding": [{"system": ABSENT, "code": code}], "text": text}
