"""Two fish in hand: how close, and may they be crossed."""

from decimal import Decimal

import pytest

from registry.models import Role
from registry.operations.catalogue import set_inheritance
from registry.operations.fish import admit_fish
from registry.operations.intake.samples import take_sample
from registry.operations.shared.entries import Admission, Pair
from registry.rules.inheritance import InheritanceSet
from registry.rules.intake.samples import SampleTaken
from tests.support.broodstock import HALL, broodstock, plan_of
from tests.support.people import person
from tests.support.river import CODES, STOCK

pytestmark = pytest.mark.django_db


@pytest.fixture
def hall(client_of):
    broodstock()
    return client_of("staff")


def ask(hall, one, other):
    answer = hall.get("/kinship/", {"one": one, "other": other})
    return " ".join(answer.content.decode().split())


def test_two_scans_tell_kinship_and_whether_they_may_be_crossed(hall):
    page = ask(hall, CODES["F2"], CODES["M2"])

    assert "<strong>0</strong>, unrelated as far as the pedigree is known" in page
    assert "F2: no tissue sample is kept. Take one." in page
    for number in ("F2", "M2"):
        take_sample(HALL, SampleTaken(fish=number, number=f"T-{number}", taken_on=None))
    assert "Nothing speaks against F2 × M2." in ask(hall, "F2", "M2")


def test_full_sibs_are_told_and_refused(hall):
    page = ask(hall, "D2", "D1")

    # Full sibs of unrelated parents: kinship 1/4; Falconer & Mackay 1996, chapter 5, from memory.
    assert "<strong>0.25</strong>, as close as full sibs or parent and offspring" in page
    assert "expected inbreeding 0.25" in page
    assert (
        "D1 × D2: relationship 0.5000 (kinship 0.2500) is not below 0.25, the limit on the closeness of a pair." in page
    )


def test_two_fish_are_told_as_their_stock_inherits(hall):
    entry = InheritanceSet(stock=STOCK, ploidy=4, double_reduction=Decimal("0.1"), reason="marker study")
    set_inheritance(person(Role.ADMINISTRATOR), entry)

    page = ask(hall, "D2", "D1")

    # Autotetraploid full sibs with double reduction 0.1: kinship 1/7, F of their young 1/7 (Hamilton and Kerr 2018).
    assert "<strong>0.1429</strong>, as close as full sibs" in page
    assert "expected inbreeding 0.1429" in page
    assert "relationship 0.5714 (kinship 0.1429) is not below 0.25" in page
    assert "with 4 gene copies, double reduction 0.1." in page


def test_two_females_are_no_cross_but_have_a_kinship(hall):
    page = ask(hall, "F1", "D1")

    assert "<strong>0.25</strong>" in page
    assert "They are not on record as a female and a male." in page


def test_one_fish_read_twice_is_said(hall):
    assert "This is one fish, read twice." in ask(hall, "F1", CODES["F1"])


def test_plans_and_families_of_the_pair_are_named(hall):
    plan_of(("F2", "M2"))

    assert "plan P1" in ask(hall, "F2", "M2")
    assert "family 10-1" in ask(hall, "F1", "M1")


def test_an_unknown_fish_is_refused_and_what_was_typed_stays(hall):
    answer = hall.get("/kinship/", {"one": "X99", "other": "F1"})

    assert answer.status_code == 422
    page = " ".join(answer.content.decode().split())
    assert "No fish has the number or tag “X99”" in page
    assert 'value="X99"' in page


def test_an_unasked_page_only_asks(hall):
    page = " ".join(hall.get("/kinship/").content.decode().split())

    assert "Scan two fish" in page
    assert "is missing" not in page


def test_a_verdict_that_hangs_on_parents_in_doubt_is_said(hall):
    half = Decimal("0.5")
    admit_fish(HALL, Admission(number="P1", species="ruthenus", stock=STOCK, sex="F",
                               pairs=(Pair("F2", "M1", half), Pair("F2", "M2", half))))  # fmt: skip

    page = ask(hall, "P1", "D2")

    # D2 is of M1: half sibs 1/8 if P1 is too, else unrelated (Falconer & Mackay 1996, chapter 5, from memory).
    assert "<strong>0.0625</strong>" in page
    assert "With one or another of the possible parents it is from 0 to 0.125." in page
    assert "The limit of 0.125 lies in between: the verdict hangs on who the parents were." in page


def test_nothing_is_said_of_doubt_where_all_parents_are_known(hall):
    assert "Parents in doubt" not in ask(hall, "D1", "D2")
