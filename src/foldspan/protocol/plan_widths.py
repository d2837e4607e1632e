"""Plan widths: how wide a range each plan may be expected to give a person of average build.

Written by ``python tests/learning/learn_plan_widths.py``, which reconciles the middle of the reference
people; a test works them out anew. Widths of the 80 % range [points of body fat], by plan and sex.
"""

from __future__ import annotations

# learnt: PLAN_WIDTHS
PLAN_WIDTHS: dict[tuple[str, str], float] = {
    ("seven", "female"): 8.5,
    ("seven", "male"): 7.5,
    ("four", "female"): 8.6,
    ("four", "male"): 7.5,
    ("three", "female"): 8.4,
    ("three", "male"): 7.7,
    ("tape", "female"): 9.7,
    ("tape", "male"): 8.3,
    ("quick", "female"): 9.8,
    ("quick", "male"): 8.3,
    ("build", "female"): 8.9,
    ("build", "male"): 7.6,
    ("adaptive", "female"): 8.1,
    ("adaptive", "male"): 7.4,
}
# end of what was learnt

# Minutes of the adaptive plan: one in ten invented clients takes less than the first, one in ten more
# than the second. Written by ``python tests/learning/learn_adaptive_plan.py``.
ADAPTIVE_MINUTES: tuple[int, int] = (8, 13)
