"""The list of batches: page, file and print."""

from functools import cached_property

from registry.models import Batch
from registry.queries.composition import shares_on
from registry.rules.young.ledger import UNKNOWN_FAMILY
from registry.web.tables import DayColumn, LinkColumn, NumberColumn, RegisterTable, tables

MOST_NAMED = 4


class BatchTable(RegisterTable):
    """Every batch, as it stands by the book."""

    number = LinkColumn(page="batch", verbose_name="Batch")
    stock = tables.Column(accessor="stock__name", verbose_name="Stock")
    opened_on = DayColumn(verbose_name="Opened")
    unit = tables.Column(verbose_name="Unit")
    count = NumberColumn(accessor="account__balance", verbose_name="Fish now")
    families = tables.Column(accessor="pk", orderable=False, verbose_name="Families")
    counted_on = DayColumn(verbose_name="Last counted")
    last_order = "number"

    class Meta(RegisterTable.Meta):
        model = Batch
        fields = ("number", "stock", "opened_on", "unit", "count", "families", "counted_on")
        order_by = ("-opened_on",)
        empty_text = "No batch fits. Loosen a filter, or open the first batch from its family's young."

    @cached_property
    def _shares(self) -> dict[str, list[str]]:
        """Families of every batch shown, the largest share first: asked once for the page or the whole file."""
        rows = self.paginated_rows if getattr(self, "page", None) else self.rows
        shares = shares_on((row.record.number, None) for row in rows)
        return {number: sorted(held, key=lambda f: (-held[f], f)) for (number, _), held in shares.items()}

    def _families(self, record: Batch) -> list[str]:
        return [family if family != UNKNOWN_FAMILY else "not known" for family in self._shares[record.number]]

    def render_families(self, record: Batch) -> str:
        """Return the first few families and how many more there are."""
        names = self._families(record)
        more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
        return ", ".join(names[:MOST_NAMED]) + more or "–"

    def value_families(self, record: Batch) -> str:
        """Return all families."""
        return "; ".join(self._families(record))
