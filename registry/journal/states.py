"""The state of a record as canonical values: what the journal writes down and what verification reads back."""

import hashlib
from collections.abc import Sequence
from datetime import date, datetime
from decimal import Decimal
from functools import cache
from typing import Any

from django.apps import apps
from django.db import models

from registry.journal import chain
from registry.models import Account, Record

# Kept for speed and recomputed by verify_journal; not part of what the journal says.
KEPT: dict[type[Record], frozenset[str]] = {Account: frozenset({"balance"})}


@cache
def record_models() -> dict[str, type[Record]]:
    """Return every kind of record by the name under which the journal knows it, parents before children."""
    found = {m._meta.model_name: m for m in apps.get_app_config("registry").get_models() if issubclass(m, Record)}
    named = frozenset(found.values())
    ordered: dict[str, type[Record]] = {}

    def place(name: str) -> None:
        if name in ordered:
            return
        for field in found[name]._meta.concrete_fields:
            if field.is_relation and field.related_model in named and field.related_model is not found[name]:
                place(field.related_model._meta.model_name)
        ordered[name] = found[name]

    for name in sorted(found):
        place(name)
    return ordered


@cache
def columns(model: type[Record]) -> tuple[models.Field, ...]:
    """Return the columns whose values the journal holds, in the order of the table."""
    kept = KEPT.get(model, frozenset())
    return tuple(field for field in model._meta.concrete_fields if field.attname not in kept)


def plain(field: models.Field, value: Any) -> Any:
    """Return one column's value as canonical JSON holds it: the same before saving and after reading back."""
    if value is None or isinstance(value, bool):
        return value
    if isinstance(field, models.DecimalField):
        return f"{Decimal(value):.{field.decimal_places}f}"
    if isinstance(value, datetime):
        return chain.moment(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, int):
        return int(value)
    return str(value)


def state(record: Record) -> dict[str, Any]:
    """Return the record's values by column, empty ones left out, so that a column added later changes no old state."""
    return row_state(type(record), [getattr(record, field.attname) for field in columns(type(record))])


def row_state(model: type[Record], row: Sequence[Any]) -> dict[str, Any]:
    """Return the same for a row read as a tuple of `columns(model)`."""
    values = zip(columns(model), row, strict=True)
    return {field.attname: plain(field, value) for field, value in values if not _empty(value)}


def _empty(value: Any) -> bool:
    return value is None or value is False or value == ""


def digest(values: dict[str, Any]) -> bytes:
    """Return 16 bytes that stand for a record's state."""
    return hashlib.blake2b(chain.canonical(values).encode(), digest_size=16).digest()
