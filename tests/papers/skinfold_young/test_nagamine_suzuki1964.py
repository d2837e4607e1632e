"""Nagamine S, Suzuki S. Hum Biol 1964;36(1):8-15 (young Japanese men and women).

The paper was not seen; two educational pages in Chinese quote both equations, and pair them with the
Brozek conversion. No error is known. Criterion: underwater weighing.
"""

from papers.double_entry import Typed, double_entry

TYPED = {
    "nagamine_suzuki1964_male": Typed(
        lambda triceps_mm, subscapular_mm: 1.0913 - 0.00116 * (triceps_mm + subscapular_mm),
        predicts="density",
        reference_method="density",
        sex="male",
        se=None,
        ages=(18, 27),
        n=96,
    ),
    "nagamine_suzuki1964_female": Typed(
        lambda triceps_mm, subscapular_mm: 1.0897 - 0.00133 * (triceps_mm + subscapular_mm),
        predicts="density",
        reference_method="density",
        sex="female",
        se=None,
        ages=(18, 23),
        n=112,
    ),
}
test_second_typing = double_entry(TYPED)
