"""Bundle: the visits of one client as Observations of HL7 FHIR R4, each with the day of its visit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from foldspan.export.fhir.elements import absent
from foldspan.export.fhir.entries import Entries, seed_of
from foldspan.export.fhir.estimates import answer, methods, no_answer, outside
from foldspan.export.fhir.measured import (
    flag,
    indices,
    measured,
    not_taken,
    pressure,
    self_reported,
)
from foldspan.export.fhir.patient import about_the_client, code_of, patient_of
from foldspan.results.explanation import Explanation
from foldspan.results.spoken import SpokenFlag
from foldspan.text.en.staff_pages import FHIR_WORDS
from foldspan.visit.model import Visit


@dataclass(frozen=True, slots=True, repr=False)
class OfVisit:
    """One visit and what is told of it."""

    visit: Visit
    """What was measured."""
    explanation: Explanation
    """Of this visit."""
    flags: tuple[SpokenFlag, ...] = ()
    """Reasons to see a clinician."""
    not_taken: tuple[str, ...] = ()
    """Sites that could not be taken, ``site: reason``."""


def bundle(
    visits: Sequence[OfVisit],
    *,
    settings: str = "",
    show_numbers: bool = True,
    for_client: bool = False,
    with_sex_and_age: bool = False,
) -> dict[str, Any]:
    """Return visits as a FHIR R4 Bundle: what was measured, what each method says, the range.

    Every estimate is an Observation of its own, ``derivedFrom`` those that it was worked out from.

    Parameters
    ----------
    visits : sequence of OfVisit
        Visits of one client, the earliest first; one at least.
    settings : str
        What the estimates were worked out with; other settings have other addresses.
    show_numbers : bool
        False where numbers may harm the reader: values are then marked as masked.
    for_client : bool
        Whether flags are told in the client's words.
    with_sex_and_age : bool
        Whether the sex used for the equations and the age are told.
    """
    last = visits[-1].visit
    patient, whose = patient_of(
        last,
        code_of([of_visit.visit for of_visit in visits]),
        seed_of(last, show_numbers=show_numbers),
        is_included=with_sex_and_age and show_numbers,
    )
    entries, turns = list(patient), Counter[str]()
    for of_visit in visits:
        seed = seed_of(of_visit.visit, show_numbers=show_numbers)
        made = Entries(
            of_visit.visit, settings, show_numbers=show_numbers, whose=whose, turn=turns[seed]
        )
        turns[seed] += 1
        if with_sex_and_age:
            about_the_client(made)
        _observe(made, of_visit, for_client=for_client)
        entries += made.entries
    return {"resourceType": "Bundle", "type": "collection", "entry": entries}


def _observe(made: Entries, of_visit: OfVisit, *, for_client: bool) -> None:
    """Add everything of one visit."""
    result = of_visit.explanation.result
    for name in of_visit.visit.accepted:
        measured(made, name)
    for line in of_visit.not_taken:
        not_taken(made, *line.partition(": ")[::2])
    indices(made)
    if made.show_numbers:
        pressure(made)
    if not for_client:
        self_reported(made)
    if not made.show_numbers:
        made.add("fat_percent", dataAbsentReason=absent("masked", FHIR_WORDS["masked"]))
    elif result.has_range:
        methods(made, result)
        answer(made, result, outside(made, of_visit.explanation))
    else:
        no_answer(made, result)
    for spoken in of_visit.flags:
        flag(made, spoken, for_client=for_client)
