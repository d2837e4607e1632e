"""Second typing of the hip-for-height form of 2011.

Bergman RN, Stefanovski D, Buchanan TA, and others. A better index of body adiposity. Obesity
2011;19:1083-1089.

Seen: the abstract with the formula. The paper gives no standard error.
"""

from __future__ import annotations

from papers.double_entry import Typed, double_entry

TYPED = {
    "bergman2011_both_hip_height": Typed(
        lambda hip_cm, height_cm: hip_cm / (height_cm / 100) ** 1.5 - 18,
        predicts="fat_percent",
        reference_method="dxa",
        sex="both",
        se=None,
        ages=(18, 67),
        n=1733,
    ),
}
test_second_typing = double_entry(TYPED)
