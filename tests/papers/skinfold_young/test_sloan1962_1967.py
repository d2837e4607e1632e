"""Sloan AW. J Appl Physiol 1967;23(3):311-315 (men).
Sloan AW, Burt JJ, Blyth CS. J Appl Physiol 1962;17(6):967-970 (women).

Men: sample and sites were seen in the abstract, the coefficients on an educational page; 0.001327 is
the fuller form of the first one. Women: the paper was not seen; listings differ between 0.00081 and
0.0008 (an educational page) for the suprailiac fold (midaxillary line), and 0.00081 is taken.
"""

from papers.double_entry import Typed, double_entry

TYPED = {
    "sloan1967_male": Typed(
        lambda thigh_mm, subscapular_mm: 1.1043 - 0.001327 * thigh_mm - 0.00131 * subscapular_mm,
        predicts="density",
        reference_method="density",
        sex="male",
        se=0.0067,
        see_unit="density",
        ages=(18, 26),
        n=50,
    ),
    "sloan_burt_blyth1962_female": Typed(
        lambda suprailiac_midaxillary_mm, triceps_mm: (
            1.0764 - 0.00081 * suprailiac_midaxillary_mm - 0.00088 * triceps_mm
        ),
        predicts="density",
        reference_method="density",
        sex="female",
        se=0.0082,
        see_unit="density",
        ages=(17, 25),
        n=50,
    ),
}
test_second_typing = double_entry(TYPED)
