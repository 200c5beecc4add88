"""Whatever the hall enters, in whatever order: no fish from nowhere, none to nowhere, and the journal verifies."""

from collections.abc import Callable
from datetime import date, timedelta
from types import SimpleNamespace
from typing import Any

import pytest
from django.db import transaction
from django.db.models import F, Min, Sum
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from registry.errors import Refused
from registry.journal.verify import verify
from registry.models import Account, Batch, Transfer
from registry.operations.corrections import Correction, correct
from registry.operations.registration import register_individuals
from registry.operations.shared.entries import (
    Admission,
    BatchOpening,
    BatchPart,
    Census,
    FamilyShare,
    Merge,
    Registration,
    ReleaseMade,
    Split,
    Taking,
)
from registry.operations.young.batches import merge_batches, open_batch, record_census, record_loss, split_batch
from registry.operations.young.releases import release

START = date(2010, 5, 10)
KINDS = ("open", "loss", "cull", "census", "split", "merge", "register", "release", "correct")
Step = tuple[str, int, int, int]
STEPS = st.lists(
    st.tuples(st.sampled_from(KINDS), st.integers(0, 9), st.sampled_from((5, 100, 400, 900)), st.integers(0, 2)),
    min_size=1,
    max_size=12,
)


def take(by: Any, step: Step, number: int) -> None:
    """Do one thing of that kind, on a day before or after the others, to one batch or another."""
    kind, after, count, which = step
    batches = list(Batch.objects.order_by("pk").values_list("number", flat=True))
    one, other = batches[which % len(batches)], batches[(which + 1) % len(batches)]
    day = START + timedelta(days=after)
    family = (FamilyShare(family="10-1"),)
    young = tuple(Admission(number=f"Y{number}-{n}") for n in range(1 + count % 3))
    deeds: dict[str, Callable[[], object]] = {
        "open": lambda: open_batch(by, BatchOpening(number=f"O{number}", opened_on=day, count=count, families=family)),
        "loss": lambda: record_loss(by, Taking(batch=one, moved_on=day, count=count)),
        "cull": lambda: record_loss(by, Taking(batch=one, moved_on=day, count=count, event="cull")),
        "census": lambda: record_census(by, Census(batch=one, moved_on=day, counted=count - 1)),
        "split": lambda: split_batch(by, Split(batch=one, new_number=f"S{number}", moved_on=day, count=count)),
        "merge": lambda: merge_batches(by, Merge(batch=one, into=other, moved_on=day, count=count)),
        "register": lambda: register_individuals(by, Registration(batch=one, moved_on=day, fish=young)),
        "release": lambda: release(
            by, ReleaseMade(released_on=day, place="Alder Ford", batches=(BatchPart(batch=one, count=count),))
        ),
        "correct": lambda: correct(by, Correction(record=_some(which), changes={"count": count}, reason="Recounted.")),
    }
    deeds[kind]()


def _some(which: int) -> Transfer:
    rows = Transfer.objects.current().exclude(event="census")
    return rows[which % rows.count()]


def lowest_of(account: Account) -> int:
    """Return the lowest balance at the end of any day, summed day by day from the transfers."""
    changes: dict[date, int] = {}
    for row in Transfer.objects.current().filter(to_account=account):
        changes[row.moved_on] = changes.get(row.moved_on, 0) + row.count
    for row in Transfer.objects.current().filter(from_account=account):
        changes[row.moved_on] = changes.get(row.moved_on, 0) - row.count
    balance, lowest = 0, 0
    for day in sorted(changes):
        balance += changes[day]
        lowest = min(lowest, balance)
    assert balance == account.balance
    return lowest


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(steps=STEPS)
@example(steps=[("loss", 10, 800, 0), ("census", 20, 900, 0), ("loss", 2, 300, 0)])
@example(steps=[("loss", 10, 500, 0), ("census", 20, 700, 0), ("census", 2, 100, 0)])
def test_fish_are_never_made_nor_lost_whatever_is_entered_in_whatever_order(
    river: SimpleNamespace, steps: list[Step]
) -> None:
    with transaction.atomic():
        for number, step in enumerate(steps):
            try:
                take(river.by, step, number)
            except Refused:
                continue
        assert Account.objects.aggregate(n=Sum("balance"))["n"] == 0
        for account in Account.objects.filter(kind="batch"):
            assert lowest_of(account) == 0
        report = verify()
        assert report.sound, [finding.message for finding in report.findings]
        transaction.set_rollback(True)


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_step_is_one_that_the_hall_can_take(river: SimpleNamespace, kind: str) -> None:
    take(river.by, ("split", 0, 500, 0), 1)
    before = Transfer.objects.count()
    take(river.by, (kind, 3, 40, 1), 2)
    assert Transfer.objects.count() > before
    assert Account.objects.filter(kind="batch").aggregate(least=Min(F("balance")))["least"] > 0
