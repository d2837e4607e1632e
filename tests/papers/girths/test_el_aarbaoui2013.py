"""Second typing of the hip-for-height form for children of 2013.

El Aarbaoui T, Samouda H, Zitouni D, and others. Does the body adiposity index (BAI) apply to
paediatric populations? Ann Hum Biol 2013;40:451-458.

Seen: the abstract, with the equation. The criterion was foot-to-foot impedance.
"""

from __future__ import annotations

from papers.double_entry import Typed, double_entry

TYPED = {
    "el_aarbaoui2013_youth_hip_height": Typed(
        lambda hip_cm, height_cm: hip_cm / (height_cm / 100) ** 0.8 - 38,
        predicts="fat_percent",
        reference_method="density",
        sex="both",
        se=None,
        ages=(5, 12),
        n=1615,
    ),
}
test_second_typing = double_entry(TYPED)
