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
from foldspan.estimation.evaluate import needed
from foldspan.pages.sanitise import as_typed
from foldspan.protocol.waist_sites import bridges_to
from foldspan.quantities import BY_NAME, WAISTS
from foldspan.results.explanation import Explanation
from foldspan.results.intake_answers import answers_of
from foldspan.results.result import EquationResult, Result, Spread
from foldspan.results.spoken import SpokenFlag
from foldspan.standards.loinc import DISPLAYS, LOINC
from foldspan.text.client_notices import is_about_the_body
from foldspan.text.en.flags import LEVEL_WORDS
from foldspan.text.en.notices import careful_sentence
from foldspan.text.en.reconcile import FAMILY_NAMES, SCALE_NAMES
from foldspan.text.en.self_reported import QUESTION_NAMES
from foldspan.text.en.staff_pages import FHIR_WORDS
from foldspan.text.explain import OUTSIDE_NAMES
from foldspan.text.made_with import made_with
from foldspan.text.self_reported import answer_words
from foldspan.visit.model import Visit

NAMESPACE = uuid.UUID(
    "6f0d9f0e-6f6c-5f5b-9a57-2f1a3d6c8e41"
)  # any fixed one: names are made below it
CATEGORIES = "http://terminology.hl7.org/CodeSystem/observation-category"
ABSENT = "http://terminology.hl7.org/CodeSystem/data-absent-reason"
VITAL = ("weight_kg", "height_cm", "bmi", "blood_pressure")
CARD_BY_KEY: dict[str, Equation] = {card.key: card for card in EQUATIONS}
UCUM = {"bmi": "kg/m2", "percent": "%", "kg": "kg", "pressure": "mm[Hg]"}
TOLD = "told."


def bundle(
    visit: Visit,
    explanation: Explanation,
    flags: Sequence[SpokenFlag] = (),
    *,
    settings: str = "",
    not_taken: Sequence[str] = (),
    show_numbers: bool = True,
    for_client: bool = False,
) -> dict[str, Any]:
    """Return one visit as a FHIR R4 Bundle: what was measured, what each method says, the range.

    Every estimate is an Observation of its own, ``derivedFrom`` those that it was worked out from.

    Parameters
    ----------
    visit : Visit
        What was measured.
    explanation : Explanation
        Of this visit.
    flags : sequence of SpokenFlag
        Reasons to see a clinician.
    settings : str
        What the estimates were reckoned with; other settings have other addresses.
    not_taken : sequence of str
        Sites that could not be taken, ``site: reason``.
    show_numbers : bool
        False where numbers may harm the reader: values are then marked as masked.
    for_client : bool
        Whether flags are told in the client's words.
    """
    result = explanation.result
    made = _Made(visit, settings, show_numbers=show_numbers)
    for name in visit.accepted:
        made.measured(name)
    for line in not_taken:
        made.not_taken(*line.partition(": ")[::2])
    made.indices()
    if show_numbers:
        made.pressure()
    if not for_client:
        made.told()
    if not show_numbers:
        made.add("fat_percent", dataAbsentReason=_absent("masked", FHIR_WORDS["masked"]))
    elif result.has_range:
        made.methods(result)
        made.answer(result, made.outside(explanation))
    else:
        made.no_answer(result)
    for flag in flags:
        made.flag(flag, for_client=for_client)
    return {
        "resourceType": "Bundle",
        "type": "collection",
        "entry": [*made.patient, *made.entries],
    }


