"""The figures of any selection out of a stock."""

from collections.abc import Callable

import numpy as np
import pytest
from django.test import Client
from django.utils import timezone

from breeding.genetics.kinship import kinship_among
from breeding.pages.status.words import of_selection, of_stock
from registry.models import Fish, Stock
from registry.operations.fish import record_departure
from registry.operations.shared.entries import Day, Departure
from registry.queries.pedigree import pedigree_of
from registry.queries.status.figures import status_of
from registry.queries.status.selection import Choice, members, selection_of, square
from tests.support.broodstock import HALL, STOCK, broodstock

PAGE = f"/status/selection/?stock={STOCK.replace(' ', '+')}"


@pytest.fixture
def desk(client_of: Callable[[str], Client]) -> Client:
    broodstock()
    return client_of("geneticist")


def text(answer: object) -> str:
    return " ".join(answer.content.decode().split())  # type: ignore[attr-defined]


def lines(answer: object) -> list[list[str]]:
    told = b"".join(answer.streaming_content).decode("utf-8-sig")  # type: ignore[attr-defined]
    return [line.split(",") for line in told.splitlines()]


def test_all_the_living_as_a_selection_have_the_figures_of_the_stock(desk: Client) -> None:
    stock = Stock.objects.get(name=STOCK)
    chosen, status = selection_of(Choice(stock=stock)), status_of(stock)

    assert chosen is not None
    assert status is not None
    of_all = {one.label: one.value for one in of_stock(status)}
    of_chosen = {
        one.label.replace("fish chosen", "living"): one.value
        for one in of_selection(chosen.figures.headline, chosen.interval)
    }
    for label in of_chosen.keys() & of_all.keys():
        assert of_chosen[label] == pytest.approx(of_all[label])
    assert len(of_chosen.keys() & of_all.keys()) >= 12


def test_full_sibs_have_the_figures_of_the_textbook(desk: Client) -> None:
    """Two full sibs of unrelated parents: θ = (1/2 + 1/4)/2 = 3/8 with self, 1/4 without (ALGORITHMS 9: ¼ + 1/(4N))."""
    page = text(desk.get(f"{PAGE}&fish=D1+D2"))

    assert "Figures of 2 fish" in page
    assert "<dt>Mean kinship, self included</dt><dd><strong>0.375</strong>" in page
    assert "<dt>Mean kinship, without self</dt><dd><strong>0.25</strong>" in page


def test_the_square_of_a_selection_is_the_kinship_of_its_fish(desk: Client) -> None:
    stock = Stock.objects.get(name=STOCK)
    chosen = selection_of(Choice(stock=stock))
    assert chosen is not None
    fish = members(chosen)
    keys = dict(Fish.objects.values_list("number", "pk"))
    named = [keys[one.number] for one in fish]

    found = square(chosen, fish)

    assert np.allclose(found, kinship_among(pedigree_of(named), named), atol=1e-12)
    told = lines(desk.get(f"{PAGE}&export=kinship"))
    assert told[0][1:] == [one.number for one in fish]
    assert np.array([row[1:] for row in told[1:]], dtype=float) == pytest.approx(found)


def test_fish_that_left_count_only_where_asked_for(desk: Client) -> None:
    record_departure(HALL, Departure(fish="F2", left="died", left_on=Day(timezone.localdate())))

    assert "Figures of 6 fish" in text(desk.get(PAGE))
    assert "Figures of 7 fish" in text(desk.get(f"{PAGE}&gone=on"))
    assert "1 of the fish named is left out" in text(desk.get(f"{PAGE}&fish=F1+F2"))


REFUSED = {
    "fish=F1+nobody": "No fish has the number or bears the tag “nobody”. Correct or remove it.",
    "since=2020&until=2010": "2010 is before 2020. Write the later year here.",
    "since=18": "18 is no year of hatching. Write it in four figures, such as 2012.",
    "until=soon": "“soon” is not a whole number.",
}


def test_what_cannot_be_asked_is_refused_in_words(desk: Client) -> None:
    for asked, said in REFUSED.items():
        answer = desk.get(f"{PAGE}&{asked}")
        assert answer.status_code == 422
        assert said in text(answer)
    assert "“nope” is no stock of the register." in text(desk.get("/status/selection/?stock=nope"))
    assert "No fish of this stock fits." in text(desk.get(f"{PAGE}&since=1950&until=1951"))


def test_every_figure_of_a_selection_can_be_taken_away(desk: Client) -> None:
    for sheet in ("figures", "founders", "effective-sizes", "generation-interval", "fish"):
        answer = desk.get(f"{PAGE}&sex=F&export={sheet}")
        assert f"lower-isendre-selection-{sheet}-" in answer["Content-Disposition"]
        assert len(lines(answer)) > 1
