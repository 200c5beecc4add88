"""Who can be the parents of whom."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal

import networkx as nx

from registry.errors import Objection
from registry.rules.days import Day, spoken, surely_before
from registry.rules.known import Known, KnownFamily, KnownFish, Pair, fold


@dataclass(frozen=True, slots=True)
class Part:
    """A fish's part in a cross, or in young whose cross is not on record: its role, the day, and what came of it."""

    role: str
    day: Day
    what: str
    frozen_milt: bool = False


ROLES = {"dam": ("F", "female"), "sire": ("M", "male")}
SEASON_DAYS = 60


def objections_to_pairs(pairs: Iterable[Pair]) -> list[Objection]:
    """Return what is wrong with a parentage as a distribution."""
    pairs = list(pairs)
    found = [
        Objection("probability", "pairs", f"The probability {p.probability} is not above 0 and up to 1. Give a share.")
        for p in pairs
        if not 0 < p.probability <= 1
    ]
    total = sum((p.probability for p in pairs), Decimal(0))
    if pairs and not found and abs(total - 1) > Decimal("1e-9"):
        found.append(Objection("probability", "pairs", f"The probabilities sum to {total}, not 1. Correct the shares."))
    if len({(p.dam, p.sire) for p in pairs}) < len(pairs):
        found.append(Objection("probability", "pairs", "A pair of parents is named twice. Name each once."))
    return found


def objections_to_parents(child: KnownFish, known: Known, frozen_milt: bool = False) -> list[Objection]:
    """Return why any named parent cannot be one; `frozen_milt` says that the milt was known to be frozen."""
    found: list[Objection] = []
    for role in ROLES:
        numbers = dict.fromkeys(getattr(p, role) for p in child.pairs if getattr(p, role))
        for number in numbers:
            found += _objections_to_parent(child, role, number, known, frozen_milt)
    return found


def _objections_to_parent(child: KnownFish, role: str, number: str, known: Known, frozen: bool) -> list[Objection]:
    if fold(number) == fold(child.number):
        return [
            Objection(
                "own_parent", role, f"Fish {child.number} is named as its own {role}. Correct the {role}.", number
            )
        ]
    parent = known.find_fish(number)
    if parent is None:
        return [
            Objection(
                "unknown_parent",
                role,
                f"There is no fish {number} in the register. Enter that fish first, or correct the {role}.",
                number,
            )
        ]
    found = objections_to_sex(parent, role)
    found += _objections_to_species(child, parent, role)
    if child.hatched and parent.hatched and surely_before(child.hatched, parent.hatched):
        found.append(
            Objection(
                "parent_younger",
                role,
                f"{parent.number} hatched {parent.hatched}, after its offspring ({child.hatched}). Correct one.",
                number,
            )
        )
    if child.hatched:
        found += objections_to_dead_parent(parent, role, crossed_by(child.hatched), known, frozen)
    return found


def objections_to_sex(parent: KnownFish, role: str) -> list[Objection]:
    """Return the objection that the fish is on record as of the other sex."""
    sex, word = ROLES[role]
    if parent.sex in (sex, "U", "I"):
        return []
    other = "male" if word == "female" else "female"
    return [
        Objection(
            "wrong_sex",
            role,
            f"{parent.number} is recorded as {other} and cannot be a {role}. Look at the fish again.",
            parent.number,
        )
    ]


def _objections_to_species(child: KnownFish, parent: KnownFish, role: str) -> list[Objection]:
    unsure = child.hybrid or child.doubtful or parent.hybrid or parent.doubtful
    if unsure or not child.species or not parent.species or child.species == parent.species:
        return []
    return [
        Objection(
            "wrong_species",
            role,
            f"{parent.number} is of another species ({parent.species}, not {child.species}). "
            f"Correct the {role}, or enter the fish as a hybrid.",
            parent.number,
        )
    ]


def objections_to_dead_parent(parent: KnownFish, role: str, day: Day, known: Known, frozen: bool) -> list[Objection]:
    """Return why a fish that had left by `day` cannot have been a parent: only frozen milt outlives its donor."""
    if not parent.left or not parent.left_on or not surely_before(parent.left_on, day):
        return []
    gone = f"{parent.number} {parent.left} {parent.left_on}"
    if role == "sire" and (frozen or fold(parent.number) in known.frozen_milt_of):
        return [Objection("frozen_milt", role, f"{gone}; its frozen milt is noted.", parent.number, warning=True)]
    way_out = "Note the frozen milt, or correct the sire." if role == "sire" else "Correct the dam or the day."
    return [Objection("dead_parent", role, f"{gone}, before {day}. {way_out}", parent.number)]


def crossed_by(hatched: Day) -> Day:
    """Return the earliest day of the cross: eggs hatch weeks later, and a parent may die in between."""
    return Day(hatched.first - timedelta(days=SEASON_DAYS), hatched.precision)


def objections_before_spawning(family: KnownFamily | None, day: Day | None, field: str) -> list[Objection]:
    """Return why young of a family cannot have been there on a day: it was spawned only later."""
    if family is None or family.spawned_on is None or day is None:
        return []
    if not surely_before(day, Day(family.spawned_on)):
        return []
    text = f"Family {family.number} was spawned on {spoken(family.spawned_on)}, after {day}. Correct one of them."
    return [Objection("before_spawning", field, text, str(day))]


def objections_to_parts(fish: KnownFish, parts: Iterable[Part]) -> list[Objection]:
    """Return what a fish on record as a parent cannot be: gone before a cross it took part in, or born after it."""
    found: list[Objection] = []
    for part in parts:
        if fish.hatched and surely_before(part.day, fish.hatched):
            text = (
                f"{fish.number} is the {part.role} of {part.what} of {part.day}; it cannot have hatched {fish.hatched}."
            )
            found.append(Objection("parent_younger", "hatched_on", f"{text} Correct one of the days."))
        gone = fish.left_on and surely_before(fish.left_on, part.day)
        if gone and fish.left and not (part.role == "sire" and part.frozen_milt):
            text = f"{fish.number} is the {part.role} of {part.what} of {part.day} and cannot have {fish.left} before."
            found.append(Objection("dead_parent", "left_on", f"{text} Correct one of the days."))
    return found


def loops(fish: Iterable[KnownFish]) -> list[list[str]]:
    """Return every loop of ancestry among the fish given, each as the list of fish on it."""
    graph = nx.DiGraph()
    for one in fish:
        for pair in one.pairs:
            graph.add_edges_from((fold(parent), fold(one.number)) for parent in (pair.dam, pair.sire) if parent)
    return [sorted(part) for part in nx.strongly_connected_components(graph) if len(part) > 1]
