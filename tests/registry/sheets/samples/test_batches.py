"""The sheet of what happened to batches, and the books that must come out of it."""

import pytest

from registry.models import Account, Batch, Stay, Transfer
from registry.queries.composition import family_shares
from tests.support.samples import expected, faults, shown, take_until, truth

pytestmark = pytest.mark.django_db
EVENTS = {"open", "loss", "census", "split", "merge"}


def test_every_row_is_judged_as_the_truth_says() -> None:
    take_until("spawnings")
    assert list(faults(shown("batches"))) == []


def test_the_books_hold_exactly_the_values_of_the_truth() -> None:
    found = take_until("batches")
    for row, values in expected(found):
        if values["event"] not in EVENTS:
            continue
        rows = Transfer.objects.current().filter(event=values["event"], moved_on=values["date"])
        end = "from_account" if values["event"] == "loss" else "to_account"
        if values["event"] == "census":
            assert rows.filter(counted=values["count"], stage=values["stage"]).exists(), f"row {row}"
            continue
        mine = rows.filter(**{f"{end}__batch__number": values["batch"]}, stage=values["stage"] or "")
        counts = [one.count for one in mine]
        assert values["count"] in (sum(counts), *counts), f"row {row}: {counts}"


def test_every_batch_holds_what_the_truth_says_after_all_sheets() -> None:
    take_until("releases")
    held = dict(Account.objects.filter(kind="batch").values_list("batch__number", "balance"))
    may_differ = set(truth()["balance_may_differ"])
    wanted = truth()["batch_balances"]
    assert {number: held[number] for number in wanted if number not in may_differ} == {
        number: count for number, count in wanted.items() if number not in may_differ
    }
    assert set(held) == set(wanted)


def test_every_batch_is_of_the_families_that_the_truth_names() -> None:
    take_until("batches")
    for number, families in truth()["batch_families"].items():
        assert set(family_shares(Batch.objects.get(number=number))) == set(families), number


def test_a_moved_batch_is_in_its_new_unit_and_left_the_old_one() -> None:
    take_until("batches")
    stays = Stay.objects.current().filter(batch__number="B11-02").order_by("pk")
    assert [(stay.unit.name, stay.until is None) for stay in stays][-1] == ("Trough 3", True)
    assert sum(stay.until is None for stay in stays) == 1
