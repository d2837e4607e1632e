"""White J, Mayhew JL, Piper FC. J Sports Med Phys Fitness 1980;20(3):317-324 (college football).

The coefficients were seen in print; no error was. Suprailiac fold at the anterior axillary line.
"""

from papers.double_entry import Typed, double_entry

TYPED = {
    "white1980_male": Typed(
        lambda suprailiac_anterior_mm, thigh_mm: (
            1.0958 - 0.00088 * suprailiac_anterior_mm - 0.0006 * thigh_mm
        ),
        predicts="density",
        reference_method="density",
        sex="male",
        se=None,
        ages=(18, 23),
        n=58,
    ),
}
test_second_typing = double_entry(TYPED)