class _Made:
    """The entries made so far, and where each one stands."""

    def __init__(self, visit: Visit, settings: str, *, show_numbers: bool) -> None:
        self.visit, self.settings, self.show_numbers = visit, settings, show_numbers
        self.entries: list[dict[str, Any]] = []
        self.places: dict[str, str] = {}
        code = as_typed(visit.client.code)
        # The same visit has the same addresses each time, and no two visits share one. Where values are
        # masked nobody may find them by trying, so no reading is part of an address.
        self.seed = f"{code}|{visit.day}|{visit.hour}|{as_typed(visit.tester)}"
        if show_numbers:
            self.seed += f"|{visit.client!r}|{visit.client.sex}|{visit.client.age_years}"
            self.seed += f"|{sorted(visit.sites.items())!r}|{visit.how_taken!r}"
            for name, site in sorted(visit.sites.items()):
                self.seed += f"|{name}{site.readings}{site.is_at_least}"
        self.patient: list[dict[str, Any]] = []
        self.subject: dict[str, Any] = {"display": FHIR_WORDS["no_code"]}
        if code:
            place = self._place("patient")
            patient = {"resourceType": "Patient", "identifier": [{"value": code}]}
            self.patient = [{"fullUrl": place, "resource": patient}]
            self.subject = {"reference": place}

    def _place(self, key: str) -> str:
        return f"urn:uuid:{uuid.uuid5(NAMESPACE, f'{self.seed}|{key}')}"

    def add(
        self, key: str, code: str = "", *, origins: Iterable[str] = (), text: str = "", **known: Any
    ) -> None:
        """Add one Observation; ``origins`` are the keys of those that it was worked out from.

        ``code`` names what it is, left out as the key does; ``text`` stands in for a code in words.
        """
        code = code or key
        # the profile of vital signs wants to know whose they are and of which day
        is_vital = code in VITAL and self.visit.day is not None and bool(self.patient)
        category = "vital-signs" if is_vital else "exam"
        observation: dict[str, Any] = {
            "resourceType": "Observation",
            "status": "final",
            "category": _category(category),
            "code": {"text": text} if text else _code(code),
            "subject": self.subject,
        }
        if self.visit.day is not None:
            observation["effectiveDateTime"] = self.visit.day.isoformat()
        if tester := as_typed(self.visit.tester):
            observation["performer"] = [{"display": tester}]
        places = [self.places[name] for name in dict.fromkeys(origins) if name in self.places]
        if places:
            observation["derivedFrom"] = [{"reference": place} for place in places]
        is_read = key in self.visit.accepted
        # what was read or told is the same whatever it was worked out with
        is_read = is_read or key.startswith(TOLD) or key == "blood_pressure"
        self.places[key] = self._place(key if is_read else f"{key}|{self.settings}")
        self.entries.append({"fullUrl": self.places[key], "resource": observation | known})

    def value(self, value: float, unit: str, digits: int) -> dict[str, Any]:
        """Return a value, or that it is masked."""
        if not self.show_numbers:
            return {"dataAbsentReason": _absent("masked", FHIR_WORDS["masked"])}
        return {"valueQuantity": _quantity(value, unit, digits)}

    def measured(self, name: str) -> None:
        """Add one measured site: the accepted value, its error, and the readings in their order."""
        reading, site, unit = self.visit.accepted[name], self.visit.sites[name], BY_NAME[name].ucum
        known = self.value(reading.value, unit, 2)
        if self.show_numbers:
            beyond = "+" if site.is_at_least else ""
            readings = ", ".join(f"{value:g}{beyond}" for value in site.readings)
            known["note"] = _note("readings", readings=readings, unit=unit)
            if site.is_at_least:
                # the equations take a value beyond the scale; what was seen is the scale's end
                known["valueQuantity"] = _quantity(max(site.readings), unit, 2) | {
                    "comparator": ">="
                }
            else:
                known["component"] = [_component("standard_error", _quantity(reading.se, unit, 3))]
        known["note"] = [*known.get("note", []), *self._manner(name)]
        self.add(name, **{key: value for key, value in known.items() if value})

    def _manner(self, name: str) -> list[dict[str, str]]:
        """Return how a site was taken, where that is not the usual way."""
        manner, variant = self.visit.how_taken, self.visit.site_variants.get(name, "")
        found = [key for key in ("over_clothing", "left_side") if name in getattr(manner, key)]
        notes = [note for key in found for note in _note(key)]
        return notes + (_note("variant", variant=variant.replace("_", " ")) if variant else [])

    def not_taken(self, site: str, why: str) -> None:
        """Add a site that could not be taken, with the reason instead of a value."""
        reason = _absent("not-performed", as_typed(why))
        self.add(f"not_taken.{site}", text=as_typed(site), dataAbsentReason=reason)

    def indices(self) -> None:
        """Add the index that is measured directly."""
        accepted = self.visit.accepted
        if {"weight_kg", "height_cm"} <= set(accepted):
            bmi = accepted["weight_kg"].value / (accepted["height_cm"].value / 100.0) ** 2
            self.add("bmi", origins=("weight_kg", "height_cm"), **self.value(bmi, UCUM["bmi"], 1))

    def pressure(self) -> None:
        """Add the blood pressure that was told, as the panel of its two pressures."""
        pressure = self.visit.intake.pressure_mmhg
        if pressure is not None:
            parts = [
                {"code": _code(name), "valueQuantity": _quantity(value, UCUM["pressure"], 0)}
                for name, value in zip(("systolic", "diastolic"), pressure, strict=True)
            ]
            self.add("blood_pressure", component=parts, note=_note("pressure"))

    def told(self) -> None:
        """Add every question before measuring: what was told, that it was none, or was not asked."""
        answers = answers_of(self.visit)
        absent = _absent("not-asked", FHIR_WORDS["not_asked"])
        if all(answer.state == "not_asked" for answer in answers):
            text, survey = FHIR_WORDS["questions"], _category("survey")
            self.add(f"{TOLD}all", text=text, category=survey, dataAbsentReason=absent)
            return
        for answer in answers:
            if answer.question == "blood_pressure_mmhg" and answer.state == "told":
                continue  # a panel of its own
            words = answer_words(answer, self.visit) or FHIR_WORDS["answered_none"]
            is_asked = answer.state != "not_asked"
            known = {"valueString": words} if is_asked else {"dataAbsentReason": absent}
            text = FHIR_WORDS["question"].format(question=QUESTION_NAMES[answer.question])
            self.add(f"{TOLD}{answer.question}", text=text, category=_category("survey"), **known)

    def methods(self, result: Result) -> None:
        """Add every equation in use, then what each family comes to."""
        for equation in result.equations:
            if equation.used and equation.estimate is not None and equation.se is not None:
                self._equation(equation, result.reference_method)
        for family in result.methods:
            stated = SCALE_NAMES[result.reference_method]
            spoken = {"family": FAMILY_NAMES[family.method], "reference_method": stated}
            self.add(
                family.method,
                "one_method",
                origins=family.equations,
                method=_concept("family", **spoken),
                valueQuantity=_quantity(family.estimate, UCUM["percent"], 1),
                component=[_component("standard_error", _quantity(family.se, "%", 2))],
                note=_note("weight", weight=f"{100 * family.weight:.0f}"),
            )

    def _equation(self, equation: EquationResult, reference_method: str) -> None:
        assert equation.estimate is not None
        assert equation.se is not None
        method = _concept(
            "equation", key=equation.key, source=equation.source,
            built=SCALE_NAMES[equation.reference_method],
            reference_method=SCALE_NAMES[reference_method],
        )  # fmt: skip
        self.add(
            equation.key,
            "one_method",
            origins=self._read_by(equation.key),
            method=method,
            valueQuantity=_quantity(equation.estimate, UCUM["percent"], 1),
            component=[_component("standard_error", _quantity(equation.se, "%", 2))],
        )

    def _read_by(self, key: str) -> list[str]:
        """Return the sites that an equation read; for a waist not taken, the one that stood in."""
        found = []
        for name in needed(CARD_BY_KEY[key]):
            bridges = bridges_to(name, self.visit.client.sex) if name in WAISTS else ()
            chosen = [name, *(row.measured for row in bridges)]
            found += [name for name in chosen if name in self.visit.accepted][:1]
        return found

    def outside(self, explanation: Explanation) -> list[str]:
        """Add the results from elsewhere that joined the range; return their keys."""
        joined = []
        for order, (given, placed, is_in) in enumerate(
            zip(self.visit.outside_results, explanation.outside, explanation.included, strict=True)
        ):
            if is_in and placed.fat_percent is not None:
                day = "" if given.day is None else given.day.isoformat()
                text = _concept("outside", method=OUTSIDE_NAMES[given.method], day=day or "no date")
                self.add(
                    f"outside.{order}",
                    "one_method",
                    method=text,
                    valueQuantity=_quantity(placed.fat_percent, UCUM["percent"], 1),
                )
                joined.append(f"outside.{order}")
        return joined

    def answer(self, result: Result, outside: Sequence[str]) -> None:
        """Add the agreement range, and the masses that follow from it."""
        families = [*(family.method for family in result.methods), *outside]
        client = self.visit.client
        stated, age = SCALE_NAMES[result.reference_method], f"{int(client.age_years)}"
        method = _concept("range", reference_method=stated, sex=client.sex, age=age)
        note = _note("range_means", verdict=result.verdict or "single")
        if made_with(result):
            note = [*note, *_note("local", sentence=made_with(result))]
        for key, spread, origins in (
            ("fat_percent", result.fat_percent, families),
            ("fat_mass", result.fat_mass_kg, ["fat_percent", "weight_kg"]),
            ("fat_free_mass", result.fat_free_mass_kg, ["fat_percent", "weight_kg"]),
        ):
            if spread.estimate is not None:
                unit = UCUM["percent"] if key == "fat_percent" else UCUM["kg"]
                self.add(key, origins=origins, method=method, note=note, **_spread(spread, unit))

    def no_answer(self, result: Result) -> None:
        """Add why there is no range."""
        why = "; ".join(problem.what for problem in result.problems)
        is_refused = any(problem.code != "E203" for problem in result.problems)
        reason = _absent("not-applicable" if is_refused else "not-performed", why)
        self.add("fat_percent", dataAbsentReason=reason)

    def flag(self, spoken: SpokenFlag, *, for_client: bool) -> None:
        """Add a reason to see a clinician, with its rule; no diagnosis."""
        known: dict[str, Any] = {"interpretation": [{"text": LEVEL_WORDS[spoken.level]}]}
        if for_client:
            # where numbers are left out, a flag about the body says only that a doctor is needed
            is_hidden = not self.show_numbers and is_about_the_body(spoken)
            sentence = careful_sentence(spoken.level) if is_hidden else spoken.for_client
            if not sentence:
                return
            known["valueString"] = sentence
        else:
            known["valueString"] = spoken.for_clinician
            known["method"] = _concept(
                "rule", code=spoken.code, source=spoken.source, status=spoken.status
            )
        self.add(f"flag.{spoken.code}", "flag", **known)


def _category(code: str) -> list[dict[str, Any]]:
    return [{"coding": [{"system": CATEGORIES, "code": code}]}]


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
        ("range_80", spread.range_80),
        ("range_95", spread.range_95),
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
    return {"valueQuantity": _quantity(spread.estimate, unit, 2), "component": [*ranges, error]}


def _component(name: str, quantity: dict[str, Any]) -> dict[str, Any]:
    return {"code": {"text": FHIR_WORDS[name]}, "valueQuantity": quantity}


def _concept(what: str, **values: str) -> dict[str, str]:
    return {"text": FHIR_WORDS[f"method.{what}"].format(**values)}


def _note(key: str, **values: str) -> list[dict[str, str]]:
    return [{"text": FHIR_WORDS[f"note.{key}"].format(**values)}]


def _absent(code: str, text: str) -> dict[str, Any]:
    return {"coding": [{"system": ABSENT, "code": code}], "text": text}
