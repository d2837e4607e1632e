"""Conversions from body density to body fat: ``100 (c1 / D - c2)`` [%].

Each row assumes one density of lean tissue. That density differs with age, ancestry, training and
illness, which is the reason why there is more than one row.
"""

from __future__ import annotations

from typing import Literal

from foldspan.catalogue.card import Checked, Conversion

Sex = Literal["female", "male", "both"]
Audience = Literal["general", "athlete", "obese", "youth", "clinical"]

_GENERAL: tuple[Conversion, ...] = (
    Conversion(
        key="siri1961",
        c1=4.95,
        c2=4.5,
        sex="both",
        ages=(18, 80),
        population="adults; lean tissue 1.100, fat 0.900",
        source="siri1961",
        where="equation (page not seen), as quoted in later papers",
        status="read in a secondary text",
        checked=Checked.DOUBLE_ENTRY,
        lean_density=1.1,
        note="A reprint shows a multiplication sign in place of the division.",
    ),
    Conversion(
        key="brozek1963",
        c1=4.57,
        c2=4.142,
        sex="both",
        ages=(18, 80),
        population="adults; a reference man of density 1.064 with 15.3% fat",
        source="brozek1963",
        where="equation (page not seen), as quoted in later papers",
        status="read in a secondary text",
        checked=Checked.DOUBLE_ENTRY,
        lean_density=1.1033,
        note="One report prints 4.242; only 4.142 returns the reference man.",
    ),
    Conversion(
        key="keys_brozek1953",
        c1=4.201,
        c2=3.813,
        sex="both",
        ages=(18, 80),
        population="adults; of historical interest",
        source="keys_brozek1953",
        where="equation (page not seen)",
        status="not verified in print",
        checked=Checked.FROM_MEMORY,
        lean_density=1.1018,
    ),
    Conversion(
        key="rathbun_pace1945",
        c1=5.548,
        c2=5.044,
        sex="both",
        ages=(18, 80),
        population="adults; of historical interest",
        source="rathbun_pace1945",
        where="equation (page not seen)",
        status="not verified in print",
        checked=Checked.FROM_MEMORY,
        lean_density=1.0999,
    ),
    Conversion(
        key="schutte1984",
        c1=4.374,
        c2=3.928,
        sex="male",
        ages=(18, 32),
        population="Black college men; 15 Black and 19 white men measured",
        source="schutte1984",
        where="abstract",
        status="verified",
        checked=Checked.DOUBLE_ENTRY,
        lean_density=1.1135,
        ancestry="black",
        note=(
            "Few men; followed by Wagner and Heyward 2001. The paper states a lean density of"
            " 1.113. Its line gives pure fat a density of 0.888, not 0.9007. Textbooks round to"
            " 437 and 393."
        ),
    ),
    Conversion(
        key="ortiz1992",
        c1=4.85,
        c2=4.39,
        sex="female",
        ages=(24, 79),
        population="Black women",
        source="ortiz1992",
        where="equation (page not seen)",
        status="not verified in print",
        checked=Checked.FROM_MEMORY,
        lean_density=1.1059,
        ancestry="black",
        note="4.83 and 4.37 are quoted too (not verified in print).",
    ),
    Conversion(
        key="wagner_heyward2001",
        c1=4.858,
        c2=4.394,
        sex="male",
        ages=(19, 45),
        population="30 Black men",
        source="wagner_heyward2001",
        where="equation (page not seen)",
        status="not verified in print",
        checked=Checked.FROM_MEMORY,
        lean_density=1.1057,
        ancestry="black",
    ),
)

