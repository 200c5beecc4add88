"""The list of permits, with how much of each is used."""

from datetime import date
from typing import Any

import django_filters
from django.db.models import Q, QuerySet
from django.utils import timezone

from registry.models import PermitAct, PermitDetails
from registry.permissions import KEEP_PERMITS
from registry.queries.papers.permits import current_details, known_permits, scientific_names
from registry.rules.papers.acts import KnownPermit
from registry.rules.papers.permits import in_words
from registry.web.filters import ChoiceFilter, DateRangeFilter, RegisterFilters, TextFilter
from registry.web.lists import RegisterList
from registry.web.tables import DayColumn, LinkColumn, NumberColumn, RegisterTable, tables

STATES = [("now", "In force today"), ("ended", "Ended"), ("later", "Not yet")]


class PermitTable(RegisterTable):
    """Every permit."""

    number = LinkColumn(accessor="permit__number", page="permit", verbose_name="Permit")
    issuer = tables.Column(verbose_name="Given by")
    valid_from = DayColumn(verbose_name="From")
    valid_until = DayColumn(verbose_name="Last day")
    state = tables.Column(verbose_name="State", empty_values=(), orderable=False)
    allows = tables.Column(verbose_name="Allows", empty_values=(), orderable=False)
    used = NumberColumn(verbose_name="Fish so far", empty_values=(), orderable=False)
    source = tables.Column(verbose_name="Source code")
    last_order = "permit__number"

    class Meta(RegisterTable.Meta):
        model = PermitDetails
        fields = ("number", "state", "valid_until", "allows", "used", "issuer", "valid_from", "source")
        order_by = ("-valid_from",)
        empty_text = "No permit fits. Loosen a filter; a manager enters the first permit."

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.today = timezone.localdate()
        self.names = scientific_names()
        self.known: dict[str, KnownPermit] = {}

    def _known(self, record: PermitDetails) -> KnownPermit:
        """Return the permit with its use; that of all that are listed is asked at once."""
        if not self.known:
            self.known = {one.number: one for one in known_permits(self.data.data)}
        return self.known[record.permit.number]

    def render_state(self, record: PermitDetails) -> str:
        return state_of(self._known(record), self.today)

    def render_allows(self, record: PermitDetails) -> str:
        return "; ".join(in_words(line, self.names).removeprefix("the ") for line in self._known(record).allowances)

    def render_used(self, record: PermitDetails) -> int:
        return sum(act.count for act in self._known(record).acts if not act.specimen)


def state_of(permit: KnownPermit, today: date) -> str:
    """Return in words whether a permit holds, and whether more was done than it allows."""
    if permit.valid_from > today:
        held = "not yet in force"
    elif permit.holds_on(today):
        days = (permit.valid_until - today).days if permit.valid_until else None
        left = "ends today" if days == 0 else f"{days} days left" if days != 1 else "1 day left"
        held = "in force" if days is None else f"in force, {left}"
    else:
        held = "ended"
    over = ", over its limit" if permit.excess() else ""
    return held + over + (", acts outside it" if permit.astray() else "")


class PermitFilters(RegisterFilters):
    """What the list of permits can be narrowed by."""

    number = TextFilter(field_name="permit__number", label="Permit number")
    issuer = TextFilter(label="Given by")
    state = ChoiceFilter(method="by_state", choices=STATES, label="State")
    act = django_filters.ChoiceFilter(
        field_name="allowances__act", choices=PermitAct.choices, empty_label="any", label="Allows", distinct=True
    )
    valid_until = DateRangeFilter(label="Last day")

    class Meta:
        model = PermitDetails
        fields = ()

    def by_state(self, rows: QuerySet, _name: str, state: str) -> QuerySet:
        today = timezone.localdate()
        ended = Q(valid_until__isnull=False, valid_until__lt=today)
        if state == "ended":
            return rows.filter(ended)
        return rows.filter(valid_from__gt=today) if state == "later" else rows.filter(~ended, valid_from__lte=today)


class PermitList(RegisterList):
    """Every permit as it stands."""

    table_class = PermitTable
    filter_class = PermitFilters
    title = "Permits"
    intro = (
        "What the authorities allowed, and what was done under it. Releases, captures and transfers count by "
        "themselves as soon as they name the permit's number."
    )
    actions = (("Enter a permit", "permit_enter", KEEP_PERMITS),)

    def rows(self) -> QuerySet:
        return current_details()
