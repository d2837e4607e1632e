"""LOINC codes of results that are no single measured quantity, and the names that go with codes.

Those of measured quantities stand in ``quantities.py``. "Primary": read in LOINC's own text.
"Secondary": read on another page. A name that is only remembered is left out.
"""

from __future__ import annotations

from foldspan.quantities import QUANTITIES

LOINC: dict[str, str] = {
    **{quantity.name: quantity.loinc for quantity in QUANTITIES if quantity.loinc},
    "bmi": "39156-5",  # primary
    "fat_percent": "77233-5",  # secondary; the name, percentage of body fat calculated, is not verified
    "fat_mass": "73708-0",  # secondary
    # the panel and its two pressures as the vital signs of FHIR R4 name them (not verified in print)
    "blood_pressure": "85354-9",
    "systolic": "8480-6",
    "diastolic": "8462-4",
}
# lean mass: 8342-8 and 8343-6 are two ways of reckoning, and which is which was not seen; left out

DISPLAYS: dict[str, str] = {
    "weight_kg": "Body weight",  # primary
    "height_cm": "Body height",  # primary
    "bmi": "Body mass index (BMI) [Ratio]",  # primary
    "abdomen_navel_cm": "Waist Circumference at umbilicus by Tape measure",  # primary
    "waist_iliac_cm": "Waist Circumference by NHANES",  # secondary
    "waist_midpoint_cm": "Waist Circumference by NCFS",  # secondary
    "neck_cm": "Circumference Neck",  # secondary
    "fat_mass": "Body fat [Mass] Calculated",  # secondary
}
