"""Names: how forms call sites, codes and days, beside what ``standards.column_names`` lists.

Only proposed and never refused: a table may hold a column of such a name for another purpose. Headers
as they are met in English, German, French, Spanish and Italian (common practice, no source).
"""

from __future__ import annotations

import re
from functools import cache

_FOLD = (
    r"(_?(skin_?folds?|folds?|sf|skf|hautfalten?|falten?|plis?|pliegues?|plica|caliper|calliper))"
)
_GIRTH = r"(_?(girths?|circumferences?|circumf|circ|umfang|size))"
_SIDE = r"((right|left|rechts|links|front|anterior|medial|inner)_)?"

# a fold's own name is enough where no girth has it; others need the word for a fold, or its unit
_FOLDS = (
    ("triceps_mm", r"tri|triceps?|trizeps|tricipital"),
    ("biceps_mm", r"biceps?|bizeps|bicipital"),
    ("subscapular_mm", r"sub_?scap(ular|ula|ularis)?|schulterblatt|sous_scapulaire|subescapular"),
    ("midaxillary_mm", r"mid_?ax(ill?ary|illa)?|axill?ary|axilar"),
    ("supraspinale_mm", r"supra_?spinale?"),
)  # fmt: skip
_FOLDS_WITH_WORD = (
    ("chest_mm", r"chest|pec(toral)?|pecs|brust|pectorale?"),
    ("abdominal_mm", r"abdominal|abdomen|abdo|bauch|abdominale"),
    ("thigh_mm", r"thigh|quad(riceps)?|oberschenkel|cuisse|muslo|coscia"),
    ("calf_mm", r"calf|wade|mollet|pantorrilla|polpaccio"),
    ("chin_mm", r"chin|submental|kinn"),
)  # fmt: skip
_GIRTHS = (
    ("neck_cm", r"neck|hals|nacken|cou|tour_de_cou|cuello|collo"),
    ("hip_cm", r"hips?|huefte?|hufte?|hueft|huft|gesaess|hanches?|tour_de_hanches|caderas?|fianchi"),
    ("wrist_girth_cm", r"wrist|handgelenk|poignet|muneca|polso"),
    ("forearm_girth_cm", r"forearm|unterarm|avant_bras|antebrazo|avambraccio"),
)  # fmt: skip
_GIRTHS_WITH_WORD = (
    ("calf_girth_cm", r"calf|waden?|mollet|pantorrilla|polpaccio"),
    ("chest_girth_cm", r"chest|brust|brustkorb"),
    ("knee_girth_cm", r"knee|knie"),
    ("ankle_girth_cm", r"ankle|knoechel|knochel"),
)  # fmt: skip
_LABELS = (
    ("code", r"((client|patient|participant|person|employee|staff|member|subject|study|customer)_)?"
     r"(id|ids|code|no|nr|number|nummer|ref)|mitarbeiter(_?(nr|nummer|id|code))?|personal_?nummer|kennung"
     r"|pseudonym|codigo|matricule|identifiant|codice"),
    ("date", r"(visit|test|exam|measurement|screening|assessment)_(date|day)|measured_on"
     r"|date_(measured|of_visit|taken|of_measurement|of_test|de_mesure|de_visite)|mess(datum|tag)"
     r"|datum|fecha(_de_medicion)?"),
    ("tester", r"tester|measured_by|measurer|assessor|examiner|observer|gemessen_von|mesure_par"
     r"|examinateur|evaluador|misurato_da|taken_by"),
)  # fmt: skip


@cache
def _patterns() -> tuple[tuple[str, re.Pattern[str]], ...]:
    found = [(name, f"{_SIDE}({core}){_FOLD}?|{_FOLD}_({core})") for name, core in _FOLDS]
    found += [(name, f"{_SIDE}({core}){_FOLD}|{_FOLD}_({core})") for name, core in _FOLDS_WITH_WORD]
    found += [(name, f"({core}){_GIRTH}?|{_GIRTH}_({core})") for name, core in _GIRTHS]
    found += [
        (name, f"{_SIDE}({core}){_GIRTH}|{_GIRTH}_({core})") for name, core in _GIRTHS_WITH_WORD
    ]
    found += _LABELS
    return tuple((name, re.compile(pattern)) for name, pattern in found)


def site_meant(core: str, unit: str) -> str:
    """Return the site or label that a name without its unit is likely to mean, "" for none.

    Examples
    --------
    >>> site_meant("hautfalte_trizeps", ""), site_meant("thigh", "mm"), site_meant("thigh", "")
    ('triceps_mm', 'thigh_mm', '')
    """
    for name, pattern in _patterns():
        if pattern.fullmatch(core):
            return name
    if unit == "mm":
        return next(
            (name for name, words in _FOLDS_WITH_WORD if re.fullmatch(f"{_SIDE}({words})", core)),
            "",
        )
    return ""
