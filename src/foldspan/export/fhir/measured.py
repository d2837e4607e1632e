"""What was measured and told at a visit, as Observations: each reading, and each question asked."""

from __future__ import annotations

from typing import Any

from foldspan.export.fhir.elements import (
    UCUM,
    absent,
    category,
    code,
    concept,
    error,
    note,
    quantity,
    site_of,
)
from foldspan.export.fhir.entries import SELF_REPORTED, Entries
from foldspan.pages.sanitise import as_typed
from foldspan.quantities import BY_NAME
from foldspan.results.intake_answers import answers_of
from foldspan.results.spoken import SpokenFlag
from foldspan.text.client_notices import is_about_the_body
from foldspan.text.en.flags import LEVEL_WORDS
from foldspan.text.en.notices import careful_sentence
from foldspan.text.en.self_reported import QUESTION_NAMES
from foldspan.text.en.staff_pages import FHIR_WORDS
from foldspan.text.self_reported import answer_words


def measured(made: Entries, name: str) -> None:
    """Add one measured site: the accepted value, its error, and the readings in their order."""
    reading, site, unit = made.visit.accepted[name], made.visit.sites[name], BY_NAME[name].ucum
    known = made.value(reading.value, unit)
    if where := site_of(name):
        is_left = name in made.visit.how_taken.left_side
        known["bodySite"] = {"text": FHIR_WORDS["left"].format(site=where) if is_left else where}
    if made.show_numbers:
        beyond = "+" if site.is_at_least else ""
        readings = ", ".join(f"{value:g}{beyond}" for value in site.readings)
        known["note"] = note("readings", readings=readings, unit=unit)
        if site.is_at_least:
            # the equations take a value beyond the scale; what was seen is the scale's end
            known["valueQuantity"] = quantity(max(site.readings), unit) | {"comparator": ">="}
        else:
            known["component"] = [error(reading.se, unit)]
    known["note"] = [*known.get("note", []), *_manner(made, name)]
    made.add(name, **{key: value for key, value in known.items() if value})


def _manner(made: Entries, name: str) -> list[dict[str, str]]:
    """Return how a site was taken, where that is not the usual way."""
    manner, variant = made.visit.how_taken, made.visit.site_variants.get(name, "")
    found = [key for key in ("over_clothing", "left_side") if name in getattr(manner, key)]
    notes = [line for key in found for line in note(key)]
    return notes + (note("variant", variant=variant.replace("_", " ")) if variant else [])


def not_taken(made: Entries, site: str, why: str) -> None:
    """Add a site that could not be taken, with the reason instead of a value."""
    reason = absent("not-performed", as_typed(why) or FHIR_WORDS["no_reason"])
    key, turn = f"not_taken.{site}", 1
    while key in made.places:  # the same site noted twice
        turn += 1
        key = f"not_taken.{site}|{turn}"
    made.add(key, text=as_typed(site) or FHIR_WORDS["no_site"], dataAbsentReason=reason)


def indices(made: Entries) -> None:
    """Add the index that is measured directly."""
    accepted = made.visit.accepted
    if {"weight_kg", "height_cm"} <= set(accepted):
        bmi = accepted["weight_kg"].value / (accepted["height_cm"].value / 100.0) ** 2
        made.add("bmi", origins=("weight_kg", "height_cm"), **made.value(bmi, UCUM["bmi"]))


def pressure(made: Entries) -> None:
    """Add the blood pressure that was told, as the panel of its two pressures."""
    pressure = made.visit.intake.pressure_mmhg
    if pressure is not None:
        parts = [
            {"code": code(name), "valueQuantity": quantity(value, UCUM["pressure"], 0)}
            for name, value in zip(("systolic", "diastolic"), pressure, strict=True)
        ]
        made.add("blood_pressure", component=parts, note=note("pressure"))


def self_reported(made: Entries) -> None:
    """Add every question before measuring: what was told, that it was none, or was not asked."""
    answers = answers_of(made.visit)
    silent = absent("not-asked", FHIR_WORDS["not_asked"])
    if all(answer.state == "not_asked" for answer in answers):
        text, survey = FHIR_WORDS["questions"], category("survey")
        made.add(f"{SELF_REPORTED}all", text=text, category=survey, dataAbsentReason=silent)
        return
    for answer in answers:
        if answer.question == "blood_pressure_mmhg" and answer.state == "told":
            continue  # a panel of its own
        words = answer_words(answer, made.visit) or FHIR_WORDS["answered_none"]
        is_asked = answer.state != "not_asked"
        known = {"valueString": words} if is_asked else {"dataAbsentReason": silent}
        text = FHIR_WORDS["question"].format(question=QUESTION_NAMES[answer.question])
        made.add(
            f"{SELF_REPORTED}{answer.question}", text=text, category=category("survey"), **known
        )


def flag(made: Entries, spoken: SpokenFlag, *, for_client: bool) -> None:
    """Add a reason to see a clinician, with its rule; no diagnosis."""
    known: dict[str, Any] = {"interpretation": [{"text": LEVEL_WORDS[spoken.level]}]}
    if for_client:
        # where numbers are left out, a flag about the body says only that a doctor is needed
        is_hidden = not made.show_numbers and is_about_the_body(spoken)
        sentence = careful_sentence(spoken.level) if is_hidden else spoken.for_client
        if not sentence:
            return
        known["valueString"] = sentence
    else:
        known["valueString"] = spoken.for_clinician
        known["method"] = concept(
            "rule", code=spoken.code, source=spoken.source, status=spoken.status
        )
    made.add(f"flag.{spoken.code}", "flag", **known)
