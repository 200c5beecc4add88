"""Every figure of the status page as a CSV file."""

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from django.http import StreamingHttpResponse
from django.utils import timezone
from django.utils.text import slugify

from breeding.pages.status.words import headline
from registry.exports.tables import KINDS, csv_lines
from registry.queries.status.classes import BANDS
from registry.queries.status.figures import Status
from registry.queries.status.names import labels

Sheet = tuple[Sequence[str], Iterable[Sequence[Any]]]


def _figures(status: Status) -> Sheet:
    rows = [(one.label, one.value, one.meaning, one.assumption) for one in headline(status)]
    return ("figure", "value", "meaning", "assumption"), rows


def _years(status: Status) -> Sheet:
    names = ("year", "living at its end", "gene diversity", "mean kinship with self", "mean kinship without self")
    return names, [(y.year, y.count, y.gene_diversity, y.mean_kinship, y.without_self) for y in status.years]


def _founders(status: Status) -> Sheet:
    names = ("founder", "share", "retention", "standard error", "living descendants", "lives", "frozen doses",
             "last chance")  # fmt: skip
    told = labels(one.key for one in status.founders)
    rows = [
        (told[one.key], one.share, one.retention, one.error, one.descendants, one.lives, one.doses, one.last_chance)
        for one in status.founders
    ]
    return names, rows


def _classes(status: Status) -> Sheet:
    rows = [(one.year, one.count, one.mean, one.least, one.most, *one.bands) for one in status.year_classes]
    return ("hatch year", "living", "mean F", "least F", "greatest F", *band_names()), rows


def _sizes(status: Status) -> Sheet:
    rows = [(one.label, _finite(one.size), one.error, one.basis, one.assumption) for one in status.sizes]
    return ("method", "effective size", "standard error", "from", "assumption"), rows


def _paths(status: Status) -> Sheet:
    interval = status.interval
    return ("path", "mean age (years)", "pairs"), [(p, age, interval.pairs[p]) for p, age in interval.paths.items()]


def _supposed(status: Status) -> Sheet:
    rows = [(one.label, one.inbreeding, one.mean_kinship, one.gene_diversity) for one in status.supposed]
    return ("unknown parents", "mean F", "mean kinship with self", "gene diversity"), rows


def _finite(size: float | None) -> float | str | None:
    return "no limit" if size == float("inf") else size


def band_names() -> list[str]:
    """Return what the bands of F are called."""
    bounds = [f"{bound:g}" for bound in BANDS]
    return ["F 0", *(f"up to {bound}" for bound in bounds[1:]), f"over {bounds[-1]}"]


SHEETS: dict[str, Callable[[Status], Sheet]] = {
    "figures": _figures,
    "years": _years,
    "founders": _founders,
    "year-classes": _classes,
    "effective-sizes": _sizes,
    "generation-interval": _paths,
    "unknown-parents": _supposed,
}


def csv_file(name: str, sheet: Sheet) -> StreamingHttpResponse:
    """Return a file named after what it holds and the day."""
    response = StreamingHttpResponse(csv_lines(*sheet), KINDS["csv"])
    filename = f"{slugify(name)}-{timezone.localdate():%Y-%m-%d}.csv"
    response.headers["Content-Disposition"] = f'attachment; filename="{filename}"'
    return response
