"""The kinship of the living as a heat map: relatives beside each other, gathered where they are too many to draw."""

import re
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.safestring import mark_safe

from breeding.figures.clusters import Cluster, Clusters, between
from breeding.figures.heat_map import LARGEST_MAP, Shades, heat_map
from breeding.genetics.errors import PedigreeError
from breeding.pages.status.asked import TITLE, asked, query_of, refused, unasked
from breeding.pages.status.exports import csv_file
from breeding.planning.reasons import figure, relatives
from registry.queries.status.matrix import Matrix, kinship_matrix
from registry.queries.status.revision import pedigree_revision
from registry.web.links import address

MOST_NAMED = 4
NAMED = re.compile(r"(?:(?P<of>family|sibs of) )?(?P<number>.+?)(?: \(\d+\))?")


def kinship_map(request: HttpRequest) -> HttpResponse:
    """Show the map of all the living of a stock, or of one branch of relatives; or give what it shows as a file."""
    form = asked(request)
    if not form.is_valid():
        return unasked(request, form)
    stock, revision = form.cleaned_data["stock"], pedigree_revision()
    try:
        matrix = kinship_matrix(stock, batches=form.cleaned_data["batches"])
    except PedigreeError as error:
        return refused(request, error)
    shown = {"title": f"{TITLE}: kinship", "asked": form, "stock": stock, "query": query_of(form), "here": "kinship"}
    if matrix is None:
        return render(request, "breeding/status/kinship.html", shown | {"empty": True})
    within = _branch(request, revision)
    clusters = Clusters(matrix.kinship).cut(LARGEST_MAP, within)
    means = between(matrix.kinship, clusters, matrix.counts)
    names = [_name(matrix, cluster) for cluster in clusters]
    if request.GET.get("export") == "kinship":
        return csv_file(f"{stock.name} kinship", (["", *names], zip(names, *means.T.tolist(), strict=True)))
    told = [_told(matrix, *each) for each in zip(clusters, names, means.diagonal().tolist(), strict=True)]
    for one in told:
        if one["node"] is not None:
            one["address"] = f"?{shown['query']}&of={revision}&branch={one['node']}"
    closeness = {one.words: one.kinship for one in relatives(*matrix.inherits[:2])}
    shades = Shades(list(closeness.values()), [one["address"] for one in told])
    drawn = heat_map(means.round(12).tolist(), names, f"Kinship of the living of {stock.name}", shades=shades)
    shown |= {
        "map": mark_safe(drawn),  # noqa: S308  (drawn by the site, every text escaped)
        "clusters": told,
        "closeness": [(words, f"{value:.4g}") for words, value in closeness.items()],
        "entries": len(matrix.names),
        "fish": int(matrix.counts.sum()),
        "left_out": matrix.left_out,
        "inherits": matrix.inherits,
        "zoomed": within is not None,
        "moved_on": bool(request.GET.get("branch")) and within is None,
        "gathered": any(len(cluster.rows) > 1 for cluster in clusters),
        "revision": revision,
        "branch": within,
    }
    return render(request, "breeding/status/kinship.html", shown)


def _branch(request: HttpRequest, revision: str) -> int | None:
    """Return the branch that the address names; None for all, and where the pedigree has changed since it was named."""
    named = request.GET.get("branch", "")
    if request.GET.get("of") != revision or not (named.isascii() and named.isdigit() and len(named) < 8):
        return None
    return int(named)


def _name(matrix: Matrix, cluster: Cluster) -> str:
    first = matrix.labels[cluster.rows[0]]
    more = len(cluster.rows) - 1
    return f"{first} + {more}" if more else first


def _told(matrix: Matrix, cluster: Cluster, name: str, within: float) -> dict[str, Any]:
    labels = [matrix.labels[row] for row in cluster.rows]
    alone = len(labels) == 1
    return {
        "name": name,
        "node": None if alone else cluster.node,
        "address": _page(labels[0]) if alone else "",
        "fish": int(matrix.counts[list(cluster.rows)].sum()),
        "members": ", ".join(labels[:MOST_NAMED])
        + (f" and {len(labels) - MOST_NAMED} more" * (len(labels) > MOST_NAMED)),
        "within": figure(within),
    }


def _page(label: str) -> str:
    """Return the address of what a label names: a fish, a family, or the sib that stands for its family."""
    found = NAMED.fullmatch(label)
    return address("family" if found["of"] == "family" else "fish", found["number"]) if found else ""
