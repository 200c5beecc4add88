"""Species, stocks and policy figures."""

from datetime import date
from decimal import Decimal

import pytest

from registry.models import JournalEntry, MaturityStage, PolicyFigure, Species, Stock, StockInheritance
from registry.operations.catalogue import (
    FigureSet,
    StockOpened,
    load_catalogue,
    open_stock,
    set_figure,
    set_inheritance,
)
from registry.permissions import Actor
from registry.queries.known import Named, known
from registry.rules.inheritance import InheritanceSet
from tests.support.proof import ADMINISTERING, last, only_those_who_may, refused, told

STOCK = StockOpened(name="Upper Isendre", species="ruthenus", river="Isendre")


def figure(**changes: object) -> FigureSet:
    whole = {
        "key": "max_pair_relationship",
        "value": Decimal("0.125"),
        "unit": "relationship",
        "meaning": "As first cousins.",
    }
    return FigureSet(**{**whole, "source": "Plan meeting of 2020.", "in_force_from": date(2020, 1, 1), **changes})


def test_the_catalogue_is_taken_in_once_and_names_its_sources(administrator: Actor) -> None:
    species = load_catalogue(administrator)
    assert species == Species.objects.count() > 0
    assert told()[:3] == ("administrator", "catalogue loaded", "catalogue")
    for rows in (Species, MaturityStage, PolicyFigure):
        assert not rows.objects.filter(source="").exists()
    before = JournalEntry.objects.count()
    assert load_catalogue(administrator) == species
    assert JournalEntry.objects.count() == before


def test_who_may_keep_the_catalogue(administrator: Actor) -> None:
    only_those_who_may(ADMINISTERING, load_catalogue)
    load_catalogue(administrator)
    only_those_who_may(ADMINISTERING, lambda by: open_stock(by, STOCK))
    only_those_who_may(ADMINISTERING, lambda by: set_figure(by, figure()))


def test_a_stock_is_opened_under_its_species(administrator: Actor) -> None:
    load_catalogue(administrator)
    row = open_stock(administrator, STOCK)
    assert (row.name, row.species.scientific_name, row.river) == ("Upper Isendre", "Acipenser ruthenus", "Isendre")
    assert told()[:3] == ("administrator", "stock opened", "stock Upper Isendre")
    assert row.entry_id == last().seq


@pytest.mark.parametrize(
    ("entry", "sentence"),
    [
        (StockOpened(name="New", species="dragon"), "“dragon” is not in the catalogue."),
        (StockOpened(name="", species="ruthenus"), "A stock named “” cannot be opened. Take another name."),
        (StockOpened(name="upper isendre", species="ruthenus"), "A stock named “upper isendre” cannot be opened."),
        (StockOpened(name="New", species="ruthenus", river="\x07"), "holds a control character (U+0007)"),
    ],
)
def test_a_stock_that_cannot_be_is_not_opened(administrator: Actor, entry: StockOpened, sentence: str) -> None:
    load_catalogue(administrator)
    open_stock(administrator, STOCK)
    with refused(sentence):
        open_stock(administrator, entry)
    assert Stock.objects.count() == 1


def test_a_figure_is_in_force_from_its_day_on(administrator: Actor) -> None:
    load_catalogue(administrator)
    row = set_figure(administrator, figure())
    assert (row.value, row.unit, row.source) == (Decimal("0.125"), "relationship", "Plan meeting of 2020.")
    assert told()[:3] == ("administrator", "policy figure set", "figure max_pair_relationship")
    assert known(Named(), date(2019, 12, 31)).policy["max_pair_relationship"] == Decimal("0.25")
    assert known(Named(), date(2020, 1, 1)).policy["max_pair_relationship"] == Decimal("0.125")


def test_a_figure_set_anew_for_the_same_day_leaves_the_earlier_one_readable(administrator: Actor) -> None:
    load_catalogue(administrator)
    first = set_figure(administrator, figure())
    second = set_figure(administrator, figure(value=Decimal("0.03")))
    first.refresh_from_db()
    assert (first.withdrawn_id, first.value, second.withdrawn_id) == (last().seq, Decimal("0.125"), None)


def test_a_figure_needs_its_source(administrator: Actor) -> None:
    with refused("Every figure needs its source: who decided it, or where it is printed."):
        set_figure(administrator, figure(source=""))
    with refused("This is 1001 characters long; at most 1000 fit. Shorten it."):
        set_figure(administrator, figure(meaning="x" * 1001))


def inherits(**changes: object) -> InheritanceSet:
    return InheritanceSet(**{"stock": STOCK.name, "ploidy": 4, "reason": "Counted chromosomes.", **changes})


def test_a_later_setting_of_inheritance_leaves_the_earlier_readable(administrator: Actor) -> None:
    load_catalogue(administrator)
    open_stock(administrator, STOCK)
    only_those_who_may(ADMINISTERING, lambda by: set_inheritance(by, inherits()))
    set_inheritance(administrator, inherits())
    set_inheritance(administrator, inherits(double_reduction=Decimal("0.1")))
    assert told()[:3] == ("administrator", "inheritance set", "stock Upper Isendre")
    assert last().reason == "Counted chromosomes."
    earlier, now = StockInheritance.objects.order_by("pk")[:2]
    assert (earlier.withdrawn_id, now.withdrawn_id) == (now.entry_id, None)
    assert now.double_reduction == Decimal("0.1")


def test_inheritance_is_refused_for_no_stock_and_all_at_once(administrator: Actor) -> None:
    load_catalogue(administrator)
    wrong = inherits(stock="Nowhere", ploidy=3, reason="")
    with refused("“Nowhere” is no stock", "3 gene copies cannot be halved", "Say who decided it and why"):
        set_inheritance(administrator, wrong)
