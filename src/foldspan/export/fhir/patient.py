"""Patient: whose the Observations are, a code and no name; sex for equations and age only if asked.

The sex is the one that the equations were built for and no administrative gender, so it stands in the
words of the resource and in an Observation, not in ``Patient.gender``; FHIR knows a birth date and no
age. No extension is used.
"""

from __future__ import annotations

from typing import Any

from foldspan.export.fhir.elements import UCUM, absent, category, quantity
from foldspan.export.fhir.entries import Entries, place_of
from foldspan.pages.sanitise import as_typed
from foldspan.text.en.staff_pages import FHIR_WORDS, STAFF_PAGES
from foldspan.visit.model import Visit

XHTML = "http://www.w3.org/1999/xhtml"


def patient_of(
    visit: Visit, code: str, seed: str, *, is_included: bool
) -> tuple[list[dict[str, Any]], dict[str, Any]]:
    """Return the entry of the Patient, none without a code unless told of, and what refers to it.

    Parameters
    ----------
    visit : Visit
        The last one, whose age is told.
    code : str
        The client's code, "" for none.
    seed : str
        What its address is made from.
    is_included : bool
        Whether the sex used for the equations and the age are told.
    """
    known: dict[str, Any] = {"identifier": [{"value": code}]} if code else {}
    if is_included:
        age, client = int(visit.client.age_years), visit.client
        day = "" if visit.day is None else f" on {visit.day.isoformat()}"
        sex = STAFF_PAGES[f"staff.{client.sex}"]
        words = FHIR_WORDS["patient"].format(sex=sex, age=age, day=day)
        known["text"] = {"status": "generated", "div": f'<div xmlns="{XHTML}">{words}</div>'}
    if not known:
        return [], {"display": FHIR_WORDS["no_code"]}
    place = place_of(seed, "patient")
    entry = {"fullUrl": place, "resource": {"resourceType": "Patient"} | known}
    return [entry], {"reference": place}


def code_of(visits: list[Visit]) -> str:
    """Return the code of a client, from whichever visit has it, the last first."""
    codes = (as_typed(visit.client.code) for visit in reversed(visits))
    return next((code for code in codes if code), "")


def about_the_client(made: Entries) -> None:
    """Add the sex that the equations of a visit were chosen by, and the age on its day."""
    client, survey = made.visit.client, category("survey")
    made.add("sex_used", category=survey, valueString=STAFF_PAGES[f"staff.{client.sex}"])
    age: dict[str, Any]
    if made.show_numbers:
        age = {"valueQuantity": quantity(int(client.age_years), UCUM["age"], 0)}
    else:
        age = {"dataAbsentReason": absent("masked", FHIR_WORDS["masked"])}
    made.add("age", **({"category": survey} | age))
