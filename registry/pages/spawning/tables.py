"""The list of spawnings."""

import django_tables2 as tables

from registry.models import Spawning
from registry.web.tables import DayColumn, LinkColumn, NumberColumn, RegisterTable


class SpawningTable(RegisterTable):
    """One row a night."""

    number = LinkColumn(page="spawning", verbose_name="Spawning")
    spawned_on = DayColumn(verbose_name="Night of")
    stock = tables.Column(accessor="stock__name", verbose_name="Stock")
    cross_count = NumberColumn(verbose_name="Crosses")
    female_count = NumberColumn(verbose_name="Females")
    male_count = NumberColumn(verbose_name="Males")
    water_c = NumberColumn(verbose_name="Water (°C)")

    last_order = "number"

    class Meta(RegisterTable.Meta):
        model = Spawning
        fields = ["number", "spawned_on", "stock", "cross_count", "female_count", "male_count", "water_c"]
        order_by = "-spawned_on"
        empty_text = "No spawning is in the register yet. Record one, or take in the hatchery's sheet of spawnings."
