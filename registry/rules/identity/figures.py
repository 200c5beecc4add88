"""Figures of a species beside its characters: sizes, ages, intervals, temperatures, fecundity."""

from dataclasses import dataclass

from registry.rules.identity.characters import CHARACTERS


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure of the catalogue with its unit."""

    key: str
    name: str
    unit: str = ""


SIZES_AND_LIFE: tuple[Figure, ...] = (
    Figure("max_length_mm", "Largest total length", "mm"),
    Figure("max_mass_g", "Largest mass", "g"),
    Figure("max_age_years", "Oldest", "years"),
    Figure("female_maturity_years", "Females first mature", "years"),
    Figure("male_maturity_years", "Males first mature", "years"),
    Figure("female_interval_years", "Females spawn again after", "years"),
    Figure("male_interval_years", "Males spawn again after", "years"),
    Figure("interval_years", "Spawn again after, sex not given", "years"),
    Figure("generation_years", "Generation", "years"),
    Figure("spawning_c", "Water at spawning", "°C"),
    Figure("eggs_per_kg", "Eggs per kg of female"),
    Figure("eggs_per_g", "Ovulated eggs per g"),
)
COUNTED: tuple[Figure, ...] = tuple(Figure(one.key, one.name, one.unit) for one in CHARACTERS if not one.states)
FIGURES: dict[str, Figure] = {one.key: one for one in (*COUNTED, *SIZES_AND_LIFE)}
