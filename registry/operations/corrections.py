"""Corrections: a later entry that names what it corrects and why. The earlier row stays readable."""

from dataclasses import dataclass, field
from typing import Any

from django.core.exceptions import ValidationError

from registry.errors import Objection, Refused
from registry.journal.write import Entry
from registry.models import Check, FishDetails, ParentPair, Record, ReleaseDetails, Stay, Tag, Transfer
from registry.operations.shared.desk import Desk, open_desk, refuse_if_any
from registry.operations.shared.ledger import let_count_stand, order_of, put_in_order
from registry.operations.shared.stays import judge_stay, let_stay_before_end, owner_of, stay_before
from registry.permissions import CORRECT, Actor
from registry.queries.fish.ancestry import parts_played
from registry.queries.known import Named, day_of, learn
from registry.rules.fish import Admission, as_known, objections_to_facts
from registry.rules.intake.checks import Measurement, objections_to_measurement
from registry.rules.known import Known
from registry.rules.parents import objections_to_parents, objections_to_parts
from registry.rules.tagging import TagAttachment, objections_to_attachment
from registry.rules.tags import TagCode
from registry.rules.texts import objections_to_texts
from registry.rules.young.ledger import objections_to_taking
from registry.rules.young.releases import ReleaseMade, objections_to_circumstances

