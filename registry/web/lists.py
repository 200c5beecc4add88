"""A list page: filter + table + paging, and the same rows as a file."""

from typing import Any, ClassVar

from django.db.models import QuerySet
from django.http import FileResponse, HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.text import slugify
from django.views import View
from django_tables2 import RequestConfig

from registry.exports.tables import KINDS, XLSX_ROWS, csv_lines, xlsx_file
from registry.permissions import may
from registry.web.filters import RegisterFilters
from registry.web.links import address
from registry.web.people import actor, require_on_page
from registry.web.tables import RegisterTable

PAGE_SIZES = (25, 50, 100)


class RegisterList(View):
    """A list of records. A subclass names table, filters and title, and says in `rows()` what is listed.

    `rows()` fetches everything that a row shows (select_related, annotations), so that the number of queries is
    the same for one row and a hundred.
    """

    table_class: type[RegisterTable]
    filter_class: type[RegisterFilters]
    title: str
    intro: str = ""
    permission: str = ""
    template_name: str = "registry/web/list.html"
    # Buttons above the list: (label, address name, permission; "" for everybody).
    actions: ClassVar[tuple[tuple[str, str, str], ...]] = ()

    def rows(self) -> QuerySet:
        """Return the records listed before filtering."""
        return self.table_class.Meta.model.objects.all()

    def context(self) -> dict[str, Any]:
        """Return what else the template shows."""
        return {}

    def get(self, request: HttpRequest, *_: Any, **__: Any) -> HttpResponse:
        if self.permission:
            require_on_page(request, self.permission)
        filters = self.filter_class(request.GET or None, queryset=self.rows(), request=request)
        found = filters.qs if filters.is_valid() or not filters.is_bound else filters.queryset.none()
        table = self.table_class(found)
        RequestConfig(request, paginate=False).configure(table)
        kind = request.GET.get("export", "")
        if kind in KINDS and not filters.form.errors:
            return self.file(table, kind)
        per_page = _page_size(request)
        table.paginate(per_page=per_page)
        table.page = table.paginator.get_page(request.GET.get("page"))  # the nearest there is
        shown = {"table": table, "filters": filters, "title": self.title, "intro": self.intro}
        shown |= {"page_sizes": PAGE_SIZES, "per_page": per_page, "actions": self._buttons()}
        return render(request, self.template_name, shown | self.context())

    def _buttons(self) -> list[dict[str, str]]:
        who = actor(self.request)
        found = [(label, address(page)) for label, page, needed in self.actions if not needed or may(who, needed)]
        return [{"label": label, "address": target} for label, target in found if target]

    def file(self, table: RegisterTable, kind: str) -> HttpResponse:
        """Return what is filtered as a file named after the list and the day."""
        name = f"{slugify(self.title)}-{timezone.localdate():%Y-%m-%d}.{kind}"
        if kind == "csv":
            response = StreamingHttpResponse(csv_lines(table.headings(), table.exported_rows()), KINDS["csv"])
            response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
            return response
        count = len(table.data)
        if count >= XLSX_ROWS:
            message = f"An XLSX sheet holds {XLSX_ROWS - 1} rows and this list has {count}. Filter it, or take CSV."
            return render(self.request, "registry/web/refused.html", {"title": self.title, "why": message}, status=422)
        file = xlsx_file(self.title, table.headings(), table.exported_rows())
        return FileResponse(file, as_attachment=True, filename=name, content_type=KINDS["xlsx"])


def _page_size(request: HttpRequest) -> int:
    asked = request.GET.get("per_page", "")
    return int(asked) if asked in {str(size) for size in PAGE_SIZES} else PAGE_SIZES[0]
