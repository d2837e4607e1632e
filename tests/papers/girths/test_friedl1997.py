"""Second typing of the linear abdomen and neck form for young soldiers.

Friedl KE, Vogel JA. Validity of percent body fat predicted from circumferences: classification of
men for weight control regulations. Mil Med 1997;162:194-200.

Seen: the coefficients in the tables of Moon and others (2008) and the paper's abstract; that the
form comes from this very paper was not confirmed.
"""

from __future__ import annotations

from papers.double_entry import Typed, double_entry

TYPED = {
    "friedl1997_male_abdomen_neck": Typed(
        lambda abdomen_navel_cm, neck_cm, height_cm: (
            0.771 * (abdomen_navel_cm - neck_cm) - 0.132 * height_cm + 4.29
        ),
        predicts="fat_percent",
        reference_method="dxa",
        sex="male",
        se=None,
        ages=(17, 39),
        n=496,
    ),
}
test_second_typing = double_entry(TYPED)
