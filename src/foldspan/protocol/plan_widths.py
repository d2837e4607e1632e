"""Plan widths: how wide a range each plan may be expected to give a person of average build.

Written by ``python tests/learning/learn_plan_widths.py``, which reconciles the middle of the reference
people; a test works them out anew. Widths of the 80 % range [points of body fat], by plan and sex.
"""

from __future__ import annotations

# learnt: PLAN_WIDTHS
PLAN_WIDTHS: dict[tuple[str, str], float] = {
    ("seven", "female"): 8.5,
    ("seven", "male"): 7.3,
    ("four", "female"): 8.7,
    ("four", "male"): 7.6,
    ("three", "female"): 8.5,
    ("three", "male"): 7.4,
    ("tape", "female"): 9.6,
    ("tape", "male"): 8.2,
    ("quick", "female"): 9.7,
    ("quick", "male"): 8.2,
    ("build", "female"): 9.0,
    ("build", "male"): 7.6,
    ("adaptive", "female"): 8.2,
    ("adaptive", "male"): 7.6,
}
# end of what was learnt

# Minutes of the adaptive plan: one in ten invented clients takes less than the first, one in ten more
# than the second. Written by ``python tests/learning/learn_adaptive_plan.py``.
ADAPTIVE_MINUTES: tuple[int, int] = (8, 13)
