"""A fish that was missing, released or sent away and is in the hatchery again."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from registry.errors import Objection
from registry.rules.days import spoken
from registry.rules.identity.evidence import objections_to_evidence
from registry.rules.known import Known, KnownFish, KnownTag, fold
from registry.rules.tagging import TagAttachment, objections_to_attachment
from registry.rules.tags import TagCode
from registry.rules.texts import objections_to_texts

COMES_BACK = ("missing", "released", "transferred")


@dataclass(frozen=True, slots=True, kw_only=True)
class FishReturn:
    """A fish is back. `code` was read on it or newly attached; `known_by` says how it is known, if not by its tag."""

    fish: str
    returned_on: date
    unit: str
    code: TagCode | None = None
    site: str = ""
    known_by: str = ""
    probability: Decimal | None = None
    evidence: str = ""


def objections_to_return(entry: FishReturn, known: Known) -> list[Objection]:
    """Return what is in the way of entering that this fish is back."""
    found = objections_to_texts(entry)
    if entry.unit not in known.units:
        found.append(
            Objection("unknown_unit", "unit", f"There is no holding unit “{entry.unit}”. Choose one.", entry.unit)
        )
    if entry.returned_on > known.today:
        text = f"{spoken(entry.returned_on)} lies in the future. Correct the day."
        found.append(Objection("future_date", "returned_on", text, str(entry.returned_on)))
    fish = known.find_fish(entry.fish)
    if fish is None:
        return [
            *found,
            Objection("unknown_fish", "fish", f"There is no fish {entry.fish} in the register.", entry.fish),
        ]
    found += _objections_to_leaving(entry, fish)
    own = own_tags(entry, fish, known.tags_on(fish.number))
    found += objections_to_evidence(entry.known_by, entry.probability, needed=not own)
    if entry.code and not own:
        attachment = TagAttachment(
            fish=fish.number, code=entry.code, attached_on=entry.returned_on, known_by=entry.known_by,
            probability=entry.probability, evidence=entry.evidence,
        )  # fmt: skip
        here = replace(fish, left="", left_on=None)
        found += [o for o in objections_to_attachment(attachment, known, here) if o not in found]
    return found


def _objections_to_leaving(entry: FishReturn, fish: KnownFish) -> list[Objection]:
    if not fish.left:
        text = f"Fish {fish.number} never left: move it, or attach its tag."
        return [Objection("never_left", "fish", text, entry.fish)]
    if fish.left not in COMES_BACK:
        text = f"Fish {fish.number} {fish.left} {fish.left_on or ''}".strip()
        return [Objection("already_left", "fish", f"{text}. Correct that entry if it is wrong.", entry.fish)]
    if fish.left_on and entry.returned_on < fish.left_on.first:
        text = f"Fish {fish.number} {fish.left} {fish.left_on}; it cannot have come back before. Correct the day."
        return [Objection("out_before_in", "returned_on", text, str(entry.returned_on))]
    return []


def own_tags(entry: FishReturn, fish: KnownFish, tags: Iterable[KnownTag]) -> list[KnownTag]:
    """Return the fish's own tags with the code that was read: they prove by themselves which fish it is."""
    return [tag for tag in tags if tag.code == entry.code and fold(tag.fish) == fold(fish.number)]
