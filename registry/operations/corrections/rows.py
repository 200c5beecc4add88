"""Which rows can be corrected, and the one operation that does it."""

from registry.models import (
    BatchMark,
    Capture,
    Check,
    FishDetails,
    HealthLook,
    MarkSearch,
    MiltLot,
    Record,
    ReleaseDetails,
    Stay,
    Tag,
    Transfer,
)
from registry.operations.corrections import of_care, of_fish, of_milt, of_young
from registry.operations.corrections.asked import Correctable, Correction, changed, objections_to_correction
from registry.operations.shared.desk import open_desk, refuse_if_any
from registry.operations.shared.stays import owner_of
from registry.permissions import CORRECT, Actor
from registry.queries.known import Named

DETAILS = (
    "species_id", "confidence", "hybrid", "stock_id", "sex", "origin", "caught_on", "caught_precision", "caught_at",
    "hatched_on", "hatched_precision", "left", "left_on", "left_precision", "left_note", "left_permit", "notes",
)  # fmt: skip
TAG = ("system", "code", "attached_on", "ended_on", "end_reason", "site", "known_by", "probability", "evidence")
RELEASE = ("place", "latitude", "longitude", "permit", "mark", "mean_mass_g", "notes")

KINDS: dict[type[Record], Correctable] = {
    FishDetails: Correctable(columns=DETAILS, named=of_fish.named_by_details, judge=of_fish.judge_details),
    Tag: Correctable(columns=TAG, named=of_fish.named_by_tag, judge=of_fish.judge_tag),
    Check: Correctable(
        columns=(*of_fish.CHECKED, "method"), named=of_fish.named_by_row_of_fish, judge=of_fish.judge_check
    ),
    Capture: Correctable(
        columns=of_care.CAPTURE,
        named=of_care.named_by_capture,
        judge=of_care.judge_capture,
        write=of_care.write_capture,
    ),
    MarkSearch: Correctable(columns=("looked", "found"), named=of_care.named_by_mark, judge=of_care.judge_mark),
    HealthLook: Correctable(columns=of_care.HEALTH, named=of_fish.named_by_row_of_fish, judge=of_care.judge_health),
    MiltLot: Correctable(
        columns=of_milt.LOT, named=of_milt.named_by_lot, judge=of_milt.judge_lot, write=of_milt.write_lot
    ),
    ReleaseDetails: Correctable(columns=RELEASE, named=lambda _entry: Named(), judge=of_young.judge_release),
    BatchMark: Correctable(
        columns=("kind", "detail", "marked_on", "count"),
        named=of_young.named_by_row_of_batch,
        judge=of_young.judge_mark_of_batch,
    ),
    Stay: Correctable(
        columns=("unit_id", "since", "until"),
        named=of_young.named_by_stay,
        judge=of_young.judge_stay_of,
        write=of_young.write_stay,
    ),
    Transfer: Correctable(
        columns=("count", "notes"),
        named=of_young.named_by_transfer,
        judge=of_young.judge_transfer,
        write=of_young.write_transfer,
    ),
}


def correct(by: Actor, entry: Correction, *, confirmed: bool = True) -> Record:
    """Withdraw a row and write the right one. Refused: no reason, nothing changed, or what the rules refuse."""
    record, kind = entry.record, KINDS[type(entry.record)]
    refuse_if_any(objections_to_correction(entry, kind.columns))
    row = changed(record, entry.changes)
    with open_desk(by, CORRECT, kind.named(entry)) as desk:
        refuse_if_any(kind.judge(entry, row, desk.known), confirmed)
        what = f"{record._meta.verbose_name} corrected"
        made = desk.door.open(what, _subject(record), reason=entry.reason, corrects=record.entry)
        if kind.write:
            return kind.write(desk, made, record, row)
        made.withdraw(record)
        return made.add(row)


def _subject(record: Record) -> str:
    if isinstance(record, Transfer):
        batch = record.from_account.batch or record.to_account.batch
        return f"batch {batch}" if batch else "ledger"
    if isinstance(record, ReleaseDetails):
        return f"release {record.release.number}"
    page, number = owner_of(record)
    return f"{page.replace('_', ' ')} {number}"
