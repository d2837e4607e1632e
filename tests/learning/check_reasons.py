"""Who is right when methods differ? The named reasons held against a measured DXA, by hand.

    python tests/learning/check_reasons.py

The people are those of NHANES 1999-2002 (``tests/open_data``) with weight, height, waist, arm, calf and
thigh girth, triceps and subscapular folds and whole-body DXA. The patterns that name a reason know no
DXA, so this is a check, though the people are those whose *measurements* the patterns were learnt from.
Prints the table of docs/explain.md: mean error of each family against DXA where a reason is named.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pandas as pd

sys.path.insert(0, str(Path(__file__).parents[1]))

from foldspan import FoldspanError, Visit
from foldspan.catalogue.card import FAMILIES
from foldspan.estimation.settings import settings_for
from foldspan.explanation.case import CaseAnalysis
from foldspan.explanation.decomposition import pair
from foldspan.results.case_of_visit import case_of
from open_data.open_tables import survey_of

SECTIONS = {
    "mass_height": {"weight_kg": "weight_kg", "height_cm": "height_cm"},
    "skinfolds_mm": {"triceps": "triceps_mm", "subscapular": "subscapular_mm"},
    "girths_cm": {
        "waist_iliac": "waist_iliac_crest_cm",
        "thigh_mid": "thigh_mid_girth_cm",
        "arm_relaxed": "arm_relaxed_girth_cm",
        "calf": "calf_girth_cm",
    },
}
# reason → the pair that shows it
SHOWN_BY = {
    "more_muscle": ("mass_height", "skinfold"),
    "less_muscle": ("mass_height", "skinfold"),
    "belly_fat": ("waist_height", "skinfold"),
    "fat_under_skin": ("waist_height", "skinfold"),
}
OLDEST = 75


def readings_of(person: pd.Series) -> dict[str, float] | None:
    """Errors of the families against DXA, and the points of the named reasons; None if refused."""
    tree = {
        "client": {
            "sex": "female" if person.sex == "F" else "male",
            "age_years": float(person.age),
        }
    } | {
        section: {name: float(person[column]) for name, column in names.items()}
        for section, names in SECTIONS.items()
    }
    try:
        visit = Visit.from_dict(tree, accept_unusual=True)
    except FoldspanError:
        return None
    analysis = CaseAnalysis(case_of(visit, settings_for("dxa", "siri1961")))
    families = analysis.case.answer.families[:, 0]
    if not np.isfinite(families).all():
        return None
    row = {name: families[k] - person.dxa_fat_percent for k, name in enumerate(FAMILIES)}
    for code, between in SHOWN_BY.items():
        named = {reason.code: reason.points for reason in pair(analysis, *between).reasons}
        row[code] = named.get(code, 0.0)
    return row


def main() -> None:
    """Print the table."""
    people = survey_of("1999_2002").dropna()
    rows = [readings_of(person) for _, person in people[people.age < OLDEST].iterrows()]
    table = pd.DataFrame([row for row in rows if row is not None])
    print(f"{len(table)} people")
    print(f"| reason given | people | points given | {' | '.join(FAMILIES)} |")
    nothing = (table[list(SHOWN_BY)] == 0.0).all(axis=1)
    for code, mask in [(code, table[code] != 0.0) for code in SHOWN_BY] + [("none", nothing)]:
        group = table[mask]
        errors = " | ".join(f"{group[name].mean():+.1f}" for name in FAMILIES)
        points = f"{group[code].mean():+.1f}" if code in group else "-"
        print(f"| {code} | {len(group)} | {points} | {errors} |")


if __name__ == "__main__":
    main()
