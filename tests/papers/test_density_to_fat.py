"""Second typing of the conversions from body density to percent fat.

Siri (1961), Brozek and others (1963), Keys and Brozek (1953), Rathbun and Pace (1945), Schutte and
others (1984), Ortiz and others (1992), Wagner and Heyward (2001), Lohman (1989), and the tables of
Heyward and Wagner (2004) and Heyward and Stolarczyk (1996).

Seen: the constants of Siri, Brozek, Schutte and Lohman. All others were not seen in print and are
held by algebra only.
"""

from __future__ import annotations

import pytest

from foldspan.catalogue import conversion_by_key
from papers.double_entry import TypedConversion, double_entry_conversions

GENERAL = {
    "siri1961": TypedConversion(4.95, 4.5, "both", (18, 80)),
    "brozek1963": TypedConversion(4.57, 4.142, "both", (18, 80)),
    "keys_brozek1953": TypedConversion(4.201, 3.813, "both", (18, 80)),
    "rathbun_pace1945": TypedConversion(5.548, 5.044, "both", (18, 80)),
    "schutte1984": TypedConversion(4.374, 3.928, "male", (18, 32)),
    "ortiz1992": TypedConversion(4.85, 4.39, "female", (24, 79)),
    "wagner_heyward2001": TypedConversion(4.858, 4.394, "male", (19, 45)),
}

LOHMAN = {
    "lohman1989_female_7_9": TypedConversion(5.451, 5.052, "female", (7, 8.99)),
    "lohman1989_male_7_9": TypedConversion(5.4, 4.996, "male", (7, 8.99)),
    "lohman1989_female_9_11": TypedConversion(5.376, 4.968, "female", (9, 10.99)),
    "lohman1989_male_9_11": TypedConversion(5.327, 4.914, "male", (9, 10.99)),
    "lohman1989_female_11_13": TypedConversion(5.279, 4.861, "female", (11, 12.99)),
    "lohman1989_male_11_13": TypedConversion(5.255, 4.835, "male", (11, 12.99)),
    "lohman1989_female_13_15": TypedConversion(5.141, 4.708, "female", (13, 14.99)),
    "lohman1989_male_13_15": TypedConversion(5.098, 4.66, "male", (13, 14.99)),
    "lohman1989_female_15_17": TypedConversion(5.098, 4.66, "female", (15, 16.99)),
    "lohman1989_male_15_17": TypedConversion(5.055, 4.612, "male", (15, 16.99)),
    "lohman1989_female_17_20": TypedConversion(5.076, 4.636, "female", (17, 19.99)),
    "lohman1989_male_17_20": TypedConversion(5.002, 4.554, "male", (17, 19.99)),
    "lohman1989_female_20_25": TypedConversion(5.055, 4.612, "female", (20, 25)),
    "lohman1989_male_20_25": TypedConversion(4.971, 4.519, "male", (20, 25)),
}

