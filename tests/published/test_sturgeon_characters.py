"""Sturgeons are told apart as the literature tells them apart. Each figure names where it is printed.

FAO: FAO species fact sheets. Freyhof 2025: Handbook of Freshwater Fishes of West Asia. FNAM: Svetovidov in Fishes of
the North-eastern Atlantic and the Mediterranean. FishBase: Froese & Pauly. JGD20: Jouladeh-Roudbar, Ghanavi & Doadrio
2020, Zool. Stud. 59:21. "Memory": from memory. "Practice": common practice, no source.
"""

import pytest

from registry.rules.identity.fit import alike, fits, told_apart
from registry.rules.identity.flags import flags
from registry.rules.identity.profile import Seen
from tests.support.sturgeons import catalogue, typical

SPECIES = catalogue()
EVERY = list(SPECIES.values())
# Dorsal, lateral and ventral scutes (widest range printed), and the source.
SCUTES = {
    "huso": ((9, 17), (28, 60), (7, 14), "FAO, Freyhof 2025, FNAM"),
    "gueldenstaedtii": ((5, 19), (21, 50), (6, 14), "FAO, Freyhof 2025, JGD20"),
    "stellatus": ((9, 16), (26, 43), (9, 14), "FAO, JGD20, FNAM"),
    "nudiventris": ((11, 17), (49, 74), (11, 17), "FAO, Freyhof 2025"),
    "ruthenus": ((11, 18), (56, 71), (10, 20), "FAO, FishBase"),
    "baerii": ((10, 20), (32, 62), (7, 20), "FAO, Freyhof 2025, FishBase"),
    "sturio": ((9, 16), (24, 39), (9, 14), "FNAM"),
    "oxyrinchus": ((7, 16), (24, 35), (8, 12), "memory"),
    "naccarii": ((10, 14), (30, 42), (8, 11), "a web page with counts (secondary)"),
}
# Largest total length (mm) and mass (g), and the source.
LARGEST = {
    "huso": (8000, 3_200_000, "FishBase, Freyhof 2025"),
    "gueldenstaedtii": (2360, 115_000, "FishBase"),
    "stellatus": (2200, 80_000, "FAO"),
    "nudiventris": (2200, 80_000, "Freyhof 2025"),
    "ruthenus": (1250, 16_000, "FAO, FishBase"),
    "baerii": (2000, 210_000, "FishBase, Freyhof 2025"),
    "sturio": (5000, 400_000, "FNAM: 350 cm, 280 kg; the larger is also printed"),
}


@pytest.mark.parametrize("key", SCUTES)
def test_the_catalogue_holds_the_published_ranges(key: str) -> None:
    dorsal, lateral, ventral, _source = SCUTES[key]
    for character, (low, high) in (("dorsal", dorsal), ("lateral", lateral), ("ventral", ventral)):
        span = SPECIES[key].spans[f"{character}_scutes"]
        assert (span.low, span.high) == (low, high)


@pytest.mark.parametrize("key", SPECIES)
def test_a_typical_fish_of_every_species_is_put_first(key: str) -> None:
    found = fits(typical(SPECIES[key]), EVERY)
    if key == "persicus":  # it overlaps the Russian sturgeon fully (JGD20): no character tells the two apart
        assert {fit.profile.key for fit in found[:2]} == {"persicus", "gueldenstaedtii"}
        assert found[0].score == found[1].score
    else:
        assert found[0].profile.key == key
    assert found[0].disagreeing == ()


def test_russian_and_persian_sturgeon_are_not_separable() -> None:
    best = alike(fits(typical(SPECIES["gueldenstaedtii"]), EVERY))
    assert {"persicus", "gueldenstaedtii"} <= {fit.profile.key for fit in best}


def test_the_sterlet_is_told_from_the_siberian_sturgeon_and_it_is_said_why() -> None:
    """Common practice, no source: white fin seams, over 55 small lateral scutes lighter than the body."""
    looks = {"fin_seams": "white", "scute_colour": "lighter", "barbel_form": "fringed"}
    found = fits(Seen({"lateral_scutes": (64, 65)}, looks), EVERY)
    sterlet, siberian = found[0], of(found, "baerii")

    assert sterlet.profile.key == "ruthenus"
    assert set(siberian.disagreeing) == {"fin_seams", "scute_colour", "barbel_form", "lateral_scutes"}
    assert set(told_apart(sterlet, siberian)) == {"fin_seams", "scute_colour", "barbel_form", "lateral_scutes"}


