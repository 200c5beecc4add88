"""An uploaded sheet read, and its preview as the pages show it, kept while neither sheet nor register changes."""

from dataclasses import dataclass
from datetime import datetime, time

from django.core.cache import cache

from registry.errors import Objection, Refused
from registry.models import Species
from registry.operations.catalogue import load_catalogue
from registry.pages.sheets.store import Upload
from registry.permissions import ADMINISTER, Actor, may
from registry.rules.reading import shown
from registry.sheets.cells import Cell, Sheet, is_blank
from registry.sheets.columns import knows
from registry.sheets.kinds.shared import ADDED, REFUSED, UNCHANGED, Verdict
from registry.sheets.preview import Preview, journal_head, preview
from registry.sheets.read import read_sheet

MOST_ROWS = 20_000
_KEPT_SECONDS = 3600


@dataclass(frozen=True, slots=True)
class Line:
    """One row as shown: cells of the used columns, and what is to be said, with heading and whether it stops."""

    number: int
    status: str
    cells: tuple[tuple[str, bool], ...]
    said: tuple[tuple[str, str, bool], ...]


@dataclass(frozen=True, slots=True)
class Shown:
    """A preview as shown."""

    headings: tuple[str, ...]
    lines: tuple[Line, ...]
    remarks: tuple[str, ...]
    left_out: int
    head: str

    def of(self, which: str) -> list[Line]:
        """Return the lines of a status, those `warned`, or all."""
        if which == "warned":
            return [line for line in self.lines if line.status != REFUSED and line.said]
        return [line for line in self.lines if line.status == which] if which else list(self.lines)

    def counts(self) -> dict[str, int]:
        """Return how many rows there are of each sort."""
        return {which: len(self.of(which)) for which in (ADDED, UNCHANGED, REFUSED, "warned", "")}


def sheet_of(upload: Upload) -> Sheet:
    """Return the sheet; where no heading is known, the row with most texts is taken for the headings."""
    chosen = upload.sheet or None
    try:
        return read_sheet(upload.path, upload.name, knows(upload.kind, upload.columns), chosen)
    except Refused as refused:
        if refused.objections[0].code != "no_heading":
            raise
    return read_sheet(upload.path, upload.name, lambda text: 0 < len(text.strip()) <= 100, chosen)


def preview_of(upload: Upload, who: Actor) -> Preview:
    """Return what would become of every row. Raises Refused when the sheet as a whole cannot be taken."""
    sheet = sheet_of(upload)
    if len(sheet.rows) > MOST_ROWS:
        message = (
            f"The sheet has {len(sheet.rows)} rows; this page takes up to {MOST_ROWS}. Split it, or have it taken in "
            "on the register's machine with the command import_sheet."
        )
        raise Refused(Objection("too_large", "", message))
    return preview(sheet, upload.kind, upload.options(who), upload.columns)


def need_catalogue(who: Actor) -> None:
    """Load the species catalogue of a new register, or say who can."""
    if Species.objects.exists():
        return
    if not may(who, ADMINISTER):
        message = "The species catalogue is not loaded yet. Ask the administrator to take in the first sheet."
        raise Refused(Objection("no_catalogue", "", message))
    load_catalogue(who)


def shown_of(upload: Upload, who: Actor) -> Shown:
    """Return the preview as shown, from the cache if neither sheet nor register has changed."""
    stamp = repr((upload.content, upload.kind, upload.sheet, upload.columns, upload.options(who), journal_head()))
    held = cache.get(f"sheet:{upload.token}")
    if held and held[0] == stamp:
        kept: Shown = held[1]
        return kept
    made = as_shown(preview_of(upload, who))
    cache.set(f"sheet:{upload.token}", (stamp, made), _KEPT_SECONDS)
    return made


def as_shown(found: Preview) -> Shown:
    """Return a preview as shown."""
    used = [column for column in found.columns if column.field]
    return Shown(
        headings=tuple(column.text for column in used),
        lines=tuple(_line(found, verdict) for verdict in found.rows),
        remarks=tuple(objection.message for objection in found.remarks),
        left_out=sum(1 for one in found.ignored if one.why == "totals"),
        head=found.head,
    )


def _line(found: Preview, verdict: Verdict) -> Line:
    marked = {objection.field for objection in verdict.objections}
    cells = tuple((cell_text(found.cell(verdict, c.field)), c.field in marked) for c in found.columns if c.field)
    said = tuple((found.heading(o.field), o.message, not o.warning) for o in verdict.objections)
    return Line(verdict.number, verdict.status, cells, said)


def cell_text(cell: Cell) -> str:
    """Return a cell as it stands on a page; a day without its midnight."""
    if isinstance(cell, datetime) and cell.time() == time.min:
        return cell.date().isoformat()
    return "" if is_blank(cell) else shown(cell)