MAY_CHANGE: dict[type[Record], tuple[str, ...]] = {
    FishDetails: (
        "species_id", "confidence", "hybrid", "stock_id", "sex", "origin", "caught_on", "caught_precision", "caught_at",
        "hatched_on", "hatched_precision", "left", "left_on", "left_precision", "left_note", "left_permit", "notes",
    ),
    Tag: (
        "system", "code", "attached_on", "ended_on", "end_reason", "site", "known_by", "probability", "evidence"
    ),
    Check: (
        "checked_on", "total_length_mm", "fork_length_mm", "girth_mm", "mass_g", "sex_found", "stage", "method",
        "notes",
    ),
    ReleaseDetails: ("place", "latitude", "longitude", "permit", "mark", "mean_mass_g", "notes"),
    Stay: ("unit_id", "since", "until"),
    Transfer: ("count", "notes"),
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """What is wrong in a row, what it should be, and why. `record` is the row as it stands."""

    record: Record
    changes: dict[str, Any] = field(default_factory=dict)
    reason: str


def correct(by: Actor, entry: Correction, *, confirmed: bool = True) -> Record:
    """Withdraw a row and write the right one. Refused: no reason, nothing changed, or what the rules refuse."""
    record = entry.record
    refuse_if_any(_objections_to_correction(entry))
    with open_desk(by, CORRECT, _named(entry)) as desk:
        refuse_if_any(_judge(entry, desk.known), confirmed)
        what = f"{record._meta.verbose_name} corrected"
        made = desk.door.open(what, _subject(record), reason=entry.reason, corrects=record.entry)
        made.withdraw(record)
        if isinstance(record, Transfer):
            return _correct_transfer(desk, made, record, entry)
        row = _changed(record, entry.changes)
        if isinstance(row, Stay):
            let_stay_before_end(made, stay_before(record), row)
        return made.add(row)


def _objections_to_correction(entry: Correction) -> list[Objection]:
    found = objections_to_texts(entry)
    allowed = MAY_CHANGE.get(type(entry.record), ())
    if entry.record.withdrawn_id:
        found.append(Objection("withdrawn", "", "This was corrected already. Correct the later entry instead."))
    if not entry.reason.strip():
        found.append(
            Objection("no_reason", "reason", "Say why: the reason stands in the journal beside the correction.")
        )
    odd = [name for name in entry.changes if name not in allowed]
    found += [Objection("not_correctable", name, f"{name} of this kind of entry cannot be corrected.") for name in odd]
    if all(getattr(entry.record, name) == value for name, value in entry.changes.items()):
        found.append(Objection("nothing_changed", "", "Nothing is different from what stands. Change a figure first."))
    return found


def _changed(record: Record, changes: dict[str, Any]) -> Record:
    columns = {
        f.attname: getattr(record, f.attname)
        for f in record._meta.concrete_fields
        if f.name not in ("id", "entry", "withdrawn")
    }
    row = type(record)(**{**columns, **changes})
    told = {name for name, value in changes.items() if value not in (None, "")}
    untold = [f.name for f in row._meta.concrete_fields if f.attname not in told]
    try:
        row.clean_fields(exclude=untold)
    except ValidationError as error:
        raise Refused([Objection("bad_value", f, " ".join(m)) for f, m in error.message_dict.items()]) from error
    return row


def _subject(record: Record) -> str:
    if isinstance(record, Transfer):
        batch = record.from_account.batch or record.to_account.batch
        return f"batch {batch}" if batch else "ledger"
    if isinstance(record, ReleaseDetails):
        return f"release {record.release.number}"
    return " ".join(owner_of(record))


def _named(entry: Correction) -> Named:
    record = entry.record
    if isinstance(record, Transfer):
        batches = (record.from_account.batch, record.to_account.batch)
        return Named(batches={batch.number for batch in batches if batch})
    if isinstance(record, ReleaseDetails):
        return Named()
    if isinstance(record, Stay) and record.batch:
        return Named(batches={record.batch.number})
    named = Named(fish={record.fish.number}, near=isinstance(record, Tag))
    if isinstance(record, Tag):
        named.codes.add(str(entry.changes.get("code", record.code)))
    if isinstance(record, FishDetails) and record.family:
        named.families.add(record.family.number)
    return named


def _judge(entry: Correction, known: Known) -> list[Objection]:
    record = entry.record
    if isinstance(record, Transfer):
        return _judge_transfer(entry, record, known)
    row = _changed(record, entry.changes)
    if isinstance(row, ReleaseDetails):
        return _judge_release(row)
    if isinstance(row, Tag):
        return _judge_tag(row, record, known)
    if isinstance(row, Stay):
        return judge_stay(row, record, known)
    if isinstance(row, Check):
        return objections_to_measurement(
            Measurement(
                fish=record.fish.number,
                checked_on=row.checked_on,
                total_length_mm=row.total_length_mm,
                fork_length_mm=row.fork_length_mm,
                girth_mm=row.girth_mm,
                mass_g=row.mass_g,
                sex_found=row.sex_found,
                stage=row.stage,
                notes=row.notes,
            ),
            known,
        )
    return _judge_details(row, record, known)


def _judge_release(row: ReleaseDetails) -> list[Objection]:
    made = ReleaseMade(
        released_on=row.release.released_on,
        place=row.place,
        latitude=row.latitude,
        longitude=row.longitude,
        mean_mass_g=row.mean_mass_g,
    )
    return [o for o in objections_to_circumstances(made) if not o.warning]


def _judge_tag(row: Any, record: Any, known: Known) -> list[Objection]:
    code = TagCode(row.system, row.code)
    for tags in known.tags.values():
        tags[:] = [tag for tag in tags if tag.pk != record.pk]
    return objections_to_attachment(
        TagAttachment(
            fish=record.fish.number, code=code, attached_on=row.attached_on, ended_on=row.ended_on,
            known_by=row.known_by, probability=row.probability,
        ),
        known,
    )  # fmt: skip


def _judge_details(row: Any, record: Any, known: Known) -> list[Objection]:
    held = known.find_fish(row.fish.number)
    pairs = held.pairs if held else ()
    learn(known, Named(fish={n for p in pairs for n in (p.dam, p.sire) if n}))
    facts = Admission(
        number=row.fish.number,
        species=row.species.key if row.species_id else "",
        confidence=row.confidence,
        hybrid=row.hybrid,
        stock=row.stock.name if row.stock_id else "",
        sex=row.sex,
        origin=row.origin,
        caught=day_of(row.caught_on, row.caught_precision),
        hatched=day_of(row.hatched_on, row.hatched_precision),
        left=row.left,
        left_on=day_of(row.left_on, row.left_precision),
        pairs=pairs,
    )
    found = objections_to_facts(facts, known) + objections_to_parents(as_known(facts), known)
    found += objections_to_parts(as_known(facts), parts_played(row.fish_id))
    return found + (_objections_to_sex_of_a_parent(row) if row.sex != record.sex else [])


def _objections_to_sex_of_a_parent(row: Any) -> list[Objection]:
    role = {"F": "sire", "M": "dam"}.get(row.sex)
    if role is None or not ParentPair.objects.current().filter(**{role: row.fish_id}).exists():
        return []
    text = f"{row.fish.number} is on record as a {role}. Look again, or determine the parentage of its young anew."
    return [Objection("wrong_sex", "sex", text, row.sex, warning=True)]


def _judge_transfer(entry: Correction, record: Transfer, known: Known) -> list[Objection]:
    count = entry.changes.get("count", record.count)
    if record.event == Transfer.Event.CENSUS:
        return [Objection("not_correctable", "count", "A count is corrected by counting again: enter a new count.")]
    if count <= 0:
        text = f"{count} is not above zero. Give how many fish, as a whole number."
        return [Objection("negative", "count", text, str(count))]
    found: list[Objection] = []
    more = count - record.count
    for end, change in ((record.from_account.batch, -more), (record.to_account.batch, more)):
        batch = known.find_batch(end.number) if end else None
        if batch and change < 0:
            put_in_order(batch, record)
            found += objections_to_taking(batch, record.moved_on, -change, after=order_of(record))
    return found


def _correct_transfer(desk: Desk, made: Entry, record: Transfer, entry: Correction) -> Transfer:
    """Take the transfer back and book the right one; kept balances follow, and counts made after it stand."""
    count = entry.changes.get("count", record.count)
    ends = (record.from_account, record.to_account)
    made.move(ends[0], record.count - count)
    made.move(ends[1], count - record.count)
    for end, change in zip(ends, (record.count - count, count - record.count), strict=True):
        let_count_stand(desk, made, end, change, (record.moved_on, order_of(record)))
    columns = ("event", "moved_on", "stage", "method", "uncertainty", "release_id", "permit", "notes")
    more = {name: getattr(record, name) for name in columns}
    more |= {name: value for name, value in entry.changes.items() if name == "notes"}
    made.add(Transfer(from_account=ends[0], to_account=ends[1], count=count, **more))
    desk.door.write_rows()
    return Transfer.objects.filter(entry_id=made.seq, event=record.event).order_by("pk")[0]
