"""Entries of a Bundle: the Observations of one visit so far, and where each one stands."""

from __future__ import annotations

import uuid
from collections.abc import Iterable
from typing import Any

from foldspan.export.fhir.elements import absent, category, code, quantity
from foldspan.pages.sanitise import as_typed
from foldspan.text.en.staff_pages import FHIR_WORDS
from foldspan.visit.model import Visit

NAMESPACE = uuid.UUID(
    "6f0d9f0e-6f6c-5f5b-9a57-2f1a3d6c8e41"
)  # any fixed one: names are made below it
VITAL = ("weight_kg", "height_cm", "bmi", "blood_pressure")
SELF_REPORTED = "told."


class Entries:
    """The Observations of one visit so far, and where each one stands.

    ``settings`` are part of the address of what was worked out with them; ``whose`` is the client they
    are of; ``turn`` tells a visit that was given again from the first.
    """

    def __init__(
        self,
        visit: Visit,
        settings: str,
        *,
        show_numbers: bool,
        whose: dict[str, Any],
        turn: int = 0,
    ) -> None:
        self.visit, self.settings, self.show_numbers = visit, settings, show_numbers
        self.whose = whose
        self.entries: list[dict[str, Any]] = []
        self.places: dict[str, str] = {}
        self.seed = seed_of(visit, show_numbers=show_numbers) + (f"|again {turn}" if turn else "")

    def add(
        self,
        key: str,
        named: str = "",
        *,
        origins: Iterable[str] = (),
        text: str = "",
        **known: Any,
    ) -> None:
        """Add one Observation; ``origins`` are the keys of those that it was worked out from.

        ``named`` says what it is, left out as the key does; ``text`` stands in for a code in words.
        """
        named = named or key
        # the profile of vital signs wants to know whose they are and of which day
        is_vital = named in VITAL and self.visit.day is not None and "reference" in self.whose
        observation: dict[str, Any] = {
            "resourceType": "Observation",
            "status": "final",
            "category": category("vital-signs" if is_vital else "exam"),
            "code": {"text": text} if text else code(named),
            "subject": self.whose,
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
        is_read = is_read or key.startswith(SELF_REPORTED) or key == "blood_pressure"
        address = key if is_read else f"{key}|{self.settings}"
        self.places[key] = place_of(self.seed, address)
        self.entries.append({"fullUrl": self.places[key], "resource": observation | known})

    def value(self, value: float, unit: str, digits: int = 1) -> dict[str, Any]:
        """Return a value, or that it is masked."""
        if not self.show_numbers:
            return {"dataAbsentReason": absent("masked", FHIR_WORDS["masked"])}
        return {"valueQuantity": quantity(value, unit, digits)}


def place_of(seed: str, key: str) -> str:
    """Return the address of what stands below a seed by its key: the same each time."""
    return f"urn:uuid:{uuid.uuid5(NAMESPACE, f'{seed}|{key}')}"


def seed_of(visit: Visit, *, show_numbers: bool) -> str:
    """Return what the addresses of a visit are made from.

    The same visit has the same addresses each time, and no two visits share one. Where values are masked
    nobody may find them by trying, so no reading is part of an address.
    """
    seed = f"{as_typed(visit.client.code)}|{visit.day}|{visit.hour}|{as_typed(visit.tester)}"
    if show_numbers:
        seed += f"|{visit.client!r}|{visit.client.sex}|{visit.client.age_years}"
        seed += f"|{sorted(visit.sites.items())!r}|{visit.how_taken!r}"
        for name, site in sorted(visit.sites.items()):
            seed += f"|{name}{site.readings}{site.is_at_least}"
    return seed
