"""All pairs of a plan's fish: which stand in it, which may be made, which not and by what limit."""

from collections.abc import Iterable
from typing import Any
from urllib.parse import urlencode

import django_tables2 as tables
import numpy as np
from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django_tables2 import RequestConfig

from breeding.pages.crosses.bench import Bench, bench_of
from breeding.pages.crosses.names import name_of
from breeding.pages.crosses.of_plan import head, plan_or_404
from breeding.pages.crosses.pair.words import range_in_words, relationship_in_words
from breeding.planning.problem import Problem
from breeding.planning.reasons import figure
from registry.queries.catalogue import inheritance_of
from registry.queries.crosses.doubt import doubts_of
from registry.web.entry_view import EntryForm
from registry.web.links import address
from registry.web.lists import PAGE_SIZES
from registry.web.tables import LinkColumn, NumberColumn, RegisterTable

IN, MAY, NOT = "in the plan", "may be made", "may not be made"
# Of one pair on a page of many: more ways to assign parents than this are told as such.
ASSIGNMENTS = 64

Told = dict[str, Any]


class AskedForm(EntryForm):
    """Which of the pairs are shown."""

    dam = forms.CharField(label="Female", required=False, max_length=60)
    sire = forms.CharField(label="Male", required=False, max_length=60)
    state = forms.ChoiceField(label="Which", required=False, choices=[("", "all"), *((s, s) for s in (IN, MAY, NOT))])


class PairTable(RegisterTable):
    """One pair a row."""

    look = tables.Column(verbose_name="Do", orderable=False, exclude_from_export=True)
    dam = LinkColumn(page="fish", verbose_name="Female")
    sire = LinkColumn(page="fish", verbose_name="Male")
    kinship = NumberColumn(verbose_name="Kinship")
    words = tables.Column(verbose_name="Relationship", orderable=False)
    state = tables.Column(verbose_name="State")

    class Meta(RegisterTable.Meta):
        fields = ["look", "dam", "sire", "kinship", "words", "state"]
        empty_text = "No such pair. Look at the fish of the plan, and at who is left out and why."

    def render_look(self, value: str) -> SafeString:
        return format_html('<a href="{}">Look</a>', value)

    def render_kinship(self, value: float) -> str:
        return figure(value)


def possible_pairs(request: HttpRequest, number: str) -> HttpResponse:
    """Show the pairs of a plan's females and males."""
    bench = bench_of(plan_or_404(number))
    form = AskedForm(request.GET)
    rows = _rows(bench, form.cleaned_data) if form.is_valid() and bench.problem else []
    table = PairTable(rows)
    RequestConfig(request, paginate=False).configure(table)
    asked = request.GET.get("per_page", "")
    per_page = int(asked) if asked in {str(size) for size in PAGE_SIZES} else PAGE_SIZES[0]
    table.paginate(per_page=per_page)
    table.page = table.paginator.get_page(request.GET.get("page"))
    _tell_closeness(bench, [row.record for row in table.page.object_list])
    shown = head(bench.plan, "plan_pairs") | {
        "title": f"Pairs of plan {bench.plan.number}",
        "form": form,
        "table": table,
        "page_sizes": PAGE_SIZES,
        "per_page": per_page,
        "ask": address("plan_pair", bench.plan.number),
    }
    return render(request, "breeding/crosses/pair/possible.html", shown, status=422 if form.errors else 200)


def _rows(bench: Bench, asked: Told) -> list[Told]:
    """Return the pairs asked for, those of the plan first, then the least related."""
    problem = bench.problem
    assert problem is not None
    states, look = _states(bench, problem), address("plan_pair", bench.plan.number)
    dams = [place for place, name in enumerate(problem.dams) if asked["dam"].casefold() in name.casefold()]
    sires = [place for place, name in enumerate(problem.sires) if asked["sire"].casefold() in name.casefold()]
    found = []
    for dam in dams:
        for sire in sires:
            kind, told = states[dam][sire]
            if asked["state"] in ("", kind):
                names = {"dam": problem.dams[dam], "sire": problem.sires[sire]}
                found.append(
                    names
                    | {
                        "look": f"{look}?{urlencode(names)}",
                        "kinship": float(problem.between[dam, sire]),
                        "words": "",
                        "state": told,
                        "first": kind != IN,
                    }
                )
    return sorted(found, key=lambda one: (one["first"], round(one["kinship"], 12), one["dam"], one["sire"]))


def _states(bench: Bench, problem: Problem) -> list[list[tuple[str, str]]]:
    """Return for each pair its state and how that is told."""
    why = np.full(problem.between.shape, "", dtype=object)
    for key, out in problem.ruled_out.items():
        why[out] = why[out] + f"; {name_of(key)}"
    spent = problem.capacity <= 0
    held = set(bench.pairs)
    locked = set(problem.fixed)

    def told(dam: int, sire: int) -> tuple[str, str]:
        if (dam, sire) in held:
            return IN, "in the plan, locked or made" if (dam, sire) in locked else IN
        used_up = spent[dam] or spent[len(problem.dams) + sire]
        reasons = why[dam, sire] + ("; no crosses left" if used_up else "")
        return (NOT, f"{NOT}{reasons.replace(';', ':', 1)}") if reasons else (MAY, MAY)

    return [[told(dam, sire) for sire in range(len(problem.sires))] for dam in range(len(problem.dams))]


def _tell_closeness(bench: Bench, rows: Iterable[Told]) -> None:
    """Put into the rows of a page how close the pairs are, and how far that may lie off where parents are in doubt."""
    inherits, limit = inheritance_of(bench.plan.stock), bench.wishes.limits.figure("relationship")
    at_limit = None if limit is None else float(limit) / inherits.ploidy
    keys = {number: one.candidate.key for number, one in bench.season.candidates.items()}
    listed = list(rows)
    doubts = doubts_of([(keys[row["dam"]], keys[row["sire"]]) for row in listed], inherits, ASSIGNMENTS)
    for row in listed:
        between = range_in_words(doubts.get((keys[row["dam"]], keys[row["sire"]])), at_limit)
        words = relationship_in_words(row["kinship"], inherits.ploidy)
        row["words"] = f"{words}; {between}" if between else words
