"""Writes what a preview has shown: one transaction, all or nothing, each row through its own operation."""

from dataclasses import dataclass

from registry.errors import Objection, Refused
from registry.journal.upkeep import refresh_statistics
from registry.operations.catalogue import write_stock
from registry.operations.places import write_unit
from registry.operations.shared.desk import Desk, SheetRow, open_desk, refuse_if_any
from registry.permissions import IMPORT, Actor, require
from registry.queries.known import Named
from registry.sheets.kinds.shared import REFUSED, Verdict
from registry.sheets.preview import KINDS, Preview, Watch, journal_head

# From so many rows on the database looks at its tables anew.
MANY_ROWS = 500


@dataclass(frozen=True, slots=True)
class Taken:
    """How many rows were taken in, and the first and last journal entry that did it (0 when there was none)."""

    rows: int
    first: int = 0
    last: int = 0


def take_in(
    by: Actor,
    shown: Preview,
    file_name: str,
    *,
    accept_valid: bool = False,
    watch: Watch = lambda rows, _what: rows,
) -> Taken:
    """Take in the rows that a preview would add.

    Raises Refused when any row is refused (unless `accept_valid`), when the register has changed since the preview
    (code `changed`), or when the person may not do what a row does.
    """
    refused = shown.of(REFUSED)
    if refused and not accept_valid:
        message = f"{len(refused)} rows are refused, so nothing was taken in. Mend them, or take the good rows only."
        raise Refused(Objection("refused_rows", "", message))
    if not shown.order:
        return Taken(0)
    require(by, KINDS[shown.kind].permission)
    with open_desk(by, IMPORT, _named(shown.order), shown.options.as_of) as desk:
        if journal_head() != shown.head:
            message = "The register has changed since this preview. Look at the new preview, then take it in."
            raise Refused(Objection("changed", "", message))
        _open_new(desk, shown, file_name)
        for verdict in watch(shown.order, "writing"):
            _write(desk, verdict, shown.kind, file_name)
        first, last = desk.door.first, desk.door.first + len(desk.door.entries) - 1
    if len(shown.order) >= MANY_ROWS:
        refresh_statistics()
    return Taken(len(shown.order), first, last)


def _named(rows: list[Verdict]) -> Named:
    named = Named()
    for verdict in rows:
        assert verdict.deed is not None
        one = verdict.deed.named(verdict.entry)
        named.fish |= one.fish
        named.families |= one.families
        named.batches |= one.batches
        named.codes |= one.codes
        named.near |= one.near
        named.plans |= one.plans
    return named


def _open_new(desk: Desk, shown: Preview, file_name: str) -> None:
    for stock in shown.openings.stocks:
        write_stock(desk, stock, f"import: {file_name}")
    for unit in shown.openings.units:
        write_unit(desk, unit, f"import: {file_name}")


def _write(desk: Desk, verdict: Verdict, kind: str, file_name: str) -> None:
    assert verdict.deed is not None
    refuse_if_any(verdict.deed.judge(verdict.entry, desk.known))
    desk.row = SheetRow(kind, verdict.digest, file_name, verdict.number)
    verdict.deed.write(desk, verdict.entry)
