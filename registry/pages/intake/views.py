"""Pictures as they are shown, and labels for tubes to print."""

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, render

from registry.exports.kept_files import as_picture
from registry.exports.labels import symbol
from registry.models import Photo, TissueSample
from registry.pages.intake.lists import SampleFilters
from registry.pages.intake.series import SeriesForm
from registry.queries.intake.samples import bearers_of
from registry.rules.days import spoken
from registry.rules.intake.samples import series
from registry.rules.known import fold

# As many as three sheets of 24.
MOST_LABELS = 72


def photo(_request: HttpRequest, pk: int) -> HttpResponseBase:
    """Show the picture of a photograph, not the file that came from the camera."""
    row = get_object_or_404(Photo.objects.select_related("fish"), pk=pk)
    answer = as_picture(row.picture, f"{row.fish.number} {row.view}.jpg", "image/jpeg")
    answer.headers["Cache-Control"] = "private, max-age=86400"
    # A browser that shows a picture by itself lays it out with a style of its own; nothing else may run.
    answer.headers["Content-Security-Policy"] = "default-src 'none'; img-src 'self'; style-src 'unsafe-inline'; sandbox"
    return answer


def labels(request: HttpRequest) -> HttpResponse:
    """Show labels of samples that are on record, or of numbers still free for tubes to be printed ahead."""
    form = SeriesForm(request.GET if "first" in request.GET else None)
    used: dict[str, str] = {}
    numbers: list[str] = []
    more = 0
    if form.is_bound:
        numbers = series(form.cleaned_data["first"], form.cleaned_data["count"]) if form.is_valid() else []
        used = bearers_of(numbers)
        shown = [{"number": one, "symbol": symbol(one)} for one in numbers if fold(one) not in used]
    else:
        rows = SampleFilters(request.GET or None, queryset=TissueSample.objects.current().select_related("fish")).qs
        page = Paginator(rows.order_by("-taken_on", "label"), MOST_LABELS).page(1)
        more = page.paginator.count - len(page.object_list)
        shown = [_of_sample(row) for row in page.object_list]
    in_use = [(one, used[fold(one)]) for one in numbers if fold(one) in used]
    told = {"title": "Labels for tubes", "labels": shown, "form": form, "used": in_use, "more": more}
    return render(request, "registry/intake/labels.html", told)


def _of_sample(row: TissueSample) -> dict[str, str]:
    day = spoken(row.taken_on) if row.taken_on else "day not known"
    return {
        "number": row.label, "symbol": symbol(row.label), "fish": row.fish.number,
        "detail": f"{row.get_kind_display()}, {day}",
    }  # fmt: skip
