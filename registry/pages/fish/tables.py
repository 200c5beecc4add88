"""The list of fish: page, file and print."""

from datetime import date
from typing import Any

from registry.models import FishDetails, Left
from registry.rules.days import Day
from registry.web.tables import DayColumn, ItalicColumn, LinkColumn, RegisterTable, tables


class CodeColumn(tables.Column):
    """A tag code in groups of three, for reading aloud; in files as it stands."""

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.attrs = {"td": {"class": "code"}}

    def render(self, value: str) -> str:
        step = 3 if len(value) == 15 else 5
        return "\N{NO-BREAK SPACE}".join(value[at : at + step] for at in range(0, len(value), step))

    def value(self, value: str) -> str:
        return value


class StatusColumn(tables.Column):
    """Living, or how and when the fish left."""

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **{"accessor": "left", "empty_values": (), "verbose_name": "Status"} | options)

    def render(self, record: Any) -> str:
        return status(record.left, record.left_on, record.left_precision)

    def value(self, record: Any) -> str:
        return record.get_left_display() or "Living"


class FishTable(RegisterTable):
    """Every fish, as it is known now."""

    number = LinkColumn(accessor="fish__number", page="fish", verbose_name="Fish")
    species = ItalicColumn(accessor="species__scientific_name", verbose_name="Species")
    stock = tables.Column(accessor="stock__name", verbose_name="Stock")
    sex = tables.Column()
    origin = tables.Column()
    hatched_on = DayColumn(precision="hatched_precision", verbose_name="Hatched")
    code = CodeColumn(verbose_name="Active tag")
    family = LinkColumn(accessor="family__number", page="family", verbose_name="Family")
    unit = tables.Column(verbose_name="Unit")
    left = StatusColumn()
    last_order = "fish__number"

    class Meta(RegisterTable.Meta):
        model = FishDetails
        fields = ("number", "species", "stock", "sex", "origin", "hatched_on", "code", "family", "unit", "left")
        order_by = ("number",)
        empty_text = "No fish fits. Loosen a filter, or admit the first fish."


def status(left: str, left_on: date | None, precision: str) -> str:
    """Return Living, or Died 3 May 2019."""
    if not left:
        return "Living"
    return f"{Left(left).label} {Day(left_on, precision or 'day')}" if left_on else Left(left).label
