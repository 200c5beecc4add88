"""What the geneticist asks of a plan: terms and scheme, and the word on fish and pairs."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from registry.errors import Objection
from registry.rules.crossing.limits import LimitsInForce

OUT, IN, LIMITED, CHOSEN = "out", "in", "limited", "chosen"
LOCKED, FORBIDDEN = "locked", "forbidden"
CLEARED = ""
MOST_CROSSES, MOST_PRICE = 1000, Decimal(100)


@dataclass(frozen=True, slots=True)
class Scheme:
    """A way to pair; `asks_mates`: it needs the number of mates."""

    key: str
    name: str
    meaning: str
    asks_mates: bool = False


SCHEMES: dict[str, Scheme] = {
    one.key: one
    for one in (
        Scheme("free", "free", "Any set of pairs within the limits."),
        Scheme("single_pair", "single pair", "Every fish stands in one cross."),
        Scheme("nested", "nested", "Each female has so many males of her own; each male has one female.", True),
        Scheme(
            "partial_factorial",
            "partial factorial",
            "Each female meets so many males, and each male so many females.",
            True,
        ),
        Scheme(
            "full_factorial",
            "full factorial",
            "Every female chosen meets every male chosen on the page of the fish; of nobody, the search chooses.",
        ),
    )
}


@dataclass(frozen=True, slots=True, kw_only=True)
class TermsSet:
    """How many crosses a plan is to hold, by which scheme, weighed how (ALGORITHMS: N, G, A).

    `weight_of_young` None: by the young expected. `count_made`: families made this season count.
    """

    plan: str
    crosses: int
    scheme: str = "free"
    mates: int | None = None
    price: Decimal = Decimal(0)
    count_living: bool = True
    weight_of_young: Decimal | None = None
    count_made: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class FishStand:
    """The word on a fish: `out`, `in` though not ripe yet, `limited` to `most` crosses, `chosen`, or cleared.

    A chosen fish must stand in the plan; in a full factorial it meets every chosen fish of the other sex.
    """

    plan: str
    fish: str
    stand: str = CLEARED
    most: int | None = None
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FishChosen:
    """The fish chosen for a plan, all of them: who was chosen before and is not named is chosen no more."""

    plan: str
    fish: tuple[str, ...]
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PairStand:
    """A pair `locked` into the plan, `forbidden` in it, or cleared."""

    plan: str
    dam: str
    sire: str
    stand: str = CLEARED
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Wishes:
    """All that a plan is asked for. Fish and pairs (dam, sire) by register number; cleared ones are not held.

    `changed` is the number of the journal entry that last changed any of it; 0: never.
    """

    terms: TermsSet
    limits: LimitsInForce
    fish: Mapping[str, FishStand] = field(default_factory=dict)
    pairs: Mapping[tuple[str, str], PairStand] = field(default_factory=dict)
    changed: int = 0


def objections_to_terms(entry: TermsSet) -> list[Objection]:
    """Return what is wrong with these terms."""
    found = _objections_to_mates(entry)
    if not 1 <= entry.crosses <= MOST_CROSSES:
        told = f"A plan of {entry.crosses} crosses cannot be made. Write a number from 1 to {MOST_CROSSES}."
        found.append(Objection("bad_value", "crosses", told, str(entry.crosses)))
    if not 0 <= entry.price <= MOST_PRICE:
        told = f"{entry.price} is no price on inbreeding. Write a figure from 0 to {MOST_PRICE}."
        found.append(Objection("bad_value", "price", told, str(entry.price)))
    weight = entry.weight_of_young
    if weight is not None and not 0 < weight <= 1:
        told = f"{weight} is no share of the young. Write a figure over 0 up to 1, or leave it empty."
        found.append(Objection("bad_value", "weight_of_young", told, str(weight)))
    if weight is not None and not entry.count_living:
        told = "A share of the young counts only together with the living stock. Leave it empty, or count the living."
        found.append(Objection("bad_value", "weight_of_young", told, str(weight)))
    return found


def _objections_to_mates(entry: TermsSet) -> list[Objection]:
    found = []
    scheme = SCHEMES.get(entry.scheme)
    if scheme is None:
        told = f"There is no scheme “{entry.scheme}”. Choose one."
        found.append(Objection("unknown_scheme", "scheme", told, entry.scheme))
    elif scheme.asks_mates and not entry.mates:
        told = f"The scheme “{scheme.name}” needs the number of mates a fish. Write it."
        found.append(Objection("missing", "mates", told))
    elif not scheme.asks_mates and entry.mates is not None:
        told = f"The scheme “{scheme.name}” knows no number of mates. Leave it empty."
        found.append(Objection("bad_value", "mates", told, str(entry.mates)))
    if entry.mates is not None and not 1 <= entry.mates <= entry.crosses:
        told = f"{entry.mates} mates a fish cannot be among {entry.crosses} crosses. Write 1 to {entry.crosses}."
        found.append(Objection("bad_value", "mates", told, str(entry.mates)))
    return found


def objections_to_fish_stand(entry: FishStand) -> list[Objection]:
    """Return what is wrong with this word on a fish."""
    if entry.stand not in (OUT, IN, LIMITED, CHOSEN, CLEARED):
        return [Objection("bad_value", "stand", f"“{entry.stand}” is no stand of a fish. Choose one.", entry.stand)]
    found = []
    if entry.stand != CLEARED and not entry.reason.strip():
        told = f"{entry.fish}: say why, in a few words, for whoever reads the plan later."
        found.append(Objection("missing_reason", "reason", told, entry.fish))
    if entry.stand == LIMITED and not 1 <= (entry.most or 0) <= MOST_CROSSES:
        told = f"{entry.fish} is to be used a limited number of times: write how many crosses at most."
        found.append(Objection("missing", "most", told, str(entry.most or "")))
    if entry.stand != LIMITED and entry.most is not None:
        told = f"{entry.fish}: a number of crosses goes with “limited” only. Leave it empty."
        found.append(Objection("bad_value", "most", told, str(entry.most)))
    return found


def objections_to_choice(entry: FishChosen, wishes: Wishes) -> list[Objection]:
    """Return what is wrong with this choice of fish."""
    found = []
    if entry.fish and not entry.reason.strip():
        found.append(Objection("missing_reason", "reason", "Say why these fish, for whoever signs the plan."))
    for number in entry.fish:
        word = wishes.fish.get(number)
        if word is not None and word.stand != CHOSEN:
            told = f"Another word stands on {number} in this plan ({word.stand}: {word.reason}). Clear it first."
            found.append(Objection("other_word", "fish", told, number))
    return found


def objections_to_pair_stand(entry: PairStand) -> list[Objection]:
    """Return what is wrong with this word on a pair."""
    pair = f"{entry.dam} × {entry.sire}"
    if entry.stand not in (LOCKED, FORBIDDEN, CLEARED):
        return [Objection("bad_value", "stand", f"“{entry.stand}” is no stand of a pair. Choose one.", entry.stand)]
    if entry.stand == FORBIDDEN and not entry.reason.strip():
        return [Objection("missing_reason", "reason", f"{pair}: say why it is forbidden.", pair)]
    return []
