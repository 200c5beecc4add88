"""What may be entered of a fish's ploidy, and what it means that it is odd, or not that of the species."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from registry.errors import Objection
from registry.rules.intake.in_hand import objections_to_being_in_hand
from registry.rules.known import Known
from registry.rules.texts import objections_to_texts

METHODS = ("flow cytometry", "nucleus size", "coulter counting", "karyotype", "marker dosage")
# Beyond what was ever found in a sturgeon; common practice, no source.
MOST_SETS, MOST_PG = 16, Decimal(100)


@dataclass(frozen=True, slots=True, kw_only=True)
class PloidyMeasured:
    """How many chromosome sets a fish was found to have. `dna_pg`: relative DNA content; `by`: laboratory, report."""

    fish: str
    measured_on: date
    sets: int
    method: str
    by: str
    dna_pg: Decimal | None = None
    notes: str = ""


def objections_to_ploidy(entry: PloidyMeasured, known: Known) -> list[Objection]:
    """Return what is in the way of this measurement, and as a warning what it means for the fish."""
    found = objections_to_texts(entry)
    # A laboratory measures a sample when the fish may long be gone.
    in_hand = objections_to_being_in_hand(entry.fish, "measured_on", entry.measured_on, known)
    found += [one for one in in_hand if one.code != "after_end"]
    if entry.method not in METHODS:
        text = f"“{entry.method}” is not one of {', '.join(METHODS)}. Choose one."
        found.append(Objection("bad_method", "method", text, entry.method))
    if not 1 <= entry.sets <= MOST_SETS:
        text = f"{entry.sets} chromosome sets cannot be. Write a number from 1 to {MOST_SETS}, as the report has it."
        found.append(Objection("bad_value", "sets", text, str(entry.sets)))
    if entry.dna_pg is not None and not 0 < entry.dna_pg <= MOST_PG:
        text = f"{entry.dna_pg} pg is no DNA content. Write a figure over 0 up to {MOST_PG}, or leave it empty."
        found.append(Objection("bad_value", "dna_pg", text, str(entry.dna_pg)))
    if not entry.by.strip():
        text = "Name the laboratory or the role of who measured, and the number of the report."
        found.append(Objection("missing", "by", text))
    return found or _meaning(entry, known)


def told_odd(number: str, sets: int) -> str:
    """Return that a fish of odd ploidy is not bred from."""
    return f"{number} was found to have {sets} chromosome sets: odd ploidy never crosses."


def told_unlike(number: str, sets: int | None, usual: int | None) -> str:
    """Return that a fish has not as many sets as its species; "" where it has, or where either is not known."""
    if not sets or not usual or sets == usual:
        return ""
    return f"{number} was found to have {sets} chromosome sets; its species has {usual}, in function."


def _meaning(entry: PloidyMeasured, known: Known) -> list[Objection]:
    fish = known.find_fish(entry.fish)
    species = known.species.get(fish.species) if fish else None
    usual = species.ploidy if species else None
    if fish is None or not told_unlike(fish.number, entry.sets, usual):
        return []
    what = "It will be left out of every plan." if entry.sets % 2 else "Its young would differ from both parents."
    text = (
        f"{entry.sets} chromosome sets, where the species has {usual} in function. {what} Make sure that the report "
        "counts as the register does, and not by the evolutionary name, which has twice as many."
    )
    return [Objection("unlike_ploidy", "sets", text, str(entry.sets), warning=True)]
