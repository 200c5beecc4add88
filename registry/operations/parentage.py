"""Parentage of fish and families determined anew: later evidence replaces what was held; the earlier is kept."""

from dataclasses import dataclass

from django.db.models import Q

from registry.errors import Objection, Refused
from registry.models import Cross, Family, FamilyParents, Fish, FishDetails, Parentage, ParentPair
from registry.operations.fish import current_details, parentage_of, replace_details
from registry.operations.shared.desk import Deed, Desk
from registry.permissions import CORRECT, Actor
from registry.queries.fish.ancestry import ancestors
from registry.queries.known import Named
from registry.rules.days import Day
from registry.rules.known import Known, KnownFamily, KnownFish, Pair
from registry.rules.parents import objections_to_pairs, objections_to_parents
from registry.rules.texts import objections_to_texts


@dataclass(frozen=True, slots=True, kw_only=True)
class ParentageFound:
    """Possible pairs of parents of a fish with their probabilities, on new evidence. Empty pairs: a founder."""

    fish: str
    pairs: tuple[Pair, ...]
    basis: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FamilyParentsFound:
    """Possible pairs of parents of a family, as they should stand, and why. Empty pairs: not known."""

    family: str
    pairs: tuple[Pair, ...]
    basis: str
    reason: str


def determine_parentage(by: Actor, entry: ParentageFound, *, confirmed: bool = True) -> Fish:
    """Replace a fish's parentage. Refused: shares that do not sum to 1, parents that cannot be, its own descendants."""
    return FINDING.do(by, entry, confirmed=confirmed)


def determine_family(by: Actor, entry: FamilyParentsFound, *, confirmed: bool = True) -> Family:
    """Replace a family's parents; its registered fish follow. Refused: what a fish's parentage is refused for."""
    return FAMILY_FINDING.do(by, entry, confirmed=confirmed)


def _judge(entry: ParentageFound, known: Known) -> list[Objection]:
    found = objections_to_texts(entry)
    fish = known.find_fish(entry.fish)
    if fish is None:
        return [
            *found,
            Objection("unknown_fish", "fish", f"There is no fish {entry.fish} in the register.", entry.fish),
        ]
    found += _objections_to_finding(entry)
    child = KnownFish(
        number=fish.number, species=fish.species, doubtful=fish.doubtful, hybrid=fish.hybrid, hatched=fish.hatched,
        pairs=entry.pairs,
    )  # fmt: skip
    found += objections_to_parents(child, known)
    return found + _objections_to_loop(fish, entry.pairs, known)


def _objections_to_finding(entry: ParentageFound | FamilyParentsFound) -> list[Objection]:
    found = []
    if entry.basis not in Parentage.Basis.values:
        found.append(Objection("bad_basis", "basis", "Say on what evidence: genotyping, the cross record, the sheet."))
    if not entry.reason.strip():
        found.append(Objection("no_reason", "reason", "Say why: the reason stands in the journal beside the change."))
    return found + objections_to_pairs(entry.pairs)


def _objections_to_loop(fish: KnownFish, pairs: tuple[Pair, ...], known: Known) -> list[Objection]:
    found = []
    for number in _parents(pairs):
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


def _parents(pairs: tuple[Pair, ...]) -> set[str]:
    return {number for pair in pairs for number in (pair.dam, pair.sire) if number}


def _named(entry: ParentageFound) -> Named:
    return Named(fish={entry.fish, *_parents(entry.pairs)})


def _note(entry: ParentageFound, known: Known) -> None:
    fish = known.find_fish(entry.fish)
    if fish:
        fish.pairs = entry.pairs


FINDING = Deed(CORRECT, _named, _judge, _note, _write)


def _judge_family(entry: FamilyParentsFound, known: Known) -> list[Objection]:
    found = objections_to_texts(entry)
    family = known.find_family(entry.family)
    if family is None:
        text = f"There is no family {entry.family} in the register."
        return [*found, Objection("unknown_family", "family", text, entry.family)]
    found += _objections_to_finding(entry)
    if family.pairs and set(family.pairs) == set(entry.pairs):
        text = "Nothing is different from what stands. Change a parent or a share first."
        found.append(Objection("nothing_changed", "pairs", text))
    stock = known.stocks.get(family.stock, "")
    hatched = Day(family.spawned_on) if family.spawned_on else None
    child = KnownFish(number=f"family {family.number}", species=stock, hatched=hatched, pairs=entry.pairs)
    found += objections_to_parents(child, known, frozen_milt=_frozen(family))
    for row in FishDetails.objects.current().filter(family=family.pk).select_related("fish"):
        found += _objections_to_loop(KnownFish(row.fish.number, row.fish_id), entry.pairs, known)
    return found + _warnings_of_what_stays(family)


def _frozen(family: KnownFamily) -> bool:
    """Return whether frozen milt is on record for the cross that made the family."""
    made = Cross.objects.current().filter(family=family.pk, sires__withdrawn__isnull=True, sires__frozen_milt=True)
    return made.exists()


def _warnings_of_what_stays(family: KnownFamily) -> list[Objection]:
    """Return what does not follow: the record of the cross, and fish out of mixed batches."""
    found = []
    if family.has_cross:
        text = (
            f"The cross that made family {family.number} stays on record as it was entered on the night; "
            "from now on the parents entered here count."
        )
        found.append(Objection("cross_stays", "pairs", text, family.number, warning=True))
    numbers = _in_mixed_batches(family.pairs)
    if numbers:
        listed = ", ".join(numbers[:10]) + (" …" if len(numbers) > 10 else "")
        text = f"Fish out of mixed batches keep their possible parents: {listed}. Determine their parentage anew."
        found.append(Objection("mixed_stays", "pairs", text, warning=True))
    return found


def _in_mixed_batches(pairs: tuple[Pair, ...]) -> list[str]:
    """Return the fish that may be of these parents because they were tagged out of a mixed batch."""
    same = Q(pk=None)
    for pair in pairs:
        same |= Q(dam__number=pair.dam, sire__number=pair.sire)
    mixed = ParentPair.objects.current().filter(same, parentage__basis=Parentage.Basis.MIXED).values("parentage")
    rows = FishDetails.objects.current().filter(parentage__in=mixed).order_by("fish__number")
    return list(rows.values_list("fish__number", flat=True))


def _write_family(desk: Desk, entry: FamilyParentsFound) -> Family:
    family = desk.family(entry.family)
    if family is None:
        raise Refused(_judge_family(entry, desk.known))
    made = desk.entry("parents of a family determined", f"family {family.number}", reason=entry.reason)
    before = FamilyParents.objects.current().filter(family=family.pk).first()
    if before:
        made.withdraw(before)
    parentage = parentage_of(desk, made, entry.pairs, entry.basis)
    if parentage:
        made.add(FamilyParents(family=family, parentage=parentage))
    desk.door.write_rows()
    held = FishDetails.objects.current().filter(family=family.pk, parentage=before.parentage_id if before else None)
    for details in held:
        replace_details(made, details, parentage_id=parentage.pk if parentage else None)
    return family


def _note_family(entry: FamilyParentsFound, known: Known) -> None:
    family = known.find_family(entry.family)
    if family:
        family.pairs = entry.pairs


FAMILY_FINDING = Deed(
    CORRECT,
    lambda e: Named(families={e.family}, fish=_parents(e.pairs)),
    _judge_family,
    _note_family,
    _write_family,
)
