"""Parentage determined anew: later evidence replaces what was taken for true; the earlier stays readable."""

from dataclasses import dataclass

from registry.errors import Objection
from registry.models import Fish, FishDetails, Parentage
from registry.operations.fish import current_details, parentage_of, replace_details
from registry.operations.shared.desk import Deed, Desk
from registry.permissions import CORRECT, Actor
from registry.queries.fish.ancestry import ancestors
from registry.queries.known import Named
from registry.rules.known import Known, KnownFish, Pair
from registry.rules.parents import objections_to_pairs, objections_to_parents
from registry.rules.texts import objections_to_texts


@dataclass(frozen=True, slots=True, kw_only=True)
class ParentageFound:
    """Possible pairs of parents of a fish with their probabilities, on new evidence. Empty pairs: a founder."""

    fish: str
    pairs: tuple[Pair, ...]
    basis: str
    reason: str


def determine_parentage(by: Actor, entry: ParentageFound, *, confirmed: bool = True) -> Fish:
    """Replace a fish's parentage. Refused: shares that do not sum to 1, parents that cannot be, its own descendants."""
    return FINDING.do(by, entry, confirmed=confirmed)


def _judge(entry: ParentageFound, known: Known) -> list[Objection]:
    found = objections_to_texts(entry)
    fish = known.find_fish(entry.fish)
    if fish is None:
        return [
            *found,
            Objection("unknown_fish", "fish", f"There is no fish {entry.fish} in the register.", entry.fish),
        ]
    if entry.basis not in Parentage.Basis.values:
        found.append(Objection("bad_basis", "basis", "Say on what evidence: genotyping, the cross record, the sheet."))
    if not entry.reason.strip():
        found.append(Objection("no_reason", "reason", "Say why: the reason stands in the journal beside the change."))
    found += objections_to_pairs(entry.pairs)
    child = KnownFish(
        number=fish.number, species=fish.species, doubtful=fish.doubtful, hybrid=fish.hybrid, hatched=fish.hatched,
        pairs=entry.pairs,
    )  # fmt: skip
    found += objections_to_parents(child, known)
    return found + _objections_to_loop(fish, entry, known)


def _objections_to_loop(fish: KnownFish, entry: ParentageFound, known: Known) -> list[Objection]:
    found = []
    for number in {n for p in entry.pairs for n in (p.dam, p.sire) if n}:
        parent = known.find_fish(number)
        if parent and parent.pk and fish.pk in ancestors({parent.pk}):
            text = (
                f"{fish.number} is an ancestor of {parent.number}: it would be its own ancestor. Correct the parents."
            )
            found.append(Objection("cycle", "pairs", text, number))
    return found


def _write(desk: Desk, entry: ParentageFound) -> Fish:
    fish = desk.fish(entry.fish)
    details: FishDetails = current_details(desk, fish)
    made = desk.entry("parentage determined", f"fish {fish.number}", reason=entry.reason)
    parentage = parentage_of(desk, made, entry.pairs, entry.basis)
    desk.door.write_rows()
    replace_details(made, details, parentage_id=parentage.pk if parentage else None, family_id=None)
    return fish


def _named(entry: ParentageFound) -> Named:
    return Named(fish={entry.fish, *(n for p in entry.pairs for n in (p.dam, p.sire) if n)})


def _note(entry: ParentageFound, known: Known) -> None:
    fish = known.find_fish(entry.fish)
    if fish:
        fish.pairs = entry.pairs


FINDING = Deed(CORRECT, _named, _judge, _note, _write)
