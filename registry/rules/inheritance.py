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
