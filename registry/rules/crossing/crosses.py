"""Why a fish is no candidate, and why a pair may not be planned."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from registry.errors import Objection
from registry.rules.crossing.limits import ALL_SWITCHES_ON, ROUNDING, LimitsInForce, limits_in_force, relationship
from registry.rules.intake.holds import IN_QUARANTINE, WITHHELD, objections_to_use
from registry.rules.intake.ploidy import told_odd
from registry.rules.known import Known, KnownFish
from registry.rules.parents import objections_to_sex
from registry.rules.texts import objections_to_texts

DIPLOID = 2
# Which reason to hold a fish back falls under which limit.
HOLDS = {"no_quarantine": IN_QUARANTINE, "no_withdrawal": WITHHELD}
NOT_SAMPLED, ODD_PLOIDY = "not_sampled", "odd_ploidy"


@dataclass(frozen=True, slots=True, kw_only=True)
class PairWanted:
    """One dam × one sire wanted in a plan, with the kinship, at the stock's ploidy, computed when it was put in.

    `young` is the size wanted of the family, if it is to differ from the others.
    """

    dam: str
    sire: str
    kinship: Decimal = Decimal(0)
    comment: str = ""
    young: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanDraft:
    """A new draft plan for a stock and season."""

    number: str
    stock: str
    season: int
    notes: str = ""


def objections_to_candidate(
    fish: KnownFish, role: str, stock: str, day: date, limits: LimitsInForce = ALL_SWITCHES_ON
) -> list[Objection]:
    """Return why a fish cannot be a dam or sire of this stock that day; who knows the lots judges frozen milt."""
    found = list(objections_to_sex(fish, role))
    if fish.sex in ("U", "I"):
        found.append(Objection("unsexed", role, f"{fish.number}: sex not known. Check it first.", fish.number))
    if limits.on("no_hybrid") and fish.hybrid:
        found.append(Objection("hybrid", role, f"{fish.number} is a hybrid. Hybrids never enter a cross.", fish.number))
    if limits.on("sure_species") and (fish.doubtful or not fish.species):
        found.append(
            Objection(
                "doubtful_species", role, f"{fish.number}: species in doubt. Have it determined first.", fish.number
            )
        )
    if limits.on("same_stock") and stock and fish.stock != stock:
        found.append(
            Objection(
                "wrong_stock",
                role,
                f"{fish.number} is of stock {fish.stock or '(none)'}, not {stock}. Stocks are not mixed.",
                fish.number,
            )
        )
    if limits.on("even_ploidy") and fish.sets and fish.sets % 2:
        found.append(Objection(ODD_PLOIDY, role, told_odd(fish.number, fish.sets), fish.number))
    held = {code for key, code in HOLDS.items() if limits.on(key)}
    found += [one for one in objections_to_use(fish, role, day) if one.code in held]
    if limits.on("tissue") and not fish.tissue:
        told = f"{fish.number}: no tissue sample is kept. Take one."
        found.append(Objection(NOT_SAMPLED, role, told, fish.number))
    return found


def objections_to_pair(
    wanted: PairWanted, stock: str, known: Known, limits: LimitsInForce | None = None
) -> list[Objection]:
    """Return why this pair may not be planned: by the policy's limits, or by those of the plan."""
    limits = limits or limits_in_force(known.policy)
    found = objections_to_names(wanted, known)
    for role in ("dam", "sire"):
        number = getattr(wanted, role)
        fish = known.find_fish(number)
        if fish is None:
            continue
        found += objections_to_candidate(fish, role, stock, known.today, limits)
        if fish.left and not (role == "sire" and number.casefold() in known.frozen_milt_of):
            found.append(
                Objection(
                    "dead_parent", role, f"{fish.number} {fish.left} {fish.left_on or ''}.".replace(" .", "."), number
                )
            )
    return list(dict.fromkeys(found)) + objections_to_closeness(wanted, ploidy_of(stock, known), limits)


def objections_to_names(wanted: PairWanted, known: Known) -> list[Objection]:
    """Return what is wrong with a pair whatever the limits: texts, fish that there are not, a fish of the other sex."""
    found = objections_to_texts(wanted)
    for role in ("dam", "sire"):
        number = getattr(wanted, role)
        fish = known.find_fish(number)
        if fish is None:
            found.append(Objection("unknown_fish", role, f"There is no fish {number} in the register.", number))
        else:
            found += objections_to_sex(fish, role)
    return found


def objections_to_closeness(wanted: PairWanted, ploidy: int, limits: LimitsInForce) -> list[Objection]:
    """Return whether the pair reaches the limit of relationship."""
    limit = limits.figure("relationship")
    close = relationship(wanted.kinship, ploidy)
    if limit is None or close < limit - ROUNDING:
        return []
    told = (
        f"{wanted.dam} × {wanted.sire}: relationship {close:.4f} (kinship {wanted.kinship:.4f}) is not below "
        f"{limit.normalize():f}, the limit on the closeness of a pair."
    )
    return [Objection("too_close", "sire", told, wanted.sire)]


def ploidy_of(stock: str, known: Known) -> int:
    """Return the ploidy at which kinship within a stock is computed."""
    return known.ploidy_of.get(stock, DIPLOID)


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
    return found
