"""Ranked pairs and refused pairs as tables, and the kinship of all as a matrix."""

from typing import Any

import django_tables2 as tables
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from breeding.planning.limits import KINSHIP_TOLERANCE
from breeding.planning.proposals import Proposal
from breeding.planning.reasons import closeness, figure, standing
from registry.queries.crosses.pairs import Past, Proposals
from registry.web.tables import LinkColumn, NumberColumn, RegisterTable

MATRIX_FEMALES, MATRIX_MALES = 40, 60


class PairTable(RegisterTable):
    """One permitted pair a row."""

    pair = tables.Column(verbose_name="Take", orderable=False, exclude_from_export=True)
    rank = NumberColumn(verbose_name="Place")
    dam = LinkColumn(page="fish", verbose_name="Female")
    sire = LinkColumn(page="fish", verbose_name="Male")
    kinship = NumberColumn(verbose_name="Kinship")
    inbreeding = NumberColumn(verbose_name="Expected F of the young")
    diversity_change = NumberColumn(verbose_name="Effect on gene diversity")
    past = tables.Column(verbose_name="Planned or made", orderable=False)
    why = tables.Column(verbose_name="Why here", orderable=False)

    coancestry = 0.0  # mean kinship of the living, which a place is explained with

    class Meta(RegisterTable.Meta):
        fields = ["pair", "rank", "dam", "sire", "kinship", "inbreeding", "diversity_change", "past", "why"]
        empty_text = "No pair is permitted. See which pairs are refused, which fish are left out, and why."

    def render_pair(self, value: str, record: dict[str, Any]) -> SafeString:
        return format_html(
            '<input type="checkbox" name="pair" value="{}" aria-label="Take {} × {}"{}>',
            value,
            record["dam"],
            record["sire"],
            " checked" if record["ticked"] else "",
        )

    def render_kinship(self, value: float) -> str:
        return figure(value)

    def render_inbreeding(self, value: float) -> str:
        return figure(value)

    def render_diversity_change(self, value: float) -> str:
        return f"{value:+.6f}".replace("-", "\N{MINUS SIGN}")

    def render_why(self, value: Proposal) -> SafeString:
        told = standing(value, len(self.data), self.coancestry)
        items = format_html_join("", "<li>{}</li>", ((sentence,) for sentence in told))
        return format_html("<details><summary>{}</summary><ul>{}</ul></details>", closeness(value.kinship), items)


class RefusedTable(RegisterTable):
    """One refused pair a row."""

    dam = LinkColumn(page="fish", verbose_name="Female")
    sire = LinkColumn(page="fish", verbose_name="Male")
    kinship = NumberColumn(verbose_name="Kinship")
    reasons = tables.Column(verbose_name="Why not", orderable=False)

    class Meta(RegisterTable.Meta):
        fields = ["dam", "sire", "kinship", "reasons"]
        empty_text = "No pair of these candidates is refused."

    def render_kinship(self, value: float) -> str:
        return figure(value)


def pair_table(proposed: Proposals, past: Past, keys: dict[str, int], ticked: set[str] | None) -> PairTable:
    """Return the permitted pairs, best first; `ticked` None leaves out the boxes."""
    rows = []
    for one in proposed.ranking.permitted:
        pair, value = (one.dam, one.sire), f"{keys[one.dam]}-{keys[one.sire]}"
        rows.append(
            {
                "pair": value,
                "ticked": value in (ticked or ()),
                "rank": one.rank,
                "dam": one.dam,
                "sire": one.sire,
                "kinship": one.kinship,
                "inbreeding": one.inbreeding,
                "diversity_change": one.diversity_change,
                "past": _past(past, pair),
                "why": one,
            }
        )
    table = PairTable(rows, exclude=() if ticked is not None else ("pair",))
    table.coancestry = proposed.coancestry
    return table


def refused_rows(proposed: Proposals) -> list[dict[str, Any]]:
    """Return the refused pairs, closest first."""
    return [
        {"dam": one.dam, "sire": one.sire, "kinship": one.kinship, "reasons": " ".join(one.reasons)}
        for one in proposed.ranking.refused
    ]


def matrix(proposed: Proposals) -> dict[str, Any] | None:
    """Return the kinship of every female with every male as rows of text, or None where they are too many to read."""
    few = len(proposed.females) <= MATRIX_FEMALES and len(proposed.males) <= MATRIX_MALES
    if not few or not proposed.females or not proposed.males:
        return None
    bound = float("inf") if proposed.limit is None else proposed.limit - KINSHIP_TOLERANCE
    rows = [
        (dam, [(figure(k), k >= bound) for k in line])
        for dam, line in zip(proposed.females, proposed.kinship.tolist(), strict=True)
    ]
    return {"males": proposed.males, "rows": rows}


def _past(past: Past, pair: tuple[str, str]) -> str:
    told = [f"in plan {', '.join(past.plans[pair])}"] if pair in past.plans else []
    if pair in past.families:
        told.append(f"crossed before: {', '.join(past.families[pair])}")
    return "; ".join(told)