def test_the_siberian_sturgeon_is_told_from_the_sterlet_and_it_is_said_why() -> None:
    """Common practice, no source: fewer, body-coloured lateral scutes and no white seams."""
    seen = Seen({"lateral_scutes": (44, 45)}, {"fin_seams": "none", "scute_colour": "body", "barbel_form": "smooth"})
    found = fits(seen, EVERY)

    assert found[0].profile.key == "baerii"
    assert set(of(found, "ruthenus").disagreeing) == {"lateral_scutes", "fin_seams", "scute_colour", "barbel_form"}


def test_where_their_lateral_counts_overlap_the_count_alone_does_not_separate_the_two() -> None:
    """56 to 62 lateral scutes are in both ranges (FAO; FishBase): lip, barbels, seams and colour decide."""
    for count in range(56, 63):
        assert {"ruthenus", "baerii"} <= {fit.profile.key for fit in alike(fits(seen_count(count), EVERY))}


def test_a_snout_over_60_per_cent_of_the_head_is_the_stellate_sturgeons() -> None:
    """FAO; FNAM."""
    found = fits(Seen({"snout_percent": (66,)}), EVERY)
    assert found[0].profile.key == "stellatus"
    assert {"sturio", "baerii", "gueldenstaedtii"} <= {fit.profile.key for fit in found if fit.disagreeing}


@pytest.mark.parametrize(
    ("place", "expected"),
    [
        ("nearer_tip", {"gueldenstaedtii", "persicus", "naccarii"}),
        ("halfway", {"nudiventris", "sturio", "oxyrinchus"}),
        ("nearer_mouth", {"stellatus"}),
    ],
)
def test_the_place_of_the_barbels_speaks_for_those_that_have_them_there(place: str, expected: set[str]) -> None:
    """FAO; FNAM; Freyhof 2025. Sources agree on the place where they contradict each other on the length."""
    found = fits(Seen(looks={"barbel_place": place}), EVERY)
    assert {fit.profile.key for fit in found[: len(expected)]} == expected


def test_a_whole_lower_lip_and_a_joined_first_scute_are_the_ship_sturgeons() -> None:
    """FAO; Freyhof 2025: lower lip continuous; first dorsal scute the largest, joined to the head."""
    found = fits(Seen(looks={"lower_lip": "whole", "first_scute": "joined"}), EVERY)
    assert found[0].profile.key == "nudiventris"
    assert len(alike(found)) == 1
    assert set(of(found, "ruthenus").disagreeing) == {"lower_lip", "first_scute"}


def test_free_gill_membranes_and_a_crescent_mouth_are_the_belugas() -> None:
    """FAO: gill membranes joined, free of the isthmus."""
    found = fits(Seen(looks={"gill_membranes": "free", "mouth": "crescent"}), EVERY)
    assert [fit.profile.key for fit in alike(found)] == ["huso"]


def test_fan_shaped_rakers_are_the_siberian_sturgeons() -> None:
    """FAO."""
    assert fits(Seen(looks={"raker_form": "fan"}), EVERY)[0].profile.key == "baerii"


def test_contradicted_characters_are_kept_and_not_used() -> None:
    """Rakers of A. gueldenstaedtii and A. stellatus, skin of A. ruthenus: sources contradict each other."""
    for key, character in (("gueldenstaedtii", "gill_rakers"), ("stellatus", "gill_rakers"), ("ruthenus", "skin")):
        assert not SPECIES[key].knows(character)


@pytest.mark.parametrize("key", LARGEST)
def test_a_fish_longer_or_heavier_than_any_known_is_flagged_and_one_as_large_is_not(key: str) -> None:
    length, mass, _source = LARGEST[key]
    for more in (0, 1):
        seen = typical(SPECIES[key])
        large = Seen(seen.numbers, seen.looks, length_mm=length + more, mass_g=mass + more)
        found = fits(large, [SPECIES[key]])
        assert [flag.code for flag in flags(large, found)] == ["too_large", "too_large"][: 2 * more]


def test_a_single_nostril_opening_flags_aquaculture() -> None:
    """Sturgeon identification guide (law-enforcement brochure): a fish with only one is most likely farmed."""
    seen = Seen(looks={"nostrils": "one"})
    (flag,) = flags(seen, fits(seen, EVERY))
    assert flag.code == "farmed"
    assert "single nostril opening" in flag.words
    two = Seen(looks={"nostrils": "two"})
    assert flags(two, fits(two, EVERY)) == []


def seen_count(count: int) -> Seen:
    return Seen({"lateral_scutes": (count,)})


def of(found, key: str):
    return next(fit for fit in found if fit.profile.key == key)
