"""The genetic status of a stock on its pages: figures, staleness, files, and who sees them.

F1 ─┬─ M1      F2   M2       four unrelated founders, all alive, and a batch of full sibs of F1 × M1
  batch B1
"""

from collections.abc import Callable
from datetime import date
from types import SimpleNamespace

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from registry.models import Stock
from registry.operations.catalogue import StockOpened, open_stock
from registry.operations.fish import record_departure
from registry.operations.parentage import ParentageFound, determine_parentage
from registry.operations.people import installer
from registry.operations.registration import register_individuals
from registry.operations.shared.entries import Admission, Day, Departure, Pair, Registration
from registry.permissions import Actor
from registry.queries.status.keep import kept_status
from tests.support.river import STOCK, small_river

ADDRESS = f"/status/?stock={STOCK.replace(' ', '+')}"


@pytest.fixture
def river(db: None) -> SimpleNamespace:
    return small_river()


def headline(batches: bool = False) -> SimpleNamespace:
    found = kept_status(Stock.objects.get(name=STOCK), batches=batches)
    assert found is not None
    return found.headline


def tag_young(by: Actor, count: int) -> None:
    fish = tuple(Admission(number=f"Y{n}", sex="F") for n in range(count))
    register_individuals(by, Registration(batch="B1", moved_on=date(2011, 5, 1), fish=fish))


def test_four_unrelated_founders_hold_what_the_textbook_says(river: SimpleNamespace) -> None:
    # n unrelated founders, all alive: θ = 1/(2n), founder genome equivalents = founder equivalents = n (Lacy 1989).
    told = headline()
    assert (told.living, told.founders) == (4, 4)
    assert told.mean_kinship == pytest.approx(1 / 8)
    assert told.founder_genome_equivalents == pytest.approx(4)
    assert told.founder_equivalents == pytest.approx(4)
    assert told.mean_kinship_without_self == pytest.approx(0)
    assert (told.wild_low, told.wild_high) == (1, 1)


def test_full_sibs_registered_out_of_a_batch_are_in_every_figure_at_once(river: SimpleNamespace) -> None:
    # Two full sibs Y of founders F1 and M1 beside four founders, by the tabular method (Emik & Terrill 1949), 36 pairs:
    # selves 6 × 1/2, sib–sib 2 × 1/4, sib–parent 2 × (2 × 2) × 1/4 → (3 + 0.5 + 2) / 36.
    before = headline()
    tag_young(river.by, 2)
    after = headline()
    assert (before.living, after.living) == (4, 6)
    assert after.mean_kinship == pytest.approx(5.5 / 36)


def test_a_changed_parentage_leaves_nothing_stale(river: SimpleNamespace, manager: Actor) -> None:
    tag_young(river.by, 2)
    first = headline()
    assert headline() == first
    proof = {"fish": "Y1", "basis": "genotype", "reason": "Genotypes exclude M1."}
    determine_parentage(manager, ParentageFound(pairs=(Pair("F2", "M2"),), **proof))
    # Y1 is of F2 × M2 now: sib–sib 0, each sib with its own two parents → (3 + 2 × 2 × 2 × 1/4) / 36.
    assert headline().mean_kinship == pytest.approx(5 / 36)


def test_a_death_leaves_nothing_stale(river: SimpleNamespace, staff: Actor) -> None:
    assert headline().living == 4
    record_departure(staff, Departure(fish="F2", left="died", left_on=Day(date(2020, 1, 1))))
    assert headline().living == 3


def test_the_page_tells_each_figure_with_what_it_takes_for_granted(
    river: SimpleNamespace, client_of: Callable[[str], Client]
) -> None:
    page = client_of("geneticist").get(ADDRESS).content.decode()
    assert "0.875" in page  # gene diversity, 1 − θ
    assert "Unknown parents are taken as unrelated founders." in page


def test_an_empty_stock_says_so(river: SimpleNamespace, client_of: Callable[[str], Client]) -> None:
    open_stock(installer("test"), StockOpened(name="Empty", species="ruthenus"))
    answer = client_of("geneticist").get("/status/?stock=Empty")
    assert answer.status_code == 200
    assert "No fish of this stock lives here." in answer.content.decode()


def test_an_unknown_stock_is_refused_in_words(river: SimpleNamespace, client_of: Callable[[str], Client]) -> None:
    assert client_of("geneticist").get("/status/?stock=Nowhere").status_code == 422


def test_founders_are_taken_away_as_a_file(river: SimpleNamespace, client_of: Callable[[str], Client]) -> None:
    answer = client_of("geneticist").get(f"{ADDRESS}&export=founders")
    assert answer["Content-Type"].startswith("text/csv")
    text = b"".join(answer.streaming_content) if answer.streaming else answer.content
    assert all(number in text.decode() for number in ("F1", "F2", "M1", "M2"))


@pytest.mark.parametrize("page", ["/status/", "/status/kinship/", "/status/fish/"])
def test_pages_ask_the_same_number_of_questions_however_many_live(
    page: str, river: SimpleNamespace, client_of: Callable[[str], Client]
) -> None:
    client = client_of("geneticist")
    address = ADDRESS.replace("/status/", page)
    tag_young(river.by, 2)
    client.get(address)

    def asked() -> int:
        with CaptureQueriesContext(connection) as seen:
            assert client.get(address).status_code == 200
        return len(seen)

    few = Admission(number="X1", sex="M"), Admission(number="X2", sex="M")
    register_individuals(river.by, Registration(batch="B1", moved_on=date(2011, 6, 1), fish=few))
    with_few = asked()
    many = tuple(Admission(number=f"Z{n}", sex="M") for n in range(40))
    register_individuals(river.by, Registration(batch="B1", moved_on=date(2011, 7, 1), fish=many))
    assert asked() == with_few


def test_a_visitor_signs_in_first(river: SimpleNamespace) -> None:
    assert Client().get(ADDRESS).status_code == 302
