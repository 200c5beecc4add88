"""Which code may be on which fish, and when; and which mark the fish of a batch may share."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from registry.errors import Objection
from registry.rules.days import spoken
from registry.rules.identity.evidence import objections_to_evidence, objections_to_inference
from registry.rules.known import Known, KnownBatch, KnownFish, KnownTag, fold
from registry.rules.tags import TagCode, near_codes
from registry.rules.texts import objections_to_texts
from registry.rules.young.ledger import objection_before_start, unknown_batch

END_REASONS = ("lost", "dead", "removed", "replaced", "fish left")
MARK_KINDS = ("coded wire", "elastomer", "fin clip", "genetic parentage", "other")


@dataclass(frozen=True, slots=True, kw_only=True)
class TagAttachment:
    """A code put on a fish, and, in an old book, when it came off again."""

    fish: str
    code: TagCode
    attached_on: date
    ended_on: date | None = None
    end_reason: str = ""
    site: str = ""
    known_by: str = ""
    probability: Decimal | None = None
    evidence: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TagEnd:
    """A code that is no longer on its fish."""

    code: TagCode
    ended_on: date
    end_reason: str
    evidence: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchMarking:
    """A mark given to the fish of a batch, to all of them or to `count`."""

    batch: str
    kind: str
    marked_on: date
    detail: str = ""
    count: int | None = None


def objections_to_attachment(entry: TagAttachment, known: Known, fish: KnownFish | None = None) -> list[Objection]:
    """Return what is in the way of this code on this fish, and warnings."""
    found = objections_to_texts(entry)
    fish = fish or known.find_fish(entry.fish)
    if fish is None:
        return [
            *found,
            Objection("unknown_fish", "fish", f"There is no fish {entry.fish} in the register.", entry.fish),
        ]
    found += objections_to_evidence(entry.known_by, entry.probability)
    found += _objections_to_days(entry, fish, known.today)
    if not any(o.code == "out_before_in" for o in found):
        found += _objections_to_holders(entry, fish, known)
    return found


def _objections_to_days(entry: TagAttachment, fish: KnownFish, today: date) -> list[Objection]:
    found = []
    if entry.attached_on > today:
        found.append(_future("attached_on", entry.attached_on))
    if entry.ended_on and entry.ended_on > today:
        found.append(_future("ended_on", entry.ended_on))
    if entry.ended_on and entry.ended_on < entry.attached_on:
        found.append(
            Objection(
                "out_before_in",
                "ended_on",
                f"Taken out {spoken(entry.ended_on)}, before it was put in ({spoken(entry.attached_on)}). Correct it.",
                str(entry.ended_on),
            )
        )
    if fish.left_on and entry.attached_on > fish.left_on.last:
        found.append(
            Objection(
                "after_death",
                "attached_on",
                f"Fish {fish.number} {fish.left} {fish.left_on}; it cannot be tagged after that.",
            )
        )
    if fish.hatched and entry.attached_on < fish.hatched.first:
        found.append(
            Objection(
                "before_hatch", "attached_on", f"Fish {fish.number} hatched {fish.hatched}, after the tagging day."
            )
        )
    return found


def _future(field: str, day: date) -> Objection:
    return Objection("future_date", field, f"{spoken(day)} lies in the future. Correct the day.", str(day))


def _objections_to_holders(entry: TagAttachment, fish: KnownFish, known: Known) -> list[Objection]:
    found = []
    end = entry.ended_on or (fish.left_on.first if fish.left_on else date.max)
    for tag in known.tags.get(entry.code, []):
        if same_tag(tag, entry):
            continue
        holder = known.find_fish(tag.fish)
        who = "this fish" if fold(tag.fish) == fold(fish.number) else f"fish {tag.fish}"
        if tag.attached_on < end and entry.attached_on < (tag.ended_on or date.max):
            found.append(
                Objection(
                    "duplicate_code",
                    "code",
                    f"Tag {entry.code.code} is active on {who} since {spoken(tag.attached_on)}. "
                    "End that tag first, or check the last digits. If both fish bear it, set the code aside.",
                    entry.code.code,
                )
            )
        elif holder and fold(holder.number) != fold(fish.number) and tag.end_reason == "lost" and not holder.left:
            found.append(_lost_code_again(tag))
        elif holder and holder.left and fold(holder.number) != fold(fish.number):
            found.append(
                Objection(
                    "code_of_dead_fish",
                    "code",
                    f"Tag {entry.code.code} was on fish {holder.number}, which {holder.left} {holder.left_on or ''}. "
                    "Make sure it is a new tag.",
                    entry.code.code,
                    warning=True,
                )
            )
    found += _near(entry.code, fish, known)
    told = bool(entry.known_by or entry.evidence.strip())
    return found + objections_to_inference(fish.number, entry.attached_on, known.tags_on(fish.number), told)


def _lost_code_again(tag: KnownTag) -> Objection:
    """A lost tag that is read again is most likely still on the fish that was thought to have lost it."""
    lost = f" on {spoken(tag.ended_on)}" if tag.ended_on else ""
    text = (
        f"Tag {tag.code.code} was noted as lost by fish {tag.fish}{lost}, which lives: this may be fish {tag.fish}. "
        "Compare sex, length and scutes before you give it to another fish."
    )
    return Objection("lost_code_again", "code", text, tag.code.code, warning=True)


def same_tag(tag: KnownTag, entry: TagAttachment) -> bool:
    """Return whether the entry only tells the days of a tag that is on this fish already, days not known.

    Such a tag has no end of its own: it ended, if at all, because the fish left.
    """
    return not tag.attached_known and fold(tag.fish) == fold(entry.fish)


def _near(code: TagCode, fish: KnownFish, known: Known) -> Iterable[Objection]:
    for near in near_codes(code, known.tags):
        others = [tag.fish for tag in known.tags[near] if fold(tag.fish) != fold(fish.number)]
        if others:
            yield Objection(
                "near_code",
                "code",
                f"Tag {code.code} differs by one digit from {near.code} on fish {others[0]}. Read it once more.",
                code.code,
                warning=True,
            )


def objections_to_tag_end(entry: TagEnd, known: Known) -> list[Objection]:
    """Return what is in the way of ending this tag."""
    found = objections_to_texts(entry)
    tag = open_tag(entry.code, known)
    if tag is None:
        return [
            *found,
            Objection("unknown_tag", "code", f"Code {entry.code.code} is not active on any fish.", entry.code.code),
        ]
    if entry.ended_on < tag.attached_on:
        found.append(
            Objection(
                "out_before_in",
                "ended_on",
                f"This tag was put in on {spoken(tag.attached_on)}; it cannot have ended before.",
            )
        )
    if entry.ended_on > known.today:
        found.append(_future("ended_on", entry.ended_on))
    if entry.end_reason not in END_REASONS:
        found.append(Objection("bad_reason", "end_reason", "Choose why the tag is no longer on the fish."))
    return found


def open_tag(code: TagCode, known: Known) -> KnownTag | None:
    """Return the tag with this code that is still on a fish."""
    return next((tag for tag in known.tags.get(code, []) if tag.ended_on is None), None)


def objections_to_marking(entry: BatchMarking, known: Known) -> list[Objection]:
    """Return what is in the way of this mark on the fish of this batch."""
    found = objections_to_texts(entry)
    if entry.kind not in MARK_KINDS:
        text = f"“{entry.kind}” is not one of {', '.join(MARK_KINDS)}. Choose one."
        found.append(Objection("bad_kind", "kind", text, entry.kind))
    if entry.kind == "other" and not entry.detail.strip():
        found.append(Objection("missing_detail", "detail", "Say which mark it is: no kind of the list names it."))
    if entry.marked_on > known.today:
        found.append(_future("marked_on", entry.marked_on))
    batch = known.find_batch(entry.batch)
    if batch is None:
        return [*found, unknown_batch(entry.batch)]
    if batch.opened_on and entry.marked_on < batch.opened_on:
        return [*found, objection_before_start(batch, entry.marked_on).on("marked_on")]
    held = batch.balance(entry.marked_on) + sum(_gone_later_that_day(batch, entry.marked_on))
    if held <= 0:
        text = f"Batch {batch.number} holds no fish on {spoken(entry.marked_on)}. Correct the day or the batch."
        found.append(Objection("over_balance", "batch", text, entry.batch))
    elif entry.count is not None and not 0 < entry.count <= held:
        text = (
            f"Batch {batch.number} holds {held} fish on {spoken(entry.marked_on)}, so {entry.count} cannot have been "
            "marked. Correct the number, or leave it empty for all."
        )
        found.append(Objection("over_balance", "count", text, str(entry.count)))
    return found


def _gone_later_that_day(batch: KnownBatch, day: date) -> Iterable[int]:
    """Yield how many fish left on the day: they may have been marked in the morning. What was never there was not."""
    return (-m.change for m in batch.movements if m.moved_on == day and m.change < 0 and m.event != "census")
