"""Cautions: what to know before going by an answer, as keys of ``CAUTIONS``."""

from __future__ import annotations

from foldspan.standards.fat_percent import LEAST_FAT
from foldspan.standards.referral_rules import ADULT_AGE
from foldspan.visit.model import Visit

# ours: from this body mass index on few equations were built on bodies as large [kg/m²]; from this age
# on muscle is often lost unseen, and up to this one adult classes and growth charts differ [years]
LARGE_BMI, OLDER_AGE, YOUNG_UNTIL = 35.0, 65.0, 20.0

# what stands at every answer; the others are about this client
GENERAL = ("screening", "shared_error", "eating")


def caution_codes(visit: Visit, low: float | None) -> tuple[str, ...]:
    """Return what to keep in mind of a visit, as keys of ``CAUTIONS``.

    ``low`` is the lower end of the 95 % range before any widening for misfit, on the density scale [% of
    weight]; None where there is no range.
    """
    client, accepted = visit.client, visit.accepted
    if client.age_years < ADULT_AGE or client.pregnant:
        return "screening", "eating"  # adult limits say nothing about a child or a pregnancy
    codes = ["screening", *([] if low is None else ["shared_error"]), "eating"]
    if low is not None and low < LEAST_FAT[client.sex]:
        codes.insert(0, "low_fat_women" if client.sex == "female" else "low_fat")
    if {"weight_kg", "height_cm"} <= set(accepted):
        bmi = accepted["weight_kg"].value / (accepted["height_cm"].value / 100.0) ** 2
        codes = ["large_body", *codes] if bmi >= LARGE_BMI else codes
    if client.age_years >= OLDER_AGE:
        codes.append("older")
    if ADULT_AGE <= client.age_years < YOUNG_UNTIL:
        codes.append("young_adult")
    return tuple(codes)
