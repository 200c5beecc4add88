"""What the register knows of all that entries name: the same handful of queries whatever their number."""

from dataclasses import replace
from datetime import date
from types import SimpleNamespace

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from registry.operations.crossing.milt import MiltCollected, collect_milt
from registry.operations.fish import admit_fish, record_departure
from registry.operations.shared.entries import Census, Day, Departure, Pair, TagCode, Taking
from registry.operations.young.batches import record_census, record_loss
from registry.queries.known import Named, known, learn
from tests.support.river import CODES, POND, STOCK, TANK, founder, small_river


@pytest.fixture
def river(db: None) -> SimpleNamespace:
    """Return the small river."""
    return small_river()


def queries(named: Named) -> int:
    with CaptureQueriesContext(
        connection,
    ) as asked:
        known(named)
    return len(asked)


def test_a_fish_is_found_whatever_the_case_of_its_number(river: SimpleNamespace) -> None:
    fish = known(Named(fish={"f1"})).find_fish("F1")
    assert (fish.number, fish.pk, fish.sex, fish.stock, fish.species) == (
        "F1", river.fish["F1"].pk, "F", STOCK, "ruthenus",
    )  # fmt: skip
    assert (fish.origin, fish.caught, fish.left, fish.pairs) == ("wild", Day(date(2000, 4, 3)), "", ())


def test_a_fish_that_died_and_its_frozen_milt_are_known(river: SimpleNamespace) -> None:
    collect_milt(
        river.by, MiltCollected(number="K1", male="M1", collected_on=date(2010, 5, 1), state="frozen", doses=4)
    )
    record_departure(river.by, Departure(fish="M1", left="died", left_on=Day(date(2011, 1, 1), "year")))
    facts = known(Named(fish={"M1", "M2"}))
    assert (facts.find_fish("M1").left, str(facts.find_fish("M1").left_on)) == ("died", "2011")
    assert facts.frozen_milt_of == {"m1"}


def test_a_code_leads_to_its_fish_and_a_fish_to_its_codes(river: SimpleNamespace) -> None:
    facts = known(Named(codes={CODES["F1"]}))
    (tag,) = facts.tags[TagCode("iso", CODES["F1"])]
    assert (tag.fish, tag.attached_on, tag.ended_on, tag.attached_known) == ("F1", date(2000, 4, 5), None, True)
    assert facts.find_fish("F1") is not None
    assert known(Named(fish={"F2"})).tags_on("f2")[0].code.code == CODES["F2"]


def test_codes_one_digit_off_are_known_only_where_they_are_asked_for(river: SimpleNamespace) -> None:
    slip = CODES["F1"][:-1] + "7"
    assert not known(Named(codes={slip})).tags
    assert set(known(Named(codes={slip}, near=True)).tags) == {TagCode("iso", CODES["F1"])}


def test_a_family_is_known_with_its_parents_and_its_cross(river: SimpleNamespace) -> None:
    facts = known(Named(families={"10-1", "10-9"}))
    family = facts.find_family("10-1")
    assert (family.stock, family.pairs, family.has_cross) == (STOCK, (Pair("F1", "M1"),), True)
    assert {facts.find_fish("F1").sex, facts.find_fish("M1").sex} == {"F", "M"}
    assert facts.find_family("10-9") is None


def test_a_batch_is_known_with_its_unit_and_its_movements_in_order_of_happening(river: SimpleNamespace) -> None:
    record_census(river.by, Census(batch="B1", moved_on=date(2010, 7, 1), counted=900))
    record_loss(river.by, Taking(batch="B1", moved_on=date(2010, 6, 1), count=30))
    batch = known(Named(batches={"b1"})).find_batch("B1")
    assert (batch.stock, batch.unit, batch.opened_on) == (STOCK, POND, date(2010, 5, 10))
    assert [(m.event, m.change, m.counted) for m in batch.movements] == [
        ("open", 1000, None),
        ("loss", -30, None),
        ("census", -100, 900),
        ("census", 30, None),
    ]
    assert (batch.balance(date(2010, 6, 1)), batch.balance()) == (970, 900)


def test_catalogue_units_and_policy_are_always_known(river: SimpleNamespace) -> None:
    facts = known(Named(), date(2011, 1, 1))
    assert (facts.stocks, facts.units, facts.today) == ({STOCK: "ruthenus"}, {TANK, POND}, date(2011, 1, 1))
    assert facts.species["ruthenus"].name == "Acipenser ruthenus"
    assert "max_pair_relationship" in facts.policy


def test_more_is_learned_without_forgetting(river: SimpleNamespace) -> None:
    facts = known(Named(fish={"F1"}))
    learn(facts, Named(fish={"F2"}, batches={"B1"}))
    assert all([facts.find_fish("F1"), facts.find_fish("F2"), facts.find_batch("B1")])


def test_the_number_of_queries_does_not_grow_with_what_is_named(river: SimpleNamespace) -> None:
    one = Named(fish={"F1"}, families={"10-1"}, batches={"B1"}, codes={CODES["F1"]}, near=True)
    few = queries(one)
    for n in range(30):
        admit_fish(river.by, replace(founder(f"F{100 + n}"), tag=TagCode("iso", f"9002150000{n * 3333:05d}")))
    many = Named(
        fish={f"F{100 + n}" for n in range(30)} | set(CODES), families={"10-1"}, batches={"B1"},
        codes=set(CODES.values()), near=True,
    )  # fmt: skip
    assert queries(many) == few <= 27
