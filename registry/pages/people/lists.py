"""Accounts and their roles, for the administrator."""

from typing import Any

from django.db.models import QuerySet
from django.utils.html import format_html

from registry.models import Role, RoleGrant
from registry.permissions import ADMINISTER
from registry.web.filters import ChoiceFilter, RegisterFilters, TextFilter
from registry.web.links import address
from registry.web.lists import RegisterList
from registry.web.tables import DayColumn, RegisterTable, tables


class EndColumn(tables.Column):
    """Leads to the page that ends a role that still holds."""

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(
            *args, **{"accessor": "pk", "verbose_name": "", "orderable": False, "exclude_from_export": True} | options
        )

    def render(self, value: int, record: RoleGrant) -> str:
        if record.until:
            return ""
        return format_html(
            '<a href="{}">End<span class="unseen"> the role of {}</span></a>', address("role_end", value), record.user
        )


class RoleTable(RegisterTable):
    """Every role that was ever granted."""

    user = tables.Column(accessor="user__username", verbose_name="Account")
    role = tables.Column()
    since = DayColumn(verbose_name="Since")
    until = DayColumn(verbose_name="Until")
    end = EndColumn()
    last_order = "pk"

    class Meta(RegisterTable.Meta):
        model = RoleGrant
        fields = ("user", "role", "since", "until", "end")
        order_by = ("user", "role")
        empty_text = "No account fits. Loosen a filter, or invite the first person."


class RoleFilters(RegisterFilters):
    """What the list of roles can be narrowed by."""

    user = TextFilter(field_name="user__username", label="Account")
    role = ChoiceFilter(choices=Role.choices, label="Role")
    held = ChoiceFilter(method="by_held", choices=[("now", "Held"), ("ended", "Ended")], label="State")

    class Meta:
        model = RoleGrant
        fields = ()

    def by_held(self, rows: QuerySet, _name: str, state: str) -> QuerySet:
        return rows.filter(until__isnull=state == "now")


class RoleList(RegisterList):
    """Every account by its roles."""

    table_class = RoleTable
    filter_class = RoleFilters
    title = "Accounts"
    permission = ADMINISTER
    actions = (
        ("Invite", "invite", ADMINISTER), ("Grant a role", "role_grant", ADMINISTER),
        ("New password", "password_give", ADMINISTER),
    )  # fmt: skip

    def rows(self) -> QuerySet:
        return RoleGrant.objects.current().select_related("user")