# Lohman (1989) [lohman1989], table by age and sex: key, c1, c2, sex, ages [years], lean density
# [g/cm³].
_LOHMAN: tuple[tuple[str, float, float, Sex, tuple[float, float], float], ...] = (
    ("lohman1989_female_7_9", 5.451, 5.052, "female", (7, 8.99), 1.079),
    ("lohman1989_male_7_9", 5.4, 4.996, "male", (7, 8.99), 1.081),
    ("lohman1989_female_9_11", 5.376, 4.968, "female", (9, 10.99), 1.082),
    ("lohman1989_male_9_11", 5.327, 4.914, "male", (9, 10.99), 1.084),
    ("lohman1989_female_11_13", 5.279, 4.861, "female", (11, 12.99), 1.086),
    ("lohman1989_male_11_13", 5.255, 4.835, "male", (11, 12.99), 1.087),
    ("lohman1989_female_13_15", 5.141, 4.708, "female", (13, 14.99), 1.092),
    ("lohman1989_male_13_15", 5.098, 4.66, "male", (13, 14.99), 1.094),
    ("lohman1989_female_15_17", 5.098, 4.66, "female", (15, 16.99), 1.094),
    ("lohman1989_male_15_17", 5.055, 4.612, "male", (15, 16.99), 1.096),
    ("lohman1989_female_17_20", 5.076, 4.636, "female", (17, 19.99), 1.095),
    ("lohman1989_male_17_20", 5.002, 4.554, "male", (17, 19.99), 1.0985),
    ("lohman1989_female_20_25", 5.055, 4.612, "female", (20, 25), 1.096),
    ("lohman1989_male_20_25", 4.971, 4.519, "male", (20, 25), 1.1),
)

# Heyward & Wagner (2004) [heyward_wagner2004], table of groups: key, c1, c2, sex, ages [years],
# lean density [g/cm³]; ancestry, audience, population.
_Row = tuple[str, float, float, Sex, tuple[float, float], float, str, Audience, str]
# fmt: off
_HEYWARD2004: tuple[_Row, ...] = (
    ("heyward2004_african_american_female_9_17", 5.24, 4.82, "female", (9, 17), 1.0876,
     "black", "youth", "African American girls"),
    ("heyward2004_african_american_male_19_45", 4.86, 4.39, "male", (19, 45), 1.1059,
     "black", "general", "African American men"),
    ("heyward2004_african_american_female_24_79", 4.86, 4.39, "female", (24, 79), 1.1059,
     "black", "general", "African American women"),
    ("heyward2004_american_indian_male", 4.97, 4.52, "male", (18, 62), 1.1,
     "american_indian", "general", "American Indian men"),
    ("heyward2004_american_indian_female", 4.81, 4.34, "female", (18, 60), 1.1082,
     "american_indian", "general", "American Indian women"),
    ("heyward2004_japanese_male_18_48", 4.97, 4.52, "male", (18, 48), 1.1,
     "japanese", "general", "Japanese men"),
    ("heyward2004_japanese_female_18_48", 4.76, 4.28, "female", (18, 48), 1.1111,
     "japanese", "general", "Japanese women"),
    ("heyward2004_japanese_male_61_78", 4.87, 4.41, "male", (61, 78), 1.1049,
     "japanese", "general", "older Japanese men"),
    ("heyward2004_japanese_female_61_78", 4.95, 4.5, "female", (61, 78), 1.1009,
     "japanese", "general", "older Japanese women"),
    ("heyward2004_singapore_male", 4.94, 4.48, "male", (18, 75), 1.1017,
     "singaporean", "general", "Singaporean men"),
    ("heyward2004_singapore_female", 4.84, 4.37, "female", (18, 75), 1.1068,
     "singaporean", "general", "Singaporean women"),
    ("heyward2004_white_both_8_12", 5.27, 4.85, "both", (8, 12), 1.0864,
     "white", "youth", "white children"),
    ("heyward2004_white_male_13_17", 5.12, 4.69, "male", (13, 17), 1.0927,
     "white", "youth", "white boys"),
    ("heyward2004_white_female_13_17", 5.19, 4.76, "female", (13, 17), 1.0899,
     "white", "youth", "white girls"),
    ("heyward2004_white_male_18_59", 4.95, 4.5, "male", (18, 59), 1.1009,
     "white", "general", "white men"),
    ("heyward2004_white_female_18_59", 4.96, 4.51, "female", (18, 59), 1.1004,
     "white", "general", "white women"),
    ("heyward2004_white_male_60_90", 4.97, 4.52, "male", (60, 90), 1.1,
     "white", "general", "older white men"),
    ("heyward2004_white_female_60_90", 5.02, 4.57, "female", (60, 90), 1.0978,
     "white", "general", "older white women"),
    ("heyward2004_hispanic_female_20_40", 4.87, 4.41, "female", (20, 40), 1.1049,
     "hispanic", "general", "Hispanic women"),
    ("heyward2004_resistance_trained_male", 5.21, 4.78, "male", (20, 28), 1.0891,
     "", "athlete", "resistance-trained men"),
    ("heyward2004_resistance_trained_female", 4.97, 4.52, "female", (29, 41), 1.1,
     "", "athlete", "resistance-trained women"),
    ("heyward2004_endurance_male", 5.03, 4.59, "male", (19, 23), 1.0969,
     "", "athlete", "men trained for endurance"),
    ("heyward2004_endurance_female", 4.95, 4.5, "female", (17, 25), 1.1009,
     "", "athlete", "women trained for endurance"),
    ("heyward2004_all_sports_male", 5.12, 4.68, "male", (18, 22), 1.0932,
     "", "athlete", "male athletes of all sports"),
    ("heyward2004_all_sports_female", 4.97, 4.52, "female", (18, 22), 1.1,
     "", "athlete", "female athletes of all sports"),
    ("heyward2004_anorexia_female", 4.96, 4.51, "female", (15, 44), 1.1004,
     "", "clinical", "women with anorexia nervosa"),
    ("heyward2004_obesity_female", 4.95, 4.5, "female", (17, 62), 1.1009,
     "", "clinical", "women with obesity"),
    ("heyward2004_cirrhosis_A", 5.33, 4.91, "both", (18, 75), 1.0841,
     "", "clinical", "adults with cirrhosis, Child class A"),
    ("heyward2004_cirrhosis_B", 5.48, 5.08, "both", (18, 75), 1.078,
     "", "clinical", "adults with cirrhosis, Child class B"),
    ("heyward2004_cirrhosis_C", 5.69, 5.32, "both", (18, 75), 1.07,
     "", "clinical", "adults with cirrhosis, Child class C"),
    ("heyward2004_spinal_cord_male", 4.67, 4.18, "male", (18, 73), 1.1162,
     "", "clinical", "men with spinal cord injury"),
    ("heyward2004_spinal_cord_female", 4.7, 4.22, "female", (18, 73), 1.1141,
     "", "clinical", "women with spinal cord injury"),
)

