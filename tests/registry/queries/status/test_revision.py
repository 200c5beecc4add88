"""Figures are named after the state of the pedigree: whatever changes them changes the name, nothing else does."""

from collections.abc import Callable
from datetime import date
from types import SimpleNamespace

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from registry.models import JournalEntry, Role
from registry.operations.catalogue import set_inheritance
from registry.operations.checks import record_measurement
from registry.operations.crossing.milt import MiltCollected, collect_milt
from registry.operations.fish import admit_fish
from registry.operations.shared.entries import Admission, Measurement, Pair, Taking
from registry.operations.young.batches import record_loss
from registry.queries.status.keep import kept
from registry.queries.status.revision import NOTHING, pedigree_revision
from registry.rules.inheritance import InheritanceSet
from tests.support.people import person
from tests.support.river import STOCK, founder


@pytest.mark.django_db
def test_an_empty_register_has_a_revision_too() -> None:
    assert pedigree_revision() == NOTHING


def of_pair(by: SimpleNamespace) -> None:
    entry = Admission(number="Y1", species="ruthenus", stock=STOCK, pairs=(Pair("F1", "M1"),))
    admit_fish(by, entry)


CHANGES: dict[str, Callable[..., object]] = {
    "a founder": lambda by: admit_fish(by, founder("F9")),
    "young of a pair": of_pair,
    "a loss in a batch": lambda by: record_loss(by, Taking(batch="B1", count=3, moved_on=date(2010, 6, 1))),
    "how the stock inherits": lambda _by: set_inheritance(
        person(Role.ADMINISTRATOR), InheritanceSet(stock=STOCK, ploidy=4, reason="invented")
    ),
    "frozen milt": lambda by: collect_milt(
        by, MiltCollected(number="L1", male="M1", collected_on=date(2012, 5, 1), state="frozen", doses=4)
    ),
}


@pytest.mark.parametrize("change", CHANGES)
def test_what_changes_a_figure_changes_the_revision(change: str, river: SimpleNamespace) -> None:
    before = pedigree_revision()
    CHANGES[change](river.by)
    assert pedigree_revision() != before


def test_a_death_changes_the_revision(river: SimpleNamespace, leave: Callable[[str, int], None]) -> None:
    before = pedigree_revision()
    leave("F2", 2020)
    assert pedigree_revision() != before


def test_a_measurement_keeps_the_revision(river: SimpleNamespace) -> None:
    before = pedigree_revision()
    record_measurement(river.by, Measurement(fish="F1", checked_on=timezone.localdate(), stage="IV", method="by hand"))
    assert pedigree_revision() == before


def test_the_revision_tells_apart_two_registers_of_as_many_entries(river: SimpleNamespace) -> None:
    seq, start = pedigree_revision().split("-")
    assert JournalEntry.objects.get(seq=seq).hash.startswith(start)


def test_the_revision_is_one_question(river: SimpleNamespace) -> None:
    with CaptureQueriesContext(connection) as asked:
        pedigree_revision()
    assert len(asked) == 1


def test_what_was_computed_is_kept_until_the_pedigree_changes(
    river: SimpleNamespace, leave: Callable[[str, int], None]
) -> None:
    computed: list[int] = []

    def compute() -> int:
        computed.append(1)
        return len(computed)

    assert [kept("count", compute), kept("count", compute)] == [1, 1]
    leave("F2", 2020)
    assert kept("count", compute) == 2


def test_that_there_is_nothing_to_tell_is_kept_as_well(river: SimpleNamespace) -> None:
    computed: list[int] = []
    for _ in range(2):
        assert kept("nothing", lambda: computed.append(1)) is None
    assert len(computed) == 1
