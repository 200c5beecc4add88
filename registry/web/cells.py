"""A table's cells, fast: what django-tables2 finds out anew for every cell is found out once for each column here."""

from collections.abc import Callable
from operator import attrgetter
from typing import Any

import django_tables2 as tables
from django.db import models
from django.utils.html import conditional_escape
from django_tables2.utils import signature

Read = Callable[[Any], Any]


def markup_of(table: tables.Table, column: Any) -> Callable[[Any, Any], str]:
    """Return a function of (record, row) that gives one column's cell as markup, escaped."""
    kind = (column.column.attrs.get("td") or {}).get("class", "")
    start = f'<td class="{conditional_escape(kind)}">' if kind else "<td>"
    wanted, _ = signature(column.render)
    model = getattr(table.data, "model", None)
    empty, default = column.column.empty_values, column.default
    if model is None or column.link or "bound_row" in wanted:
        return lambda _record, row: f"{start}{conditional_escape(_or(row.get_cell(column.name), default))}</td>"
    read = _reader(column, model)
    given = {"table": table, "column": column.column, "bound_column": column}
    fixed = {name: given[name] for name in wanted if name in given}
    takes_record = "record" in wanted
    takes_value = "value" in wanted

    def cell(record: Any, _row: Any) -> str:
        value = read(record)
        if value in empty:
            return f"{start}{conditional_escape(default)}</td>"
        more = {"value": value} if takes_value else {}
        if takes_record:
            more["record"] = record
        return f"{start}{conditional_escape(_or(column.render(**fixed, **more), default))}</td>"

    return cell


def _reader(column: Any, model: type[models.Model]) -> Read:
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


def _or(cell: Any, default: Any) -> Any:
    return default if cell is None or cell == "" else cell
