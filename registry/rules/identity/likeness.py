"""Whether a fish that comes without a number may be one that the register knows: what speaks for each, in words.

The weights only order the list that a person looks through; they are our own and no probability. Growth and the
steadiness of scute counts are common practice, no source: scutes do not change in number, counts err by one.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from registry.rules.days import Day, spoken
from registry.rules.tags import TagCode, slips

VERY_LIKELY, LIKELY, POSSIBLE = 60, 25, 8
SAME_CODE, BORE_CODE, NEAR_CODE = 100, 60, 40
LOST_TAG, LOST_TAG_HERE, MISSING, MISSING_HERE, RELEASED = 10, 20, 10, 16, 2
SAME_SCUTES, NEAR_SCUTES, OTHER_SCUTES, SCUTES_ERR_BY = 8, 3, -15, 1
SAME_SEX, SAME_STOCK, SAME_SPECIES, SAME_PLACE, SIZE_FITS, SIZE_DOES_NOT = 3, 2, 2, 3, 5, -20
# A fish measured again comes out a little shorter at times; one that shrank by more is another.
SHRINKS_BY, GROWS_BY_A_YEAR = Decimal("0.03"), Decimal("0.5")


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What is known of the fish in hand; `place` is where it was caught.

    Scute counts by character and side, as `lateral_scutes left`.
    """

    on: date
    code: TagCode | None = None
    species: str = ""
    stock: str = ""
    sex: str = "U"
    unit: str = ""
    place: str = ""
    total_length_mm: Decimal | None = None
    scutes: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Remembered:
    """What the register knows of one fish that may be it. `unit` is where it was last.

    `places` are those in the river where it was before, each with what it was there: ("released", "Alder Ford").
    """

    pk: int
    number: str
    species: str = ""
    stock: str = ""
    sex: str = "U"
    left: str = ""
    left_on: Day | None = None
    unit: str = ""
    tags: tuple[tuple[TagCode, date, date | None], ...] = ()
    measured: tuple[date, Decimal] | None = None
    scutes: Mapping[str, int] = field(default_factory=dict)
    places: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Candidate:
    """A fish that may be the one in hand: what speaks for it and against it, the strongest first."""

    pk: int
    number: str
    strength: int
    speaks_for: tuple[str, ...]
    against: tuple[str, ...] = ()
    left: str = ""

    @property
    def word(self) -> str:
        """Return how likely it is, in words."""
        if self.strength >= VERY_LIKELY:
            return "very likely"
        return "likely" if self.strength >= LIKELY else "possible"

    @property
    def in_words(self) -> str:
        """Return the evidence as one line, as it is kept when a person decides."""
        against = f"; against it: {', '.join(self.against)}" if self.against else ""
        return f"{self.word}: {', '.join(self.speaks_for)}{against}"


Point = tuple[int, str]


def likely_ones(seen: Seen, remembered: Iterable[Remembered], most: int) -> list[Candidate]:
    """Return those that may be the fish in hand, the strongest evidence first."""
    found = [candidate for one in remembered if (candidate := _judged(seen, one))]
    return sorted(found, key=lambda one: (-one.strength, one.number))[:most]


def _judged(seen: Seen, one: Remembered) -> Candidate | None:
    codes = _of_codes(seen, one)
    if not codes and _is_another(seen, one):
        return None
    absence = _of_absence(seen, one)
    if not codes and not absence:
        return None
    points = sorted([*codes, *absence, *_of_body(seen, one)], key=lambda point: -abs(point[0]))
    strength = sum(weight for weight, _ in points)
    if strength < POSSIBLE:
        return None
    speaks_for = tuple(words for weight, words in points if weight > 0)
    against = tuple(words for weight, words in points if weight < 0)
    return Candidate(one.pk, one.number, strength, speaks_for, against, one.left)


