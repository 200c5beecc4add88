"""The living in order of mean kinship."""

from typing import Any

import django_tables2 as tables

from breeding.planning.reasons import figure
from registry.web.tables import DayColumn, LinkColumn, NumberColumn, RegisterTable


class LivingTable(RegisterTable):
    """One living fish a row; rows come in their order, page by page."""

    place = NumberColumn(verbose_name="Place")
    number = LinkColumn(accessor="details__fish__number", page="fish", verbose_name="Fish")
    sex = tables.Column(accessor="details__get_sex_display", verbose_name="Sex")
    hatched = DayColumn(accessor="details__hatched_on", precision="details__hatched_precision", verbose_name="Hatched")
    family = LinkColumn(accessor="details__family__number", page="family", verbose_name="Family")
    inbreeding = NumberColumn(verbose_name="F")
    mean_kinship = NumberColumn(verbose_name="Mean kinship")

    class Meta(RegisterTable.Meta):
        fields = ["place", "number", "sex", "hatched", "family", "inbreeding", "mean_kinship"]
        orderable = False
        empty_text = "No living fish of this sex is in the stock."

    def render_inbreeding(self, value: float) -> str:
        return figure(value)

    def value_inbreeding(self, value: float) -> float:
        return value

    def render_mean_kinship(self, value: float) -> str:
        return figure(value, 5)

    def value_mean_kinship(self, value: Any) -> float:
        return float(value)
