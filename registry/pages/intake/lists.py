"""Lists: quarantines and samples."""

from typing import Any

import django_filters
from django.db.models import QuerySet

from registry.models import HoldingUnit, Quarantine, TissueSample
from registry.permissions import ADMINISTER, END_QUARANTINE, ENTER
from registry.queries.intake.holds import quarantine_rows
from registry.web.filters import ChoiceFilter, DateRangeFilter, RegisterFilters, TextFilter
from registry.web.links import address
from registry.web.lists import RegisterList
from registry.web.tables import DayColumn, ItalicColumn, LinkColumn, RegisterTable, tables

OPEN, ENDED = "open", "ended"


class QuarantineTable(RegisterTable):
    """Every quarantine, those not ended first."""

    fish = LinkColumn(page="fish", accessor="fish__number", verbose_name="Fish")
    batch = LinkColumn(page="batch", accessor="batch__number", verbose_name="Batch")
    species = ItalicColumn(accessor="species_name", verbose_name="Species")
    unit = LinkColumn(page="unit", accessor="unit__name", verbose_name="Began in")
    since = DayColumn(verbose_name="Since")
    until = DayColumn(verbose_name="Ended by the veterinarian")
    released_by = tables.Column(verbose_name="Veterinarian")
    findings = tables.Column()
    reason = tables.Column(verbose_name="Why")

    class Meta(RegisterTable.Meta):
        model = Quarantine
        fields = ("fish", "batch", "species", "unit", "since", "reason", "until", "released_by", "findings")
        order_by = ("-since",)
        empty_text = "Nothing was in quarantine. Loosen a filter, or take a fish in."


class QuarantineFilters(RegisterFilters):
    """What the list of quarantines can be narrowed by."""

    fish = TextFilter(field_name="fish__number", label="Fish")
    batch = TextFilter(field_name="batch__number", label="Batch")
    state = ChoiceFilter(
        method="by_state", choices=[(OPEN, "Not ended"), (ENDED, "Ended by the veterinarian")], label="State"
    )
    unit = django_filters.ModelChoiceFilter(
        queryset=lambda _request: HoldingUnit.objects.current(), empty_label="any", label="Unit"
    )

    class Meta:
        model = Quarantine
        fields = ()

    def by_state(self, rows: QuerySet, _name: str, state: str) -> QuerySet:
        return rows.filter(until__isnull=state == OPEN) if state in (OPEN, ENDED) else rows


class QuarantineList(RegisterList):
    """Every quarantine."""

    table_class = QuarantineTable
    filter_class = QuarantineFilters
    title = "Quarantine"
    intro = "What is in quarantine is not crossed, released or moved among others until the veterinarian ends it."
    actions = (
        ("Take a fish in", "fish_arrive", ENTER),
        ("Put into quarantine", "quarantine_start", ENTER),
        ("The veterinarian's release", "quarantine_release", END_QUARANTINE),
        ("Mark a unit", "quarantine_unit", ADMINISTER),
    )

    def rows(self) -> QuerySet:
        return quarantine_rows()


class SampleTable(RegisterTable):
    """Every sample that stands."""

    label = tables.Column(verbose_name="Number")
    fish = LinkColumn(page="fish", accessor="fish__number", verbose_name="Fish")
    kind = tables.Column()
    taken_on = DayColumn(verbose_name="Taken on")
    stored_at = tables.Column(verbose_name="Tube")
    second_tube = tables.Column(verbose_name="Second tube")

    class Meta(RegisterTable.Meta):
        model = TissueSample
        fields = ("label", "fish", "kind", "taken_on", "stored_at", "second_tube")
        order_by = ("-taken_on",)
        empty_text = "No sample fits. Loosen a filter, or enter a sample that was taken."


class SampleFilters(RegisterFilters):
    """What the list of samples can be narrowed by."""

    label = TextFilter(label="Number")
    fish = TextFilter(field_name="fish__number", label="Fish")
    kind = ChoiceFilter(choices=TissueSample.Kind.choices, label="Kind")
    stored_at = TextFilter(label="Where the tube is")
    taken = DateRangeFilter(field_name="taken_on", label="Taken")

    class Meta:
        model = TissueSample
        fields = ()


class SampleList(RegisterList):
    """Every sample."""

    table_class = SampleTable
    filter_class = SampleFilters
    title = "Samples"
    actions = (("Enter a sample", "sample_enter", ENTER), ("Send a sample", "sample_send", ENTER))

    def rows(self) -> QuerySet:
        return TissueSample.objects.current().select_related("fish")

    def context(self) -> dict[str, Any]:
        """Return the buttons, with the labels of the list as it is filtered."""
        target = f"{address('sample_labels')}?{self.request.GET.urlencode()}"
        labels = {"label": "Print labels of these", "address": target}
        return {"actions": [*self._buttons(), labels]}