ANCESTRY_2004 = {
    "heyward2004_african_american_female_9_17": TypedConversion(5.24, 4.82, "female", (9, 17)),
    "heyward2004_african_american_male_19_45": TypedConversion(4.86, 4.39, "male", (19, 45)),
    "heyward2004_african_american_female_24_79": TypedConversion(4.86, 4.39, "female", (24, 79)),
    "heyward2004_american_indian_male": TypedConversion(4.97, 4.52, "male", (18, 62)),
    "heyward2004_american_indian_female": TypedConversion(4.81, 4.34, "female", (18, 60)),
    "heyward2004_japanese_male_18_48": TypedConversion(4.97, 4.52, "male", (18, 48)),
    "heyward2004_japanese_female_18_48": TypedConversion(4.76, 4.28, "female", (18, 48)),
    "heyward2004_japanese_male_61_78": TypedConversion(4.87, 4.41, "male", (61, 78)),
    "heyward2004_japanese_female_61_78": TypedConversion(4.95, 4.5, "female", (61, 78)),
    "heyward2004_singapore_male": TypedConversion(4.94, 4.48, "male", (18, 75)),
    "heyward2004_singapore_female": TypedConversion(4.84, 4.37, "female", (18, 75)),
    "heyward2004_white_both_8_12": TypedConversion(5.27, 4.85, "both", (8, 12)),
    "heyward2004_white_male_13_17": TypedConversion(5.12, 4.69, "male", (13, 17)),
    "heyward2004_white_female_13_17": TypedConversion(5.19, 4.76, "female", (13, 17)),
    "heyward2004_white_male_18_59": TypedConversion(4.95, 4.5, "male", (18, 59)),
    "heyward2004_white_female_18_59": TypedConversion(4.96, 4.51, "female", (18, 59)),
    "heyward2004_white_male_60_90": TypedConversion(4.97, 4.52, "male", (60, 90)),
    "heyward2004_white_female_60_90": TypedConversion(5.02, 4.57, "female", (60, 90)),
    "heyward2004_hispanic_female_20_40": TypedConversion(4.87, 4.41, "female", (20, 40)),
}

GROUPS = {
    "heyward2004_resistance_trained_male": TypedConversion(5.21, 4.78, "male", (20, 28)),
    "heyward2004_resistance_trained_female": TypedConversion(4.97, 4.52, "female", (29, 41)),
    "heyward2004_endurance_male": TypedConversion(5.03, 4.59, "male", (19, 23)),
    "heyward2004_endurance_female": TypedConversion(4.95, 4.5, "female", (17, 25)),
    "heyward2004_all_sports_male": TypedConversion(5.12, 4.68, "male", (18, 22)),
    "heyward2004_all_sports_female": TypedConversion(4.97, 4.52, "female", (18, 22)),
    "heyward2004_anorexia_female": TypedConversion(4.96, 4.51, "female", (15, 44)),
    "heyward2004_obesity_female": TypedConversion(4.95, 4.5, "female", (17, 62)),
    "heyward2004_cirrhosis_A": TypedConversion(5.33, 4.91, "both", (18, 75)),
    "heyward2004_cirrhosis_B": TypedConversion(5.48, 5.08, "both", (18, 75)),
    "heyward2004_cirrhosis_C": TypedConversion(5.69, 5.32, "both", (18, 75)),
    "heyward2004_spinal_cord_male": TypedConversion(4.67, 4.18, "male", (18, 73)),
    "heyward2004_spinal_cord_female": TypedConversion(4.7, 4.22, "female", (18, 73)),
    "heyward1996_white_female_20_80": TypedConversion(5.01, 4.57, "female", (20, 80)),
    "heyward1996_anorexia_female": TypedConversion(5.26, 4.83, "female", (15, 30)),
    "heyward1996_obesity_female": TypedConversion(5.0, 4.56, "female", (17, 62)),
}

TYPED = GENERAL | LOHMAN | ANCESTRY_2004 | GROUPS
test_second_typing = double_entry_conversions(TYPED)

# Four lines are not anchored at a fat density of 0.9007: their own reference body differs.
OTHER_FAT_DENSITY = {"brozek1963", "keys_brozek1953", "rathbun_pace1945", "schutte1984"}

LOHMAN_LEAN_DENSITY = {
    "lohman1989_female_7_9": 1.079,
    "lohman1989_male_7_9": 1.081,
    "lohman1989_female_9_11": 1.082,
    "lohman1989_male_9_11": 1.084,
    "lohman1989_female_11_13": 1.086,
    "lohman1989_male_11_13": 1.087,
    "lohman1989_female_13_15": 1.092,
    "lohman1989_male_13_15": 1.094,
    "lohman1989_female_15_17": 1.094,
    "lohman1989_male_15_17": 1.096,
    "lohman1989_female_17_20": 1.095,
    "lohman1989_male_17_20": 1.0985,
    "lohman1989_female_20_25": 1.096,
    "lohman1989_male_20_25": 1.1,
}


