"""What would become of every row of a sheet, judged by the rules of the operations; nothing is written.

Each accepted row is noted among what is known, so that later rows are judged as if it were in the register.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TypeVar

from registry.errors import Objection
from registry.journal.chain import ZEROS
from registry.models import ImportedRow, JournalEntry
from registry.queries.chunks import chunks
from registry.queries.known import Named, known
from registry.rules.known import fold
from registry.rules.reading import warning
from registry.rules.tags import TagCode, near_codes
from registry.sheets.cells import Cell, Ignored, Sheet
from registry.sheets.columns import Heading, headings_of, surplus, unused
from registry.sheets.kinds.batches import BATCHES
from registry.sheets.kinds.fish import FISH
from registry.sheets.kinds.measurements import MEASUREMENTS
from registry.sheets.kinds.openings import Openings, openings_for
from registry.sheets.kinds.releases import RELEASES
from registry.sheets.kinds.shared import ADDED, REFUSED, UNCHANGED, Book, Kind, Options, RowReader, Verdict, open_book
from registry.sheets.kinds.spawnings import SPAWNINGS
from registry.sheets.kinds.tags import TAGS

KINDS: dict[str, Kind] = {kind.name: kind for kind in (FISH, TAGS, SPAWNINGS, BATCHES, RELEASES, MEASUREMENTS)}
Item = TypeVar("Item")
Watch = Callable[[Sequence[Item], str], Iterable[Item]]


@dataclass(slots=True)
class Preview:
    """Every row's verdict in order of rows, and in `order` those that were judged, as they will be written.

    `head` is the hash of the journal's last entry when the register was asked.
    """

    kind: str
    sheet: str
    options: Options
    columns: list[Heading]
    rows: list[Verdict]
    ignored: tuple[Ignored, ...]
    remarks: list[Objection]
    head: str
    order: list[Verdict] = field(default_factory=list)
    openings: Openings = field(default_factory=Openings)

    def of(self, status: str) -> list[Verdict]:
        """Return the rows of one status: added, unchanged or refused."""
        return [row for row in self.rows if row.status == status]

    def heading(self, name: str) -> str:
        """Return the heading, as in the file, of one of our fields."""
        return next((column.text for column in self.columns if column.field == name), "")

    def cell(self, verdict: Verdict, name: str) -> Cell:
        """Return a row's cell of one of our fields."""
        place = next((column.index for column in self.columns if column.field == name), None)
        cells = verdict.row.cells
        return cells[place] if place is not None and place < len(cells) else None


def preview(
    sheet: Sheet,
    kind: str,
    options: Options,
    own: Mapping[str, str] | None = None,
    watch: Watch = lambda rows, _what: rows,
) -> Preview:
    """Return what would become of every row. `own` leads from a person's own headings to our fields.

    Raises Refused when the headings do not fit.
    """
    head = journal_head()
    columns = headings_of(kind, sheet.headings, own)
    what = KINDS[kind]
    places = {column.field: column for column in columns if column.field}
    readers = [RowReader(row, places, options.raw) for row in sheet.rows]
    named = Named()
    for reader in watch(readers, "looking up"):
        what.gather(reader, named)
    book = open_book(known(named, options.as_of), options)
    verdicts = [_read(what, reader, columns, book) for reader in watch(readers, "reading")]
    _leave_repeats(what, verdicts)
    found = Preview(kind, sheet.name, options, columns, verdicts, sheet.ignored, [], head)
    found.remarks = [*sheet.objections, *unused(columns)]
    _judge_all(what, found, book, watch)
    return found


def journal_head() -> str:
    """Return the hash of the journal's last entry."""
    return JournalEntry.objects.order_by("-seq").values_list("hash", flat=True).first() or ZEROS


def _read(what: Kind, reader: RowReader, columns: Sequence[Heading], book: Book) -> Verdict:
    draft = what.read(reader, book)
    verdict = Verdict(reader.row, founds=what.founds(reader))
    slipped = surplus(reader.row, columns)
    verdict.object([*reader.objections, *([slipped] if slipped else [])])
    if draft is not None:
        verdict.deed, verdict.entry, verdict.fields = draft.deed, draft.entry, draft.fields
        verdict.digest = reader.digest()
    if verdict.stopped:
        verdict.status = REFUSED
    if reader.row.hidden:
        message = "This row is hidden in the sheet. Look whether it was meant to be left out."
        verdict.object([warning("hidden_row", message).on(what.key)])
    return verdict


