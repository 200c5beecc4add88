"""The pictures of the status page."""

from collections.abc import Hashable, Mapping, Sequence

from django.utils.safestring import SafeString, mark_safe

from breeding.figures.bars import MOST_BARS, Bar, bars
from breeding.figures.curve import Axes, Series, curve
from registry.queries.status.classes import Year, YearClass
from registry.queries.status.founders import FounderFigures
from registry.web.links import address

FEW_CARRIERS = 3
SHOWN_FOUNDERS = min(40, MOST_BARS)


def diversity(years: tuple[Year, ...]) -> SafeString:
    """Draw gene diversity by year."""
    line = Series(
        "Gene diversity of those living at the end of the year", _of(years), [y.gene_diversity for y in years]
    )
    return mark_safe(curve([line], Axes("year", "gene diversity"), "Gene diversity over time", "gd"))  # noqa: S308


def kinship(years: tuple[Year, ...]) -> SafeString:
    """Draw mean kinship by year, with and without self."""
    apart = [year for year in years if year.without_self is not None]
    lines = [
        Series("Mean kinship, self included", _of(years), [year.mean_kinship for year in years]),
        Series("Mean kinship, without self", _of(apart), [year.without_self or 0.0 for year in apart]),
    ]
    return mark_safe(curve(lines, Axes("year", "mean kinship"), "Mean kinship over time", "mk"))  # noqa: S308


def inbreeding(classes: tuple[YearClass, ...]) -> SafeString:
    """Draw F by hatch year: the mean, between the least and the greatest."""
    years = [one.year for one in classes]
    lines = [
        Series("Mean F of the living of a hatch year", years, [one.mean for one in classes]),
        Series("Greatest", years, [one.most for one in classes]),
        Series("Least", years, [one.least for one in classes]),
    ]
    drawn = curve(lines, Axes("hatch year", "inbreeding F"), "Inbreeding by year class", "f")
    return mark_safe(drawn)  # noqa: S308


def founders(shown: list[tuple[FounderFigures, str, str]]) -> SafeString:
    """Draw the founders given with their label and address: share of the gene pool, and retention."""
    rows = [Bar(label, one.share, min(1.0, one.retention), href, _danger(one)) for one, label, href in shown]
    title = "Founders, those nearest to being lost first"
    return mark_safe(bars(rows, title, "founders"))  # noqa: S308


def shares(shown: Sequence[FounderFigures], told: Mapping[Hashable, str]) -> SafeString:
    """Draw what founders gave to a selection and what it holds of them; it tells nothing of their danger."""
    ordered = sorted(shown, key=lambda one: (-one.share, told[one.key]))
    rows = [Bar(told[one.key], one.share, min(1.0, one.retention), address("fish", told[one.key])) for one in ordered]
    return mark_safe(bars(rows, "Founders of the selection", "founders"))  # noqa: S308


def _danger(one: FounderFigures) -> str:
    """Return how near a founder is to being lost, in a word or two; nothing where it is not."""
    if one.last_chance:
        return "last chance"
    carriers = one.descendants + one.lives
    return f"{carriers} carrier{'s' * (carriers > 1)} left" if carriers <= FEW_CARRIERS else ""


def _of(years: tuple[Year, ...] | list[Year]) -> list[int]:
    return [year.year for year in years]
