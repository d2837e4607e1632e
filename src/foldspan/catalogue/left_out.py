"""Left out: equations that were met and are not in the catalogue, with the reason.

Whoever reads one of the papers may complete the row and make a card of it; until then nobody should
add it again from the same text. ``as_read`` is what stood there, in the units given.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class LeftOut:
    """One equation that is not in the catalogue: who is credited, what was read and where, and why."""

    name: str
    as_read: str
    where: str
    why: str


# fmt: off
LEFT_OUT: tuple[LeftOut, ...] = (
    LeftOut(
        "Nagamine and Suzuki, boys aged 15 to 18",
        "density 1.0977 - 0.00146 (triceps + subscapular), mm",
        "two educational pages in Chinese",
        "neither the sample nor the error is given; the equations for younger people were not seen",
    ),
    LeftOut(
        "Nagamine and Suzuki, girls aged 15 to 18",
        "density 1.0931 - 0.00160 (triceps + subscapular), mm",
        "two educational pages in Chinese",
        "neither the sample nor the error is given; the equations for younger people were not seen",
    ),
    LeftOut(
        "Nagamine, two skinfolds by body surface",
        "density 1.0923 - 0.000514 x, x = 100 (triceps + subscapular) surface / weight, mm, m², kg;"
        " surface = 72.46 height^0.725 weight^0.425 / 10000, cm, kg",
        "two web pages in Japanese",
        "sex, sample and error are not stated, and the form with a third skinfold is damaged",
    ),
    LeftOut(
        "Sandhu 2010, young Indian men",
        "fat mass 8.46 + 0.32 weight - 15.16 height + 9.54 log (four skinfolds), kg, m, mm",
        "abstract",
        "minus signs are lost in the copy, the base of the logarithm is not printed, and the four"
        " skinfolds are not named",
    ),
    LeftOut(
        "Sandhu 2010, young Indian women",
        "fat mass -20.22 + 0.33 weight + 3.44 height + 7.66 log (four skinfolds), kg, m, mm",
        "abstract",
        "minus signs are lost in the copy, the base of the logarithm is not printed, and the four"
        " skinfolds are not named",
    ),
    LeftOut(
        "Brazilian girls aged 7 to 17, DXA (BMC Sports Sci Med Rehabil 2017)",
        "fat mass 0.3645630 weight + 0.1000325 suprailiac - 0.2888978 abdominal - 0.4752146 arm girth,"
        " contracted, + 2.8461916, kg, mm, cm",
        "abstract, doi 10.1186/s13102-017-0088-7",
        "as printed, a thicker skinfold on the abdomen lowers the fat: probably a misprint",
    ),
    LeftOut(
        "Katch and McArdle 1973, girths of young men",
        "density 1.12691 - 0.00357 arm - 0.00127 abdomen + 0.00524 forearm, cm",
        "lecture slides in Spanish",
        "neither sample nor error is shown, the abdomen is a mean of its largest and"
        " smallest girth, and the printed example (31.2, 94 and 24 cm) gives a man of 77 kg"
        " 33% fat",
    ),
    LeftOut(
        "Zuti and Golding 1973, men",
        "density 1.0806 - 0.001187 ...",
        "table of a later paper, doi 10.1155/2018/6843792",
        "only the intercept and the first coefficient could be read",
    ),
    LeftOut(
        "Guo 1989, fat-free mass of males",
        "0.646 weight - 0.116 calf - 0.375 midaxillary + 0.475 arm muscle girth + 0.156 height² /"
        " resistance - 2.932, kg, mm, cm",
        "equation table of a later paper, doi 10.1155/2013/501638",
        "needs a reading of impedance",
    ),
    LeftOut(
        "five measurements of a woman, from a fitness handbook",
        (
            "fat-free mass 8.987 + 0.732 weight + wrist / 3.140 - 0.157 waist - 0.249 hip +"
            " 0.434 forearm"
        ),
        "a web page that cites no source",
        (
            "the units are mistranslated: the constant of a metric equation is used with pounds"
            " and inches"
        ),
    ),
)
# fmt: on