def _leave_repeats(what: Kind, verdicts: list[Verdict]) -> None:
    """Leave unchanged what was taken in before and what repeats an earlier row."""
    digests = {verdict.digest for verdict in verdicts if verdict.digest}
    before: dict[str, tuple[str, int]] = {}
    for part in chunks(digests):
        rows = ImportedRow.objects.current().filter(kind=what.name, digest__in=part)
        before |= {digest: (name, row) for digest, name, row in rows.values_list("digest", "file_name", "row")}
    first: dict[str, Verdict] = {}
    for verdict in verdicts:
        if verdict.status == REFUSED:
            continue
        earlier = first.setdefault(verdict.digest, verdict)
        if earlier is not verdict:
            message = f"This row repeats row {earlier.number} exactly; it changes nothing."
            verdict.object([warning("duplicate_row", message).on(what.key)])
        if earlier is not verdict or verdict.digest in before:
            verdict.status = UNCHANGED


def _judge_all(what: Kind, found: Preview, book: Book, watch: Watch) -> None:
    found.order = what.order(found.rows, book)
    if book.options.open_new:
        found.openings = openings_for(found.order, book)
    refused: dict[str, int] = {}
    for verdict in found.rows:
        _note_refused(verdict, refused)
    for verdict in watch(found.order, "judging"):
        _judge(what, verdict, found.openings, book, refused)
        _note_refused(verdict, refused)
    found.order = [verdict for verdict in found.order if verdict.status == ADDED]
    _tell_near_codes(found.order)


def _note_refused(verdict: Verdict, refused: dict[str, int]) -> None:
    if verdict.status == REFUSED and verdict.founds:
        refused.setdefault(fold(verdict.founds), verdict.number)


def _judge(what: Kind, verdict: Verdict, openings: Openings, book: Book, refused: Mapping[str, int]) -> None:
    assert verdict.deed is not None
    if book.options.open_new:
        openings.offer(verdict, book)
    objections = verdict.deed.judge(verdict.entry, book.known)
    verdict.object(_in_sheet(objection, what, verdict, refused) for objection in objections)
    verdict.status = REFUSED if verdict.stopped else ADDED
    if book.options.open_new:
        openings.keep(verdict, book, verdict.status == ADDED)
    if verdict.status == ADDED:
        verdict.deed.note(verdict.entry, book.known)


def _in_sheet(objection: Objection, what: Kind, verdict: Verdict, refused: Mapping[str, int]) -> Objection:
    """Hang an objection on the sheet's field; say of a missing number that its own row was refused."""
    placed = objection.on(verdict.fields.get(objection.field, objection.field) or what.key)
    row = refused.get(fold(objection.value)) if objection.value else None
    if row is None or row == verdict.number or objection.code not in ("unknown_parent", "unknown_batch"):
        return placed
    message = f"{objection.value} is in row {row}, which is refused. Mend that row first."
    code = "parent_refused" if objection.code == "unknown_parent" else objection.code
    return Objection(code, placed.field, message, objection.value)


def _tell_near_codes(rows: list[Verdict]) -> None:
    """Warn the earlier one, too, of two new codes that differ by one digit."""
    bearers: dict[TagCode, Verdict] = {}
    for verdict in rows:
        code = getattr(verdict.entry, "tag", None) or getattr(verdict.entry, "code", None)
        if isinstance(code, TagCode):
            bearers[code] = verdict
    for code, verdict in bearers.items():
        if not any(objection.code == "near_code" for objection in verdict.objections):
            continue
        for near in near_codes(code, bearers):
            message = (
                f"Code {near.code} differs by one digit from {code.code} in row {verdict.number}. Read it once more."
            )
            place = "tag" if hasattr(verdict.entry, "tag") else "code"
            bearers[near].object([warning("near_code", message, near.code).on(place)])
