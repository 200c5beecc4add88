"""What the lists of releases and recaptures can be narrowed by."""

import django_filters
from django.db.models import Q, QuerySet

from registry.models import Recapture, ReleaseDetails
from registry.web.filters import ChoiceFilter, DateRangeFilter, RegisterFilters, TextFilter

LACKING = [("permit", "Permit number"), ("position", "Position")]


class ReleaseFilters(RegisterFilters):
    """Number, days, place, permit, mark, what is missing."""

    number = TextFilter(field_name="release__number", label="Release number")
    released_on = DateRangeFilter(field_name="release__released_on", label="Released")
    place = TextFilter(label="Place")
    batch = django_filters.CharFilter(
        field_name="release__transfers__from_account__batch__number", lookup_expr="iexact", label="From batch",
        distinct=True,
    )  # fmt: skip
    permit = TextFilter(label="Permit")
    mark = TextFilter(label="Batch mark")
    lacks = ChoiceFilter(method="by_lack", choices=LACKING, label="Missing", empty_label="whatever")

    class Meta:
        model = ReleaseDetails
        fields = ()

    def by_lack(self, rows: QuerySet, _name: str, lack: str) -> QuerySet:
        return rows.filter(permit="") if lack == "permit" else rows.filter(latitude__isnull=True)


class RecaptureFilters(RegisterFilters):
    """Fish, release, link, days, place."""

    fish = TextFilter(field_name="fish__number", label="Fish")
    release = TextFilter(field_name="release__number", label="Release")
    link = ChoiceFilter(choices=Recapture.Link.choices, label="Link")
    mark = django_filters.CharFilter(method="by_mark", label="Code or mark")
    recaptured_on = DateRangeFilter(label="Met on")
    place = TextFilter(label="Place")

    class Meta:
        model = Recapture
        fields = ()

    def by_mark(self, rows: QuerySet, _name: str, text: str) -> QuerySet:
        return rows.filter(Q(code_read__icontains=text.strip()) | Q(marks__icontains=text.strip()))
