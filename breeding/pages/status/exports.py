"""Every figure of the status page as a CSV file."""

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from django.http import StreamingHttpResponse
from django.utils import timezone
from django.utils.text import slugify

from breeding.genetics.ancestry import GenerationInterval
from breeding.pages.status.words import Told, of_stock
from registry.exports.tables import KINDS, csv_lines
from registry.queries.status.classes import BANDS
from registry.queries.status.figures import Status
from registry.queries.status.founders import FounderFigures
from registry.queries.status.names import labels
from registry.queries.status.sizes import Size

Sheet = tuple[Sequence[str], Iterable[Sequence[Any]]]


def figures_sheet(told: Iterable[Told]) -> Sheet:
    """Return the headline figures with what they mean."""
    rows = [(one.label, one.value, one.meaning, one.assumption) for one in told]
    return ("figure", "value", "meaning", "assumption"), rows


def _years(status: Status) -> Sheet:
    names = ("year", "living at its end", "gene diversity", "mean kinship with self", "mean kinship without self")
    return names, [(y.year, y.count, y.gene_diversity, y.mean_kinship, y.without_self) for y in status.years]


def founders_sheet(founders: Sequence[FounderFigures], *, all_living: bool = True) -> Sheet:
    """Return the founders; only among all the living of a stock can it be told whether one is a last chance."""
    names = ("founder", "share", "retention", "standard error", "living descendants", "lives", "frozen doses",
             "last chance")  # fmt: skip
    told = labels(one.key for one in founders)
    rows = [
        (told[one.key], one.share, one.retention, one.error, one.descendants, one.lives, one.doses, one.last_chance)
        for one in founders
    ]
    if all_living:
        return names, rows
    return (*names[:4], "descendants in the selection"), [row[:5] for row in rows]


def _classes(status: Status) -> Sheet:
    rows = [(one.year, one.count, one.mean, one.least, one.most, *one.bands) for one in status.year_classes]
    return ("hatch year", "living", "mean F", "least F", "greatest F", *band_names()), rows


def sizes_sheet(sizes: Sequence[Size]) -> Sheet:
    """Return the effective size by each method."""
    rows = [(one.label, _finite(one.size), one.error, one.rate, one.basis, one.assumption) for one in sizes]
    return ("method", "effective size", "standard error", "rate of inbreeding", "from", "assumption"), rows


def paths_sheet(interval: GenerationInterval) -> Sheet:
    """Return the generation interval by its four paths."""
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
    "figures": lambda status: figures_sheet(of_stock(status)),
    "years": _years,
    "founders": lambda status: founders_sheet(status.founders),
    "year-classes": _classes,
    "effective-sizes": lambda status: sizes_sheet(status.sizes),
    "generation-interval": lambda status: paths_sheet(status.interval),
    "unknown-parents": _supposed,
}


def csv_file(name: str, sheet: Sheet) -> StreamingHttpResponse:
    """Return a file named after what it holds and the day."""
    response = StreamingHttpResponse(csv_lines(*sheet), KINDS["csv"])
    filename = f"{slugify(name)}-{timezone.localdate():%Y-%m-%d}.csv"
    response.headers["Content-Disposition"] = f'attachment; filename="{filename}"'
    return response
