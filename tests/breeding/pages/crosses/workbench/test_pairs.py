"""All pairs of a plan's fish: what stands in it, what may be made, what not and why; and how sure their kinship is."""

from decimal import Decimal

import pytest
from django.test import Client

from registry.operations.fish import admit_fish
from registry.operations.shared.entries import Admission, Pair
from tests.breeding.pages.crosses.workbench.conftest import text
from tests.registry.queries.crosses.season.conftest import limit, word_on_fish, word_on_pair
from tests.support.broodstock import HALL, STOCK, check


def states(desk: Client, query: str = "") -> dict[tuple[str, str], str]:
    rows = desk.get(f"/plans/P1/pairs/?per_page=100{query}").context["table"].rows
    return {(row.record["dam"], row.record["sire"]): row.record["state"] for row in rows}


def test_each_pair_has_its_state_with_the_limit_by_name(desk: Client) -> None:
    desk.post("/plans/P1/pair/add/", {"dam": "F1", "sire": "M2"})
    word_on_pair("F2", "M2", "forbidden")
    told = states(desk)

    assert len(told) == 3 * 4
    assert told["F1", "M2"] == "in the plan"
    assert told["D1", "H1"] == "may not be made: closeness of a pair"
    assert told["F2", "M2"] == "may not be made: forbidden by the geneticist"
    assert told["D1", "M2"] == "may be made"
    assert next(iter(told)) == ("F1", "M2")


def test_pairs_are_found_by_fish_and_by_state(desk: Client) -> None:
    assert {dam for dam, _ in states(desk, "&dam=d1")} == {"D1"}
    assert set(states(desk, "&state=may+be+made").values()) == {"may be made"}
    assert desk.get("/plans/P1/pairs/?state=nonsense").status_code == 422


def test_a_verdict_that_hangs_on_doubtful_parents_is_told_on_every_list(desk: Client) -> None:
    half = Decimal("0.5")
    pooled = (Pair("F2", "M1", half), Pair("F2", "M2", half))
    admit_fish(HALL, Admission(number="P1", species="ruthenus", stock=STOCK, sex="F", pairs=pooled))
    check("P1", "IV")
    limit("tissue")

    # Half sib of D2 by M1, 1/8, or unrelated to it (Falconer & Mackay 1996, chapter 5, from memory).
    words = "0 to 0.125 by who the parents are: the limit lies between"
    assert words in text(desk.get("/plans/P1/pairs/?dam=P1&sire=D2"))
    assert words in text(desk.get("/plans/P1/pair/?dam=P1&sire=D2"))
    assert desk.post("/plans/P1/pair/add/", {"dam": "P1", "sire": "D2"}).status_code == 302
    assert words in text(desk.get("/plans/P1/"))


@pytest.mark.parametrize("query", ["?page=999", "?page=-1", "?per_page=1e9", "?sort=nonsense"])
def test_an_address_that_asks_for_nonsense_gets_a_page(desk: Client, query: str) -> None:
    assert desk.get(f"/plans/P1/pairs/{query}").status_code in (200, 422)


def test_without_candidates_there_are_no_pairs(desk: Client) -> None:
    for fish in ("D1", "F1", "F2"):
        word_on_fish(fish, "out")
    assert "No such pair." in text(desk.get("/plans/P1/pairs/"))
