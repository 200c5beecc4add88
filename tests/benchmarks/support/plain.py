"""What the site's pages are measured against: Django's own ListView and DetailView with a bare template."""

import json
from typing import Any

from django.db import models
from django.template import engines
from django.views.generic import DetailView, ListView
from django_tables2 import A

from registry.journal.read import MOST_ROWS
from registry.models import (
    Account,
    Batch,
    Cross,
    CrossPlan,
    Family,
    FishDetails,
    JournalEntry,
    Release,
    Spawning,
    Transfer,
)
from registry.web.lists import PAGE_SIZES, RegisterList

# Columns whose cells list related records: what is fetched with the page, and how a cell tells it.
RELATED = {
    "BatchTable": {
        "families": (
            "account__into__from_account__family",
            "{% for one in row.account.into.all %}{{ one.from_account.family|default:'' }} {% endfor %}",
        )
    }
}
PAGE = "<!doctype html><title>plain</title><body>{body}</body>"


def bare(body: str) -> Any:
    """Return a template of nothing but these lines."""
    return engines["django"].from_string(PAGE.format(body=body))


def plain_list(view: type[RegisterList]) -> Any:
    """Return a ListView of the same records, a page of the same length, the same columns in the same order."""
    given = view()
    rows = given.rows()
    table = view.table_class(rows)
    order = [part for name in table.order_by for part in _order(table, name)]
    shown = {column.name: f"{{{{ row.{_path(column, rows.model)} }}}}" for column in table.columns}
    related: dict[str, tuple[str, str]] = RELATED.get(view.table_class.__name__, {})
    fetched = [needed for needed, _ in related.values()]
    shown |= {name: told for name, (_, told) in related.items()}
    cells = "".join(f"<td>{cell}</td>" for cell in shown.values())
    body = f"<p>{{{{ paginator.count }}}}</p><table>{{% for row in page_obj %}}<tr>{cells}</tr>{{% endfor %}}</table>"
    template = bare(body)

    class Plain(ListView):
        queryset = table.data.data.order_by(*order, table.last_order).prefetch_related(*fetched)
        paginate_by = PAGE_SIZES[0]

        def get_template_names(self) -> Any:
            return template

    return Plain.as_view()


def _order(table: Any, name: str) -> list[str]:
    sign, bare_name = ("-", name[1:]) if name.startswith("-") else ("", name)
    return [f"{sign}{path}".replace("--", "") for path in table.columns[bare_name].order_by]


def _path(column: Any, model: type[models.Model]) -> str:
    bits = A(column.accessor).bits
    field = A(column.accessor).get_field(model)
    if getattr(field, "choices", None) and field.name == bits[-1]:
        bits = [*bits[:-1], f"get_{bits[-1]}_display"]
    return ".".join(bits)


def rows(of: str, *columns: str) -> str:
    """Return a table over related rows."""
    cells = "".join(f"<td>{{{{ row.{column} }}}}</td>" for column in columns)
    return f"<table>{{% for row in {of} %}}<tr>{cells}</tr>{{% endfor %}}</table>"


def facts(*columns: str) -> str:
    """Return the object's own columns."""
    return "".join(f"<p>{{{{ object.{column} }}}}</p>" for column in columns)


