"""The base table: one class is the page, the file and the print."""

from collections.abc import Iterator
from datetime import date, datetime
from typing import Any

import django_tables2 as tables
from django.utils import timezone
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

from registry.rules.days import DAY, MONTH, YEAR, Day, spoken
from registry.web.cells import markup_of, value_of
from registry.web.links import address

MISSING = "–"


class RegisterTable(tables.Table):
    """A table of records. A subclass names its columns, and in `last_order` the path to the register number.

    Whatever the person sorts by, rows that tie are ordered by `last_order`, so that no page skips or repeats a row.
    """

    last_order = "pk"

    class Meta:
        attrs = {"class": "register"}

    def __init__(self, *args: Any, **options: Any) -> None:
        # A subclass's own Meta does not inherit this one's, so what every table says when empty is set here.
        super().__init__(*args, **{"default": MISSING} | options)
        self.empty_text = self.empty_text or "Nothing is in the register here yet."

    @tables.Table.order_by.setter
    def order_by(self, value: Any) -> None:
        asked = value.split(",") if isinstance(value, str) else value or ()
        # An address may name anything; only columns are sorted by.
        tables.Table.order_by.fset(self, [name for name in asked if str(name).lstrip("-") in self.base_columns])
        data = self.data.data
        if hasattr(data, "query"):
            chosen = data.query.order_by or ()
            if self.last_order not in {str(part).lstrip("-") for part in chosen}:
                self.data.data = data.order_by(*chosen, self.last_order)

    def headings(self) -> list[str]:
        """Return the headings of the exported columns, units included."""
        return [str(column.header) for column in self._exported()]

    def exported_rows(self) -> Any:
        """Yield the values of every filtered row: dates as dates, numbers as numbers, missing as None."""
        cells = [value_of(self, column) for column in self._exported()]
        data = self.data.data
        for record in data.iterator(chunk_size=2000) if hasattr(data, "iterator") else data:
            row = tables.rows.BoundRow(record, table=self)
            yield [cell(record, row) for cell in cells]

    def body(self) -> Iterator[SafeString]:
        """Yield each row of the page as markup; the template's own loops would cost as much as all the rest."""
        cells = [markup_of(self, column) for column in self.columns]
        for row in self.paginated_rows:
            inside = "".join([cell(row.record, row) for cell in cells])
            yield mark_safe(f"<tr>{inside}</tr>")  # noqa: S308  (each cell is escaped)

    def _exported(self) -> list[Any]:
        return [column for column in self.columns.iterall() if not column.column.exclude_from_export]


class NumberColumn(tables.Column):
    """A number: right-aligned, tabular figures. Its unit stands in the heading: "Length (mm)"."""

    def __init__(self, *args: Any, **options: Any) -> None:
        options.setdefault("attrs", {"th": {"class": "n"}, "td": {"class": "n"}})
        super().__init__(*args, **options)


class DayColumn(tables.Column):
    """A day as far as it is known; `precision` is the record's column that says how far.

    On pages 3 May 2026, May 2008 or 2008; in files ISO: 2026-05-03, 2008-05 or 2008.
    """

    def __init__(self, *args: Any, precision: str = "", **options: Any) -> None:
        options.setdefault("attrs", {"td": {"class": "day"}})
        super().__init__(*args, **options)
        self.precision = tables.A(precision) if precision else None

    def _known(self, record: Any) -> str:
        return (self.precision.resolve(record, quiet=True) if self.precision else "") or DAY

    def render(self, value: date, record: Any) -> str:
        return str(Day(value, self._known(record)))

    def value(self, value: date, record: Any) -> date | str:
        known = self._known(record)
        return {YEAR: f"{value:%Y}", MONTH: f"{value:%Y-%m}"}.get(known, value)


class TimeColumn(tables.Column):
    """A moment: 3 May 2026, 14:05 on pages, ISO with its zone in files."""

    def render(self, value: datetime) -> str:
        here = timezone.localtime(value)
        return f"{spoken(here.date())}, {here:%H:%M}"

    def value(self, value: datetime) -> str:
        return timezone.localtime(value).isoformat(timespec="seconds")


class LinkColumn(tables.Column):
    """A record by its number, leading to its page (`page` is the address's name)."""

    def __init__(self, *args: Any, page: str, **options: Any) -> None:
        options.setdefault("attrs", {"td": {"class": "number"}})
        super().__init__(*args, **options)
        self.page = page

    def render(self, value: Any) -> SafeString | str:
        target = address(self.page, value)
        return format_html('<a href="{}">{}</a>', target, value) if target else str(value)

    def value(self, value: Any) -> str:
        return str(value)


class ItalicColumn(tables.Column):
    """A scientific name, in italics."""

    def render(self, value: Any) -> SafeString:
        return format_html("<i>{}</i>", value)

    def value(self, value: Any) -> str:
        return str(value)