def _is_another(seen: Seen, one: Remembered) -> bool:
    """Return whether sex or species rule it out, without a code to say otherwise."""
    sexes = {seen.sex, one.sex}
    species = {seen.species, one.species} - {""}
    return sexes == {"F", "M"} or len(species) > 1


def _of_codes(seen: Seen, one: Remembered) -> list[Point]:
    if seen.code is None:
        return []
    near = set(slips(seen.code))
    found: list[Point] = []
    for code, since, until in one.tags:
        if code == seen.code and until is None:
            found.append((SAME_CODE, f"bears this code since {spoken(since)}"))
        elif code == seen.code:
            found.append((BORE_CODE, f"bore this code from {spoken(since)} until {spoken(until or since)}"))
        elif code.system == seen.code.system and code.code in near:
            found.append((NEAR_CODE, f"its code {code.code} differs by one figure"))
    return sorted(found, reverse=True)[:1]


def _of_absence(seen: Seen, one: Remembered) -> list[Point]:
    """Return why the register does not know where it is, or by what to know it."""
    here = bool(seen.unit) and seen.unit == one.unit
    where = f", last in {one.unit}" if one.unit else ""
    if one.left == "missing":
        return [(MISSING_HERE if here else MISSING, f"missing since {one.left_on or 'a day not known'}{where}")]
    if one.left == "released":
        return [(RELEASED, f"released {one.left_on or 'on a day not known'}")]
    if one.left or any(until is None for _, _, until in one.tags):
        return []
    ended = max((until for _, _, until in one.tags if until), default=None)
    said = f"without a tag since {spoken(ended)}" if ended else "never tagged"
    return [(LOST_TAG_HERE if here else LOST_TAG, f"{said}{where}")]


def _of_body(seen: Seen, one: Remembered) -> list[Point]:
    found: list[Point] = []
    if seen.sex in "FM" and seen.sex == one.sex:
        found.append((SAME_SEX, "the same sex"))
    if {seen.sex, one.sex} == {"F", "M"}:
        found.append((SIZE_DOES_NOT, "the other sex on record"))
    if seen.species and seen.species == one.species:
        found.append((SAME_SPECIES, "the same species"))
    elif seen.species and one.species:
        found.append((SIZE_DOES_NOT, "another species on record"))
    if seen.stock and seen.stock == one.stock:
        found.append((SAME_STOCK, "the same stock"))
    there = [f"{what} at {place} before" for what, place in one.places if _same_place(place, seen.place)]
    found += [(SAME_PLACE, words) for words in there[:1]]
    return found + _of_size(seen, one) + _of_scutes(seen, one)


def _same_place(one: str, other: str) -> bool:
    return bool(other.strip()) and one.strip().casefold() == other.strip().casefold()


def _of_size(seen: Seen, one: Remembered) -> list[Point]:
    if seen.total_length_mm is None or one.measured is None:
        return []
    day, length = one.measured
    years = Decimal(max(0, (seen.on - day).days)) / 365
    said = f"measured {length.normalize():f} mm on {spoken(day)}, now {seen.total_length_mm.normalize():f} mm"
    fits = length * (1 - SHRINKS_BY) <= seen.total_length_mm <= length * (1 + SHRINKS_BY + GROWS_BY_A_YEAR * years)
    return [(SIZE_FITS, said)] if fits else [(SIZE_DOES_NOT, f"{said}: a fish does not grow like that")]


def _of_scutes(seen: Seen, one: Remembered) -> list[Point]:
    found: list[Point] = []
    for name, count in seen.scutes.items():
        if name not in one.scutes:
            continue
        apart, said = abs(count - one.scutes[name]), name.replace("_", " ")
        if apart == 0:
            found.append((SAME_SCUTES, f"{count} {said}, as counted before"))
        elif apart <= SCUTES_ERR_BY:
            found.append((NEAR_SCUTES, f"{count} {said}, {one.scutes[name]} before"))
        else:
            found.append((OTHER_SCUTES, f"{count} {said}, {one.scutes[name]} before"))
    return found
