"""What the register knows, as plain values: what rules are asked with. Filled by registry.queries.known.

Each accepted entry is noted here, so that the next row of a sheet is judged as if it were already in the register.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from registry.rules.crossing.limits import ALL_SWITCHES_ON, LimitsInForce
from registry.rules.days import Day
from registry.rules.intake.held import Held
from registry.rules.papers.acts import Act, KnownPermit
from registry.rules.tags import TagCode

BATCH = "batch"


@dataclass(frozen=True, slots=True)
class Pair:
    """One possible pair of parents, by register number; None is an unknown one."""

    dam: str | None
    sire: str | None
    probability: Decimal = Decimal(1)


@dataclass(slots=True)
class KnownFish(Held):
    """What is known of one fish; `sets` of chromosomes, where they were measured."""

    number: str
    pk: int | None = None
    species: str = ""
    doubtful: bool = False
    hybrid: bool = False
    stock: str = ""
    sex: str = "U"
    origin: str = "unknown"
    caught: Day | None = None
    hatched: Day | None = None
    left: str = ""
    left_on: Day | None = None
    family: str = ""
    pairs: tuple[Pair, ...] = ()
    tissue: bool = False
    sets: int | None = None

    @property
    def came(self) -> Day | None:
        """Return the first day on which it can have been in hand."""
        return self.hatched or self.caught


@dataclass(slots=True)
class KnownTag:
    """One code on one fish from a day until a day."""

    code: TagCode
    fish: str
    attached_on: date
    ended_on: date | None = None
    attached_known: bool = True
    pk: int | None = None
    end_reason: str = ""

    def on_day(self, day: date) -> bool:
        """Return whether the tag was on the fish that day, as far as is known."""
        begun = self.attached_on <= day or not self.attached_known
        return begun and (self.ended_on is None or day < self.ended_on)


@dataclass(slots=True)
class KnownFamily:
    """A family and its parents."""

    number: str
    pk: int | None = None
    stock: str = ""
    pairs: tuple[Pair, ...] = ()
    has_cross: bool = False
    spawned_on: date | None = None


@dataclass(frozen=True, slots=True)
class Movement:
    """One ledger transfer seen from one account: `change` fish came in (or went out, if below zero)."""

    moved_on: date
    order: int
    event: str
    change: int
    other: str = ""
    counted: int | None = None


@dataclass(slots=True)
class KnownBatch(Held):
    """A batch and every movement in and out of it, in order of happening."""

    number: str
    pk: int | None = None
    stock: str = ""
    opened_on: date | None = None
    unit: str = ""
    movements: list[Movement] = field(default_factory=list)

    def balance(self, day: date | None = None) -> int:
        """Return the count at the end of `day` (default: now)."""
        return sum(m.change for m in self.movements if day is None or m.moved_on <= day)


@dataclass(frozen=True, slots=True)
class KnownPlan:
    """A signed plan that no amendment superseded; its pairs (dam, sire) with their kinship then, and its limits."""

    number: str
    signed_on: date
    pairs: Mapping[tuple[str, str], Decimal] = field(default_factory=dict)
    limits: LimitsInForce = ALL_SWITCHES_ON


@dataclass(slots=True)
class Known:
    """Everything that a set of entries needs to know."""

    fish: dict[str, KnownFish] = field(default_factory=dict)
    tags: dict[TagCode, list[KnownTag]] = field(default_factory=dict)
    tags_of_fish: dict[str, list[KnownTag]] = field(default_factory=dict)
    families: dict[str, KnownFamily] = field(default_factory=dict)
    batches: dict[str, KnownBatch] = field(default_factory=dict)
    frozen_milt_of: set[str] = field(default_factory=set)
    species: dict[str, "KnownSpecies"] = field(default_factory=dict)
    stocks: dict[str, str] = field(default_factory=dict)
    ploidy_of: dict[str, int] = field(default_factory=dict)  # by stock
    units: set[str] = field(default_factory=set)
    quarantine_units: set[str] = field(default_factory=set)
    water_of: dict[str, str] = field(default_factory=dict)
    samples: dict[str, str] = field(default_factory=dict)
    policy: dict[str, Decimal] = field(default_factory=dict)
    plans: dict[tuple[str, int], list[KnownPlan]] = field(default_factory=dict)  # by stock and season
    crossed: dict[tuple[str, str], set[int]] = field(default_factory=dict)  # years, by dam and sire
    permits: dict[str, KnownPermit] = field(default_factory=dict)
    keeps_permits: bool = False
    may_overrule: bool = False
    today: date = date.max

    def find_fish(self, number: str | None) -> KnownFish | None:
        """Return the fish of that number, whatever the case it was typed in."""
        return self.fish.get(fold(number)) if number else None

    def find_family(self, number: str) -> KnownFamily | None:
        """Return the family of that number."""
        return self.families.get(fold(number))

    def find_batch(self, number: str) -> KnownBatch | None:
        """Return the batch of that number."""
        return self.batches.get(fold(number))

    def find_permit(self, number: str) -> KnownPermit | None:
        """Return the permit of that number, None for one that the register does not hold."""
        return self.permits.get(fold(number))

    def permit_named(self, number: str) -> str:
        """Return a permit's number as the register writes it, or as it was given where the register has none."""
        permit = self.find_permit(number)
        return permit.number if permit else number

    def note_acts(self, number: str, acts: Iterable[Act]) -> None:
        """Count acts against the permit that they name."""
        permit = self.find_permit(number)
        if permit:
            permit.acts += acts

    def add_fish(self, fish: KnownFish) -> None:
        """Note a fish."""
        self.fish[fold(fish.number)] = fish

    def add_family(self, family: KnownFamily) -> None:
        """Note a family."""
        self.families[fold(family.number)] = family

    def add_batch(self, batch: KnownBatch) -> None:
        """Note a batch."""
        self.batches[fold(batch.number)] = batch

    def add_tag(self, tag: KnownTag) -> None:
        """Note a tag."""
        self.tags.setdefault(tag.code, []).append(tag)
        self.tags_of_fish.setdefault(fold(tag.fish), []).append(tag)

    def tags_on(self, fish: str) -> list[KnownTag]:
        """Return all tags that the fish ever had."""
        return self.tags_of_fish.get(fold(fish), [])


@dataclass(frozen=True, slots=True)
class KnownSpecies:
    """Figures of a species that rules use; ages in years, length in mm, mass in g."""

    key: str
    name: str
    max_length_mm: int
    max_mass_g: int
    female_maturity_years: int | None = None
    male_maturity_years: int | None = None
    ploidy: int | None = None


def fold(number: str) -> str:
    """Return a number as it is compared: case apart."""
    return number.casefold()


def sires_of(pairs: Iterable[Pair]) -> list[str]:
    """Return the named sires, most likely first."""
    return list(dict.fromkeys(p.sire for p in sorted(pairs, key=lambda p: -p.probability) if p.sire))


def dams_of(pairs: Iterable[Pair]) -> list[str]:
    """Return the named dams, most likely first."""
    return list(dict.fromkeys(p.dam for p in sorted(pairs, key=lambda p: -p.probability) if p.dam))
