"""Keys: the sections and lines of a visit file."""

from __future__ import annotations

from foldspan.quantities import BY_NAME

SECTIONS: dict[str, tuple[str, ...]] = {
    "mass_height": ("weight_kg", "height_cm"),
    "skinfolds_mm": tuple(q.short_name for q in BY_NAME.values() if q.kind == "skinfold"),
    "girths_cm": tuple(q.short_name for q in BY_NAME.values() if q.kind == "girth"),
    "breadths_cm": tuple(q.short_name for q in BY_NAME.values() if q.kind == "breadth"),
}
SECTION_UNIT = {"mass_height": "", "skinfolds_mm": "_mm", "girths_cm": "_cm", "breadths_cm": "_cm"}
HOME_OF = {
    f"{short}{SECTION_UNIT[section]}": (section, short)
    for section, names in SECTIONS.items()
    for short in names
}
CLIENT_KEYS = (
    "code", "sex", "age_years", "birth_date", "ancestry", "family_background", "pregnant", "athlete",
)  # fmt: skip
OTHER_SECTIONS = ("site_variants", "how_taken", "intake", "outside_results")
VISIT_KEYS = (
    "date", "time", "tester", "calliper", "reference_fat_percent", "reference_method",
)  # fmt: skip
SITE_VARIANTS: dict[str, tuple[str, ...]] = {
    "chest": ("half", "third"),
    "midaxillary": ("vertical", "horizontal"),
    "triceps": ("olecranon", "radiale"),
    "biceps": ("1cm_above", "level"),
    "subscapular": ("below_tip", "2cm_along"),
    "abdominal": ("vertical_2cm", "vertical_5cm", "horizontal_3cm"),
    "thigh": ("standing", "seated"),
}
MOST_READINGS = 3
LONGEST_CODE = 40
# names of other schools → the quantity here
OTHER_NAMES = {"iliac_crest": "suprailiac_midaxillary", "pectoral": "chest", "gluteal": "hip"}
# lines of a file of schema version 1 → their names now, by section
EARLIER_KEYS = {"visit": {"reference_scale": "reference_method"}}
OTHER_UNITS = ("lb", "st", "g", "in", "ft", "m", "kg", "cm", "mm")
