"""A sheet of tags put in, lost and replaced, and of codes met on a second fish and set aside."""

from datetime import date

from registry.operations.identity.set_aside import SETTING_ASIDE
from registry.operations.tags import ATTACHMENT
from registry.queries.known import Named
from registry.rules.identity.set_aside import CodeAside
from registry.rules.tagging import TagAttachment
from registry.sheets.dates import read_day
from registry.sheets.kinds.shared import Book, Draft, Kind, RowReader, by_row, nothing, spelt
from registry.sheets.values import read_id, read_key, read_text
from registry.sheets.words import read_tag_end

ASIDE_FIELDS = {"read_on": "put_in", "reason": "aside"}
FIELDS = {"attached_on": "put_in", "ended_on": "taken_out", "end_reason": "why"}
_ENDS = {"dead tag": "dead", "fish died": "fish left", "released": "fish left"}


def _gather(row: RowReader, named: Named) -> None:
    named.fish |= spelt([read_id(row.cell("fish")).value])
    if code := row.tag("code").value:
        named.codes.add(code.code)
        named.near = True


def _read(row: RowReader, book: Book) -> Draft | None:
    fish = row.take("fish", read_key(row.cell("fish"), book.fish))
    code = row.take("code", row.tag("code"))
    put_in, taken_out = (
        row.take(name, read_day(row.cell(name), book.options.as_of, book.options.date_order))
        for name in ("put_in", "taken_out")
    )
    why = row.take("why", read_tag_end(row.cell("why")))
    evidence = row.take("evidence", read_text(row.cell("evidence")))
    notes = row.take("notes", read_text(row.cell("notes")))
    aside = row.take("aside", read_text(row.cell("aside")))
    if row.blank("put_in"):
        row.refuse("bad_date", "put_in", "The day on which the tag was put in is missing. Enter it, or the year.")
    if why and row.blank("taken_out"):
        row.refuse("bad_date", "taken_out", f"The tag is noted as {why}, but not on which day. Enter the day.")
    if row.refused:
        return None
    if aside:
        return Draft(SETTING_ASIDE, CodeAside(fish=fish, code=code, read_on=put_in.first, reason=aside), ASIDE_FIELDS)
    ended: date | None = taken_out.first if taken_out else None
    entry = TagAttachment(
        fish=fish,
        code=code,
        attached_on=put_in.first,
        ended_on=ended,
        end_reason=_ENDS.get(why, why) if why else "removed" if ended else "",
        evidence="; ".join(part for part in (evidence, notes) if part),
    )
    return Draft(ATTACHMENT, entry, FIELDS)


TAGS = Kind("tags", "code", _gather, _read, nothing, by_row)