# Heyward & Stolarczyk (1996) [heyward_stolarczyk1996], rows that differ from the edition of 2004.
# Columns as above.
_HEYWARD1996: tuple[_Row, ...] = (
    ("heyward1996_white_female_20_80", 5.01, 4.57, "female", (20, 80), 1.0978,
     "white", "general", "white women, as of 1996"),
    ("heyward1996_anorexia_female", 5.26, 4.83, "female", (15, 30), 1.0872,
     "", "clinical", "women with anorexia nervosa, as of 1996"),
    ("heyward1996_obesity_female", 5.0, 4.56, "female", (17, 62), 1.0982,
     "", "clinical", "women with obesity, as of 1996"),
)
# fmt: on


def _lohman_rows() -> tuple[Conversion, ...]:
    """Return the rows of the 1989 table as records."""
    return tuple(
        Conversion(
            key=key,
            c1=c1,
            c2=c2,
            sex=sex,
            ages=ages,
            population="children, youth and young adults",
            source="lohman1989",
            where="table of constants by age, as reprinted",
            status="read in a secondary text",
            checked=Checked.DOUBLE_ENTRY,
            lean_density=lean_density,
            audience="youth" if ages[0] < 16 else "general",
        )
        for key, c1, c2, sex, ages, lean_density in _LOHMAN
    )


def _heyward_rows(rows: tuple[_Row, ...], source: str) -> tuple[Conversion, ...]:
    """Return the rows of one edition of the table of groups as records."""
    return tuple(
        Conversion(
            key=key,
            c1=c1,
            c2=c2,
            sex=sex,
            ages=ages,
            population=population,
            source=source,
            where="table of groups (page not seen)",
            status="not verified in print",
            checked=Checked.FROM_MEMORY,
            lean_density=lean_density,
            ancestry=ancestry,
            audience=audience,
            note="Lean density calculated from c2 with fat at 0.9007; agrees with c1 / c2.",
        )
        for key, c1, c2, sex, ages, lean_density, ancestry, audience, population in rows
    )


CONVERSIONS: tuple[Conversion, ...] = (
    *_GENERAL,
    *_lohman_rows(),
    *_heyward_rows(_HEYWARD2004, "heyward_wagner2004"),
    *_heyward_rows(_HEYWARD1996, "heyward_stolarczyk1996"),
)
