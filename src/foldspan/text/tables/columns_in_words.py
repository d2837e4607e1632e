"""Columns in words: what a column may hold, as somebody chooses it from a list."""

from __future__ import annotations

from functools import cache

from foldspan.quantities import BY_NAME
from foldspan.standards.intake_vocabulary import ALL_WORDS, CONDITIONS, MEDICINES, SYMPTOMS
from foldspan.tables.columns import KNOWN

# titles of the list, each with its columns in the order in which they are looked for
_PERSON = {
    "code": "client code",
    "date": "date measured",
    "tester": "tester",
    "sex": "sex (for women's or men's equations)",
    "age_years": "age",
    "birth_date": "date of birth",
    "athlete": "athlete (yes or no)",
    "ancestry": "ancestry (for the equations)",
    "family_background": "family background (for health limits)",
}
_SELF_REPORTED = {
    "symptoms": "symptoms (list)",
    "conditions": "conditions (list)",
    "medicines": "medicines (list)",
    "pregnant": "pregnant (yes or no)",
    "weeks_pregnant": "weeks pregnant",
    "birth_months_ago": "months since giving birth",
    "periods_stopped": "periods have stopped (yes or no)",
    "eating_concern": "worry about eating (yes or no)",
    "anabolic_drugs": "anabolic drugs (yes or no)",
    "surgery_months_ago": "months since an operation",
    "blood_pressure_mmhg": "blood pressure, both values (142/91)",
    "blood_pressure_upper_mmhg": "blood pressure, upper value",
    "blood_pressure_lower_mmhg": "blood pressure, lower value",
    "grip_kg": "grip strength",
    "earlier_weight_kg": "earlier weight",
    "weight_lost_kg": "weight lost",
    "earlier_weight_months_ago": "months since the earlier weight",
    "earlier_weight_date": "date of the earlier weight",
    "loss_wanted": "weight loss was intended (yes or no)",
}
_MEDICINES = {
    "blood_thinner": "blood thinners (medicines to prevent blood clots)",
    "cortisone_tablets": "steroid tablets such as prednisolone, for weeks or longer",
    "hiv_medicine": "medicines for HIV",
    "water_tablets": "diuretics (water tablets)",
}
_REFERENCE = {
    "reference_fat_percent": "body fat by a reference method [%]",
    "reference_method": "name of the reference method",
}
_KINDS = {
    "Weight and height": ("mass", "height"), "Girths": ("girth",), "Skinfolds": ("skinfold",),
    "Breadths": ("breadth",),
}  # fmt: skip


@cache
def choices() -> dict[str, dict[str, str]]:
    """Return what a column can hold: title → name here → what it is, in words."""
    found = {"Client and visit": dict(_PERSON)}
    for title, kinds in _KINDS.items():
        found[title] = {
            name: quantity.label for name, quantity in BY_NAME.items() if quantity.kind in kinds
        }
    found["Self-reported answers and blood pressure"] = dict(_SELF_REPORTED)
    for title, words in (
        ("Symptoms, yes or no", SYMPTOMS), ("Conditions, yes or no", CONDITIONS),
        ("Medicines, yes or no", MEDICINES),
    ):  # fmt: skip
        found[title] = {name: _MEDICINES.get(name, ALL_WORDS[name]) for name in words}
    found["Reference"] = dict(_REFERENCE)
    rest = [name for name in KNOWN if not any(name in some for some in found.values())]
    found["Other"] = {name: name.replace("_", " ") for name in dict.fromkeys(rest)}
    return {title: some for title, some in found.items() if some}


@cache
def column_label(name: str) -> str:
    """Return what a column here holds, in words."""
    return next((some[name] for some in choices().values() if name in some), name)
