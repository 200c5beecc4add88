"""The list of families."""

from typing import Any

from registry.models import Family
from registry.web.tables import DayColumn, LinkColumn, NumberColumn, RegisterTable, tables


class FamilyTable(RegisterTable):
    """Every family, with its parents as they are known now."""

    number = LinkColumn(page="family", verbose_name="Family")
    stock = tables.Column(accessor="stock__name", verbose_name="Stock")
    parents_now = tables.Column(verbose_name="Parents", orderable=False)
    evidence = tables.Column(accessor="parents_now", verbose_name="Evidence", orderable=False)
    spawned_on = DayColumn(verbose_name="First cross")
    made = NumberColumn(verbose_name="Crosses")
    young = NumberColumn(verbose_name="Fish registered")
    last_order = "number"

    class Meta(RegisterTable.Meta):
        model = Family
        fields = ("number", "stock", "parents_now", "evidence", "spawned_on", "made", "young")
        order_by = ("number",)
        empty_text = "No family fits. Families are opened when a spawning is entered."

    def render_parents_now(self, value: Any) -> str:
        return in_words(value[0].parentage.pairs.all()) if value else ""

    def value_parents_now(self, value: Any) -> str | None:
        return self.render_parents_now(value) or None

    def render_evidence(self, value: Any) -> str:
        return value[0].parentage.get_basis_display() if value else ""

    def value_evidence(self, value: Any) -> str | None:
        return self.render_evidence(value) or None


def in_words(pairs: Any) -> str:
    """Return ♀ F1 × ♂ M1, or each possible pair with its probability."""
    named = list(pairs)
    if len(named) == 1:
        return _pair(named[0])
    return "; ".join(f"{_pair(pair)} ({float(pair.probability):.3g})" for pair in named)


def _pair(pair: Any) -> str:
    return f"♀ {pair.dam or 'unknown'} × ♂ {pair.sire or 'unknown'}"
