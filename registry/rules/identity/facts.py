"""What may be written into the catalogue of species: values in order, shares that sum to 1, a source and a reason."""

import re
from dataclasses import dataclass, replace
from decimal import Decimal

from registry.errors import Objection
from registry.rules.identity.characters import BY_KEY
from registry.rules.identity.figures import FIGURES
from registry.rules.texts import objections_to_texts

LONG = {"source": 1000, "note": 1000}
LOOKS_SUM = Decimal(1)
PLOIDIES, CLASSES = (2, 4, 6, 8), ("low", "middle", "high")
MOST_STORED = 2**31
LARGEST = Decimal(1_000_000_000)


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureChanged:
    """A figure of a species, and why it changes. Without any value the figure is taken back."""

    species: str
    figure: str
    low: Decimal | None = None
    usual_low: Decimal | None = None
    usual_high: Decimal | None = None
    high: Decimal | None = None
    scored: bool = True
    source: str = ""
    note: str = ""
    reason: str

    @property
    def values(self) -> tuple[Decimal | None, ...]:
        """Return the range from its lowest to its highest end."""
        return (self.low, self.usual_low, self.usual_high, self.high)


@dataclass(frozen=True, slots=True)
class LookShare:
    """A look, and in what share of the species' fish it is found."""

    look: str
    share: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class LooksChanged:
    """How a character looks in a species, and why that changes. Without any share it is taken back."""

    species: str
    character: str
    shares: tuple[LookShare, ...] = ()
    scored: bool = True
    source: str = ""
    note: str = ""
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NameAdded:
    """A name of a species: of an authority (`accepted`), a synonym, a vernacular or a code."""

    species: str
    kind: str
    name: str
    authority: str = ""
    year: int | None = None
    source: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StandingSet:
    """Whether a species belongs to a river."""

    species: str
    river: str
    standing: str
    source: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SpeciesOpened:
    """A species new to the catalogue. Gene copies cannot change later: all kinship rests on them."""

    scientific_name: str
    common_name: str
    code: str = ""
    ploidy: int
    chromosome_class: str
    max_length_mm: int
    max_mass_g: int
    source: str
    reason: str

    @property
    def key(self) -> str:
        """Return the word by which the register knows it: the last of its scientific name."""
        return (self.scientific_name.split() or [""])[-1].lower()


Change = FigureChanged | LooksChanged | NameAdded | StandingSet | SpeciesOpened


def objections_to_figure(entry: FigureChanged) -> list[Objection]:
    """Return what is in the way of this figure."""
    empty = all(value is None for value in entry.values)
    found = _objections_to_change(entry, needs_source=not empty)
    if entry.figure not in FIGURES:
        found.append(_unknown("figure", entry.figure))
    given = [value for value in entry.values if value is not None]
    if given != sorted(given):
        listed = ", ".join(f"{value.normalize():f}" for value in given)
        text = f"{listed} is not in order: lowest, usual from, usual to, highest. Correct the numbers."
        found.append(Objection("not_in_order", "low", text))
    if any(not 0 <= value < LARGEST for value in given):
        found.append(
            Objection("bad_value", "low", "A figure of a species is nought or more, and below a thousand million.")
        )
    return found


def objections_to_looks(entry: LooksChanged) -> list[Objection]:
    """Return what is in the way of these looks."""
    found = _objections_to_change(entry, needs_source=bool(entry.shares))
    character = BY_KEY.get(entry.character)
    if character is None or not character.states:
        return [*found, _unknown("character", entry.character)]
    found += [_unknown("shares", s.look) for s in entry.shares if s.look not in {one.key for one in character.states}]
    if any(share.share <= 0 for share in entry.shares):
        found.append(Objection("bad_share", "shares", "A share lies above 0. Leave looks that are not found empty."))
    total = sum((share.share for share in entry.shares), Decimal(0))
    if entry.shares and total != LOOKS_SUM:
        text = f"The shares sum to {total.normalize():f}, not to 1. Correct them."
        found.append(Objection("bad_sum", "shares", text, str(total)))
    return found


def objections_to_name(entry: NameAdded, taken: str = "") -> list[Objection]:
    """Return what is in the way of this name; `taken` is the species that bears it already."""
    found = _objections_to_change(entry, needs_source=True, lengths={"name": 80, "authority": 80})
    if not entry.name:
        found.append(Objection("no_name", "name", "The name is missing. Fill it in."))
    if entry.kind == "accepted" and not entry.authority:
        found.append(Objection("no_authority", "authority", "Say which authority accepts this name."))
    if entry.year is not None and not 1758 <= entry.year <= 2200:
        found.append(
            Objection("bad_year", "year", f"{entry.year} is no year of a list of animal names (from 1758 on).")
        )
    if taken:
        found.append(Objection("name_taken", "name", f"“{entry.name}” is already a name of {taken}.", entry.name))
    return found


def objections_to_standing(entry: StandingSet, standings: tuple[str, ...]) -> list[Objection]:
    """Return what is in the way of saying whether a species belongs to a river."""
    found = _objections_to_change(entry, needs_source=True, lengths={"river": 80})
    if not entry.river:
        found.append(Objection("no_river", "river", "Name the river."))
    if entry.standing not in standings:
        found.append(_unknown("standing", entry.standing))
    return found


def objections_to_species(entry: SpeciesOpened, taken: str = "") -> list[Objection]:
    """Return what is in the way of a new species; `taken` is the one that bears its name or word already."""
    found = _objections_to_change(entry, needs_source=True, lengths={"scientific_name": 80, "common_name": 80})
    if not re.fullmatch(r"[A-Z][a-z]+ [a-z]+(-[a-z]+)?", entry.scientific_name):
        text = f"“{entry.scientific_name}” is not the name of a species: genus and species, as in Acipenser ruthenus."
        found.append(Objection("bad_name", "scientific_name", text, entry.scientific_name))
    if entry.ploidy not in PLOIDIES:
        text = f"{entry.ploidy} gene copies are not among {', '.join(map(str, PLOIDIES))}."
        found.append(Objection("bad_ploidy", "ploidy", text, str(entry.ploidy)))
    if entry.chromosome_class not in CLASSES:
        found.append(_unknown("chromosome_class", entry.chromosome_class))
    for field in ("max_length_mm", "max_mass_g"):
        if not 0 < getattr(entry, field) < MOST_STORED:
            text = f"{getattr(entry, field)} is no size of a fish. Correct it."
            found.append(Objection("bad_value", field, text))
    if taken:
        text = f"The catalogue has {taken} already. Change its names or figures there."
        found.append(Objection("name_taken", "scientific_name", text))
    return found


def _objections_to_change(
    entry: Change, *, needs_source: bool, lengths: dict[str, int] | None = None
) -> list[Objection]:
    found = objections_to_texts(replace(entry), LONG | (lengths or {}))
    if not entry.reason.strip():
        found.append(Objection("no_reason", "reason", "Say why: the reason stands in the journal beside the change."))
    if needs_source and not entry.source.strip():
        text = "Every value needs its source: where it is printed, or who measured it."
        found.append(Objection("no_source", "source", text))
    return found


def _unknown(field: str, value: str) -> Objection:
    return Objection("unknown", field, f"The catalogue knows no “{value}”. Choose from the list.", value)
