"""Plan widths: how wide a range each plan may be expected to give a person of average build.

Printed by ``python tests/learning/learn_plan_widths.py``, which reconciles the middle of the reference
people; a test works them out anew. Widths of the 80 % range [points of body fat], by plan and sex.
"""

from __future__ import annotations

PLAN_WIDTHS: dict[tuple[str, str], float] = {
    ("seven", "female"): 12.8,
    ("seven", "male"): 12.6,
    ("four", "female"): 13.3,
    ("four", "male"): 12.8,
    ("three", "female"): 13.1,
    ("three", "male"): 12.3,
    ("tape", "female"): 14.0,
    ("tape", "male"): 13.4,
    ("quick", "female"): 14.4,
    ("quick", "male"): 13.6,
    ("build", "female"): 13.3,
    ("build", "male"): 12.7,
}