def fat_percent(key: str, density: float) -> float:
    """Convert a density with the constants on the card."""
    card = conversion_by_key(key)
    return 100 * (card.c1 / density - card.c2)


def lean_density(key: str) -> float:
    """Give the density at which the card's line reaches zero fat."""
    card = conversion_by_key(key)
    return card.c1 / card.c2


def test_all_conversions_are_typed() -> None:
    """There are 56 conversions in all."""
    assert len(TYPED) == 56


@pytest.mark.parametrize("key", sorted(set(TYPED) - OTHER_FAT_DENSITY))
def test_lean_density_fits_fat_of_0_9007(key: str) -> None:
    """Two-compartment algebra: c1 / c2 equals 0.9007 (1 + 1 / c2) within 0.002."""
    from_fat = 0.9007 * (1 + 1 / conversion_by_key(key).c2)
    assert lean_density(key) == pytest.approx(from_fat, abs=0.002)


@pytest.mark.parametrize("key", sorted(OTHER_FAT_DENSITY))
def test_other_reference_bodies_have_adult_lean_density(key: str) -> None:
    """The four lines with another fat density still have a lean density of an adult."""
    assert 1.099 < lean_density(key) < 1.114


def test_siri_is_the_body_of_1_1_and_0_9() -> None:
    """Siri 1961: lean density 1.100 and fat density 0.900, both exactly."""
    assert lean_density("siri1961") == pytest.approx(1.1, abs=1e-12)
    assert fat_percent("siri1961", 0.9) == pytest.approx(100, abs=1e-9)


def test_siri_at_density_1_05() -> None:
    """Siri 1961: 495 / 1.05 - 450 is printed as 21.43."""
    assert fat_percent("siri1961", 1.05) == pytest.approx(21.43, abs=0.005)


def test_brozek_reference_man() -> None:
    """Brozek 1963: the reference man of density 1.064 has 15.3 percent fat."""
    assert fat_percent("brozek1963", 1.064) == pytest.approx(15.3, abs=0.05)


def test_siri_and_brozek_cross_at_1_0615() -> None:
    """Both lines give 16.3 percent at 38 / 35.8; Siri is above below it and below above it."""
    crossing = 38 / 35.8
    assert crossing == pytest.approx(1.0615, abs=0.00005)
    assert fat_percent("siri1961", crossing) == pytest.approx(16.3, abs=0.05)
    assert fat_percent("brozek1963", crossing) == pytest.approx(16.3, abs=0.05)
    assert fat_percent("siri1961", 1.02) > fat_percent("brozek1963", 1.02)
    assert fat_percent("siri1961", 1.09) < fat_percent("brozek1963", 1.09)


def test_schutte_lean_density() -> None:
    """Schutte 1984, abstract: lean density 1.113.

    The two constants are rounded to three decimals, which moves their ratio by 0.0003; so the
    tolerance is a little more than half of the last printed digit.
    """
    assert lean_density("schutte1984") == pytest.approx(1.113, abs=0.0006)


@pytest.mark.parametrize("key", sorted(LOHMAN_LEAN_DENSITY))
def test_lohman_lean_density(key: str) -> None:
    """Lohman's table by sex and age prints the lean density beside each line; within 0.0006."""
    assert lean_density(key) == pytest.approx(LOHMAN_LEAN_DENSITY[key], abs=0.0006)


@pytest.mark.parametrize(
    "key, density, printed, tolerance",
    [
        ("siri1961", 1.0557, 18.88, 0.005),
        ("brozek1963", 1.07461, 11.1, 0.05),
        ("brozek1963", 1.0507, 20.7, 0.05),
    ],
)
def test_conversion_step_of_teaching_examples(
    key: str, density: float, printed: float, tolerance: float
) -> None:
    """Three teaching examples whose densities are wrong, but whose last step is right."""
    assert fat_percent(key, density) == pytest.approx(printed, abs=tolerance)
