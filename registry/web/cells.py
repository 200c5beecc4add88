"""A table's cells, fast: what django-tables2 finds out anew for every cell is found out once for each column here."""

from collections.abc import Callable
from operator import attrgetter
from typing import Any

import django_tables2 as tables
from django.db import models
from django.utils.html import conditional_escape
from django_tables2.utils import signature

# (record, its BoundRow) → what the cell holds; None when it is missing
Cell = Callable[[Any, Any], Any]


def markup_of(table: tables.Table, column: Any) -> Cell:
    """Return what gives one column's cell as markup, escaped."""
    kind = (column.column.attrs.get("td") or {}).get("class", "")
    start = f'<td class="{conditional_escape(kind)}">' if kind else "<td>"
    missing = conditional_escape(column.default)
    plain = table.data.model if hasattr(table.data, "model") and not column.link else None
    shown = _cell(table, column, column.render, plain) or (lambda _record, row: row.get_cell(column.name))

    def markup(record: Any, row: Any) -> str:
        held = shown(record, row)
        return f"{start}{missing if held is None or held == '' else conditional_escape(held)}</td>"

    return markup


def value_of(table: tables.Table, column: Any) -> Cell:
    """Return what gives one column's cell as a value for a file."""
    say = column.value
    if getattr(say, "__func__", None) is tables.Column.value:  # which only calls render
        say = column.column.render
    held = _cell(table, column, say, getattr(table.data, "model", None))
    return held or (lambda _record, row: row.get_cell_value(column.name))


def _cell(table: tables.Table, column: Any, say: Callable[..., Any], model: type[models.Model] | None) -> Cell | None:
    """Return what reads a record's field and lets the column say it; None where only django-tables2 knows how."""
    wanted, catch_all = signature(say)
    if model is None or catch_all or "bound_row" in wanted:
        return None
    read, empty = _reader(column, model), column.column.empty_values
    given = {"table": table, "column": column.column, "bound_column": column}
    fixed = {name: given[name] for name in wanted if name in given}
    takes_value, takes_record = "value" in wanted, "record" in wanted

    def cell(record: Any, _row: Any) -> Any:
        value = read(record)
        if value in empty:
            return None
        more = {"value": value} if takes_value else {}
        if takes_record:
            more["record"] = record
        return say(**fixed, **more)

    return cell


def _reader(column: Any, model: type[models.Model]) -> Callable[[Any], Any]:
    """Return what reads a column's value from a record; a field with choices gives its label."""
    bits = tables.A(column.accessor).bits
    field = tables.A(column.accessor).get_field(model)
    if getattr(field, "choices", None) and field.name == bits[-1]:
        bits = [*bits[:-1], f"get_{bits[-1]}_display"]
    get = attrgetter(".".join(bits))

    def read(record: Any) -> Any:
        try:
            value = get(record)
        except AttributeError:  # a missing link on the way, or a column that only renders
            return None
        return value() if callable(value) else value

    return read
