"""Why a fish is no candidate, and why a pair may not be planned."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from registry.errors import Objection
from registry.rules.intake.holds import objections_to_use
from registry.rules.known import Known, KnownFish
from registry.rules.parents import objections_to_sex
from registry.rules.texts import objections_to_texts

# Half sibs computed in binary fractions may come out a hair under the limit; they still reach it.
ROUNDING = Decimal("1e-12")


@dataclass(frozen=True, slots=True, kw_only=True)
class PairWanted:
    """One dam × one sire wanted in a plan, with the kinship computed when it was put in."""

    dam: str
    sire: str
    kinship: Decimal = Decimal(0)
    comment: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanDraft:
    """A new draft plan for a stock and season."""

    number: str
    stock: str
    season: int
    pairs: tuple[PairWanted, ...] = ()
    notes: str = ""


def objections_to_candidate(fish: KnownFish, role: str, stock: str, day: date) -> list[Objection]:
    """Return why a fish cannot be a dam or sire of this stock that day; who knows the lots judges frozen milt."""
    found = list(objections_to_sex(fish, role))
    if fish.sex in ("U", "I"):
        found.append(Objection("unsexed", role, f"{fish.number}: sex not known. Check it first.", fish.number))
    if fish.hybrid:
        found.append(Objection("hybrid", role, f"{fish.number} is a hybrid. Hybrids never enter a cross.", fish.number))
    if fish.doubtful or not fish.species:
        found.append(
            Objection(
                "doubtful_species", role, f"{fish.number}: species in doubt. Have it determined first.", fish.number
            )
        )
    if stock and fish.stock != stock:
        found.append(
            Objection(
                "wrong_stock",
                role,
                f"{fish.number} is of stock {fish.stock or '(none)'}, not {stock}. Stocks are not mixed.",
                fish.number,
            )
        )
    return found + objections_to_use(fish, role, day)


def objections_to_pair(wanted: PairWanted, stock: str, known: Known) -> list[Objection]:
    """Return why this pair may not be planned."""
    found = objections_to_texts(wanted)
    for role in ("dam", "sire"):
        number = getattr(wanted, role)
        fish = known.find_fish(number)
        if fish is None:
            found.append(Objection("unknown_fish", role, f"There is no fish {number} in the register.", number))
            continue
        found += objections_to_candidate(fish, role, stock, known.today)
        if fish.left and not (role == "sire" and number.casefold() in known.frozen_milt_of):
            found.append(
                Objection(
                    "dead_parent", role, f"{fish.number} {fish.left} {fish.left_on or ''}.".replace(" .", "."), number
                )
            )
    limit = known.policy.get("max_pair_kinship")
    if limit is not None and wanted.kinship >= limit - ROUNDING:
        found.append(
            Objection(
                "too_close",
                "sire",
                f"{wanted.dam} × {wanted.sire}: kinship {wanted.kinship:.4f} is not below {limit.normalize():f}.",
                wanted.sire,
            )
        )
    return found


def objections_to_draft(entry: PlanDraft, known: Known) -> list[Objection]:
    """Return what is in the way of this draft plan."""
    found = objections_to_texts(entry)
    if not entry.number:
        found.append(Objection("missing_id", "number", "The plan number is missing."))
    if entry.stock not in known.stocks:
        found.append(Objection("bad_stock", "stock", f"There is no stock “{entry.stock}”. Choose one.", entry.stock))
    if not date.min.year + 1899 < entry.season <= known.today.year + 1:
        found.append(
            Objection("bad_season", "season", f"Season {entry.season} is not a year to plan for.", str(entry.season))
        )
    for pair in entry.pairs:
        found += objections_to_pair(pair, entry.stock, known)
    return found