CHECKED = ("checked_on", "total_length_mm", "mass_g", "get_sex_found_display", "stage", "method", "notes", "entry_id")
MOVED = ("moved_on", "get_event_display", "count", "counted", "stage", "method", "notes", "entry_id")
FISH = (
    facts("fish.number", "species", "stock", "get_sex_display", "get_origin_display", "hatched_on", "family", "release")
    + facts("from_batch", "left", "left_on", "notes", "tissue_sample", "parentage.get_basis_display")
    + rows("object.fish.details.all", "caught_on", "hatched_on", "get_left_display", "left_on", "entry_id")
    + rows("object.parentage.pairs.all", "dam", "sire", "probability", "entry_id")
    + rows("object.fish.tags.all", "code", "get_system_display", "site", "attached_on", "ended_on", "entry_id")
    + rows("object.fish.stays.all", "unit", "since", "until", "entry_id")
    + rows("object.fish.checks.all", "checked_on", "total_length_mm", "mass_g", "stage", "entry_id")
    + rows("object.fish.checks.all", *CHECKED)
    + rows("object.fish.crosses_as_dam.all", "spawning", "family", "entry_id")
    + rows("object.fish.crosses_as_sire.all", "cross.spawning", "cross.family", "entry_id")
    + rows("object.fish.recaptures.all", "number", "recaptured_on", "place", "entry_id")
)
FISH_WITH = (
    "fish__details", "parentage__pairs__dam", "parentage__pairs__sire", "fish__tags", "fish__stays__unit",
    "fish__checks", "fish__crosses_as_dam__spawning", "fish__crosses_as_dam__family",
    "fish__crosses_as_sire__cross__spawning", "fish__crosses_as_sire__cross__family", "fish__recaptures",
)  # fmt: skip
BATCH = (
    facts("number", "stock", "opened_on", "notes", "account.balance", "entry.who", "entry.entered_at")
    + rows("object.stays.all", "unit", "unit.facility", "since", "until")
    + rows("object.marks.all", "kind", "detail", "marked_on", "count")
    + rows("object.account.into.all", *MOVED, "from_account.get_kind_display", "entry.who")
    + rows("object.account.out.all", *MOVED, "to_account.get_kind_display", "entry.who")
    + rows("object.registered_fish.all|slice:':60'", "fish.number", "get_sex_display", "get_left_display")
)
SPAWNING = (
    facts("number", "stock", "spawned_on", "water_c", "notes", "entry.who", "entry.entered_at")
    + "{% for cross in object.crosses.all %}<h3>{{ cross.family }} {{ cross.dam }}</h3><p>{{ cross.egg_mass_g }} "
    "{{ cross.eggs_per_g }} {{ cross.fertilisation_percent }} {{ cross.planned }} {{ cross.notes }}</p>"
    + rows("cross.sires.all", "sire", "share", "motility_percent", "milt_lot")
    + "{% endfor %}"
    + rows("object.inductions.all", "fish", "given_at", "agent", "dose", "prescriber")
)
RELEASE = (
    facts("number", "released_on", "entry.who", "entry.entered_at")
    + rows("object.details.all", "place", "latitude", "longitude", "permit", "mark", "mean_mass_g", "notes")
    + rows("object.transfers.all", "from_account.batch", "count", "stage", "entry_id")
    + rows("object.fish.all", "fish.number", "get_sex_display", "family")
    + rows("object.recaptures.all", "number", "recaptured_on", "place", "fish", "get_link_display")
)
FAMILY = (
    facts("number", "stock", "entry.who", "entry.entered_at")
    + "{% for one in object.parents.all %}"
    + rows("one.parentage.pairs.all", "dam", "sire", "probability")
    + "{% endfor %}"
    + rows("object.crosses.all", "spawning", "dam", "egg_mass_g", "eggs_per_g", "fertilisation_percent")
    + rows("object.account.out.all", "moved_on", "count", "to_account.batch")
    + rows("object.fish.all", "fish.number", "get_sex_display", "get_left_display", "hatched_on")
)
PLAN = (
    facts("number", "stock", "season", "notes", "entry.who", "entry.entered_at")
    + facts("signature.user", "signature.signed_on", "signature.statement")
    + rows("object.planned.all", "dam", "sire", "kinship", "comment", "entry_id")
)
ENTRY = facts("seq", "happened_at", "entered_at", "who", "what", "subject", "source", "reason", "corrects_id", "body")
ENTRY += facts("prev", "hash")
ENTRY += (
    "{% for row in object.written %}<h3>{{ row.kind }} {{ row.id }}</h3><table>{% for name, value in row.after.items %}"
    "<tr><td>{{ name }}</td><td>{{ value }}</td></tr>{% endfor %}</table>{% endfor %}"
)
TRANSFERS = Transfer.objects.select_related("from_account", "to_account", "release", "entry")

# Address name: what is shown, the lookup of its number, what belongs to it, and the bare template.
DETAILS: dict[str, tuple[models.QuerySet, str, tuple[Any, ...], str]] = {
    "fish": (
        FishDetails.objects.current().select_related(
            "fish", "species", "stock", "family", "from_batch", "parentage", "release"
        ),
        "fish__number", FISH_WITH, FISH,
    ),
    "batch": (
        Batch.objects.select_related("stock", "account", "entry"), "number",
        ("stays__unit__facility", "marks", models.Prefetch("account__into", TRANSFERS),
         models.Prefetch("account__out", TRANSFERS), "registered_fish__fish"), BATCH,
    ),
    "spawning": (
        Spawning.objects.select_related("stock", "entry"), "number",
        (models.Prefetch("crosses", Cross.objects.select_related("family", "dam", "planned")), "crosses__sires__sire",
         "inductions__fish"), SPAWNING,
    ),
    "release": (
        Release.objects.select_related("entry"), "number",
        ("details", "transfers__from_account__batch", "fish__fish", "fish__family", "recaptures__fish"), RELEASE,
    ),
    "family": (
        Family.objects.select_related("stock", "entry"), "number",
        ("parents__parentage__pairs__dam", "parents__parentage__pairs__sire", "crosses__spawning", "crosses__dam",
         models.Prefetch("account", Account.objects.all()), "account__out__to_account__batch", "fish__fish"), FAMILY,
    ),
    "plan": (
        CrossPlan.objects.select_related("stock", "entry", "signature__user"), "number",
        ("planned__dam", "planned__sire"), PLAN,
    ),
    "journal_entry": (JournalEntry.objects.all(), "seq", (), ENTRY),
}  # fmt: skip


def plain_detail(page: str) -> Any:
    """Return a DetailView that shows the same rows; its address carries the record's number."""
    shown, lookup, related, body = DETAILS[page]
    template = bare(body)

    class Plain(DetailView):
        queryset = shown.prefetch_related(*related)
        slug_field = lookup
        slug_url_kwarg = "number"

        def get_object(self, queryset: Any = None) -> Any:
            found = super().get_object(queryset)
            if page == "journal_entry":
                found.written = json.loads(found.body)["rows"][:MOST_ROWS]
            return found

        def get_template_names(self) -> Any:
            return template

    return Plain.as_view()
