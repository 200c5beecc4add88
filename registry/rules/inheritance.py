"""How a stock may be taken to inherit: gene copies, and double reduction."""

from dataclasses import dataclass
from decimal import Decimal

from registry.errors import Objection
from registry.rules.texts import objections_to_texts

GENE_COPIES = (2, 4, 6, 8)
# Complete equational segregation, the most that a model of meiosis gives: one in six (Haldane 1930, from memory).
MOST_DOUBLE_REDUCTION = Decimal("0.1667")


@dataclass(frozen=True, slots=True, kw_only=True)
class InheritanceSet:
    """How many gene copies a stock is taken to have, and how often double reduction happens, from now on."""

    stock: str
    ploidy: int
    reason: str
    double_reduction: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class KinshipGiven:
    """Kinship of two founders by register number, or of one with itself."""

    one: str
    other: str
    kinship: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundersRelated:
    """How founders of a stock are related, from now on; without pairs they are unrelated again."""

    stock: str
    source: str
    pairs: tuple[KinshipGiven, ...] = ()


def objections_to_founders(entry: FoundersRelated, bred: dict[str, bool]) -> list[Objection]:
    """Return why founders cannot be related like this. `bred`: whether parents of each fish are on record."""
    found = objections_to_texts(entry, {"source": 1000})
    if not entry.source.strip():
        found.append(
            Objection("no_source", "source", "Say who estimated it, by which markers, or why it is taken back.")
        )
    given: dict[tuple[str, str], Decimal] = {}
    for pair in entry.pairs:
        told = f"{pair.one}, {pair.other}"
        for name in dict.fromkeys((pair.one, pair.other)):
            if name not in bred:
                found.append(Objection("bad_fish", "pairs", f"{told}: no fish has the number {name}.", name))
            elif bred[name]:
                words = f"{told}: the parents of {name} are on record, so its kinship follows. Name founders only."
                found.append(Objection("no_founder", "pairs", words, name))
        if not 0 <= pair.kinship <= 1:
            words = f"{told}: kinship {_plain(pair.kinship)} is impossible. It lies from 0 to 1."
            found.append(Objection("bad_kinship", "pairs", words, _plain(pair.kinship)))
        one, other = sorted((pair.one, pair.other))
        if given.setdefault((one, other), pair.kinship) != pair.kinship:
            earlier = _plain(given[one, other])
            words = f"{told}: kinship {_plain(pair.kinship)} here, {earlier} in an earlier line. Keep one."
            found.append(Objection("two_kinships", "pairs", words, _plain(pair.kinship)))
    return found


def _plain(value: Decimal) -> str:
    return f"{value.normalize():f}"


def objections_to_inheritance(entry: InheritanceSet) -> list[Objection]:
    """Return why a stock cannot be set to inherit like this."""
    found = objections_to_texts(entry, {"reason": 1000})
    if not entry.reason.strip():
        found.append(
            Objection(
                "no_reason", "reason", "Every kinship of the stock follows from this. Say who decided it and why."
            )
        )
    if entry.ploidy not in GENE_COPIES:
        told = ", ".join(str(copies) for copies in GENE_COPIES[:-1])
        words = f"{entry.ploidy} gene copies cannot be halved between the parents. Use {told} or {GENE_COPIES[-1]}."
        found.append(Objection("bad_ploidy", "ploidy", words, str(entry.ploidy)))
    return [*found, *_objections_to_double_reduction(entry)]


def _objections_to_double_reduction(entry: InheritanceSet) -> list[Objection]:
    share, given = entry.double_reduction, f"{entry.double_reduction:f}"
    words = ""
    if not 0 <= share <= MOST_DOUBLE_REDUCTION:
        words = f"Double reduction {given} is impossible: it lies from 0 to one in six ({MOST_DOUBLE_REDUCTION})."
    elif share and entry.ploidy == 2:
        words = "With two gene copies there is no double reduction. Leave it 0, or set more gene copies than 2."
    elif share != round(share, 4):
        words = f"Double reduction {given} has more than four decimals. Write {round(share, 4):f}."
    return [Objection("bad_double_reduction", "double_reduction", words, given)] if words else []
