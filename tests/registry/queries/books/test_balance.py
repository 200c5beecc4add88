"""No fish from nowhere, none to nowhere: whatever is done to batches, the accounts sum to zero and shares to one."""

from collections import defaultdict
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from django.db import transaction
from django.db.models import Sum
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from registry.errors import Refused
from registry.journal.verify import verify
from registry.models import Account, Batch, JournalEntry
from registry.operations.shared.entries import BatchOpening, Census, FamilyShare, Merge, Split, Taking
from registry.operations.young.batches import merge_batches, open_batch, record_census, record_loss, split_batch
from registry.queries.composition import shares_on
from tests.support.mixed_batch import mixed_batch

pytestmark = pytest.mark.django_db
START = date(2012, 1, 1)
BATCHES = ("P1", "P2")
FAMILIES = {"P1": "10-1", "P2": "10-2"}
deeds = st.lists(
    st.tuples(
        st.sampled_from(["loss", "split", "merge", "census"]), st.sampled_from(BATCHES), st.integers(1, 150)
    ),
    min_size=1,
    max_size=6,
)  # fmt: skip


class Model:
    """The definition: a batch is so many fish of each family, as exact fractions."""

    def __init__(self):
        self.held = {name: {family: Fraction(100)} for name, family in FAMILIES.items()}

    def count(self, name):
        return sum(self.held[name].values(), Fraction(0))

    def take(self, name, count):
        total, gone = self.count(name), {}
        for family, part in self.held[name].items():
            gone[family] = part * count / total
            self.held[name][family] = part - gone[family]
        return gone

    def put(self, name, parts):
        held = self.held.setdefault(name, {})
        for family, part in parts.items():
            held[family] = held.get(family, Fraction(0)) + part

    def scale(self, name, count):
        total = self.count(name)
        self.held[name] = {family: part * count / total for family, part in self.held[name].items()}


def do(by, model, deed, day, number):
    """Do one thing in the register and, if it was not refused, in the model."""
    what, name, count = deed
    other = BATCHES[1 - BATCHES.index(name)]
    if what == "loss":
        record_loss(by, Taking(batch=name, moved_on=day, count=count))
        model.take(name, count)
    elif what == "split":
        split_batch(by, Split(batch=name, new_number=f"S{number}", moved_on=day, count=count))
        model.put(f"S{number}", model.take(name, count))
    elif what == "merge":
        merge_batches(by, Merge(batch=name, into=other, moved_on=day, count=count))
        model.put(other, model.take(name, count))
    else:
        record_census(by, Census(batch=name, moved_on=day, counted=count))
        model.scale(name, count)


@pytest.fixture
def river(db):
    return mixed_batch()


@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(done=deeds)
def test_accounts_sum_to_zero_and_splitting_and_merging_keep_counts_and_shares(river, done):
    with transaction.atomic():
        model = Model()
        for name, family in FAMILIES.items():
            opening = BatchOpening(number=name, opened_on=START, count=100, families=(FamilyShare(family=family),))
            open_batch(river.by, opening)
        for number, deed in enumerate(done):
            # A batch that is empty has no proportions left to compare.
            if model.count(deed[1]) > deed[2]:
                do(river.by, model, deed, START + timedelta(days=number), number)
        agree(model)
        transaction.set_rollback(True)


def agree(model):
    """The register and the definition say the same of every batch; the books balance."""
    assert Account.objects.aggregate(total=Sum("balance"))["total"] == 0
    counts = dict(Batch.objects.filter(number__in=model.held).values_list("number", "account__balance"))
    shares = shares_on((name, None) for name in model.held)
    for name, held in model.held.items():
        total = model.count(name)
        assert counts[name] == total
        expected = {family: float(part / total) for family, part in held.items() if part}
        assert {family: float(part) for family, part in shares[name, None].items()} == pytest.approx(expected)
        assert sum(shares[name, None].values()) == 1


def test_more_than_a_batch_holds_is_refused_and_the_books_still_balance(river):
    before = JournalEntry.objects.count()
    with pytest.raises(Refused, match=r"Batch B3 holds 100 fish on 1 January 2012, not 101\. Count it"):
        record_loss(river.by, Taking(batch="B3", moved_on=START, count=101))

    assert JournalEntry.objects.count() == before
    assert verify().sound


def test_all_that_came_of_the_eggs_is_somewhere(river):
    """1,500 eggs: 1,500 = still in batches + registered + released."""
    totals = defaultdict(int)
    for kind, balance in Account.objects.values_list("kind", "balance"):
        totals[kind] += balance
    assert totals == {"family": -1500, "batch": 1298, "registered": 2, "released": 200}
    assert sum(totals.values()) == 0


def test_shares_of_many_batches_and_days_are_read_at_once(river, django_assert_max_num_queries):
    wanted = {("B1", date(2010, 7, 1)), ("B1", date(2010, 9, 1)), ("B3", None), ("B2", date(2010, 7, 1))}
    with django_assert_max_num_queries(8):
        found = shares_on(wanted)

    assert found["B1", date(2010, 7, 1)] == {"10-1": 1}
    assert found["B2", date(2010, 7, 1)] == {"10-2": 1}
    assert found["B1", date(2010, 9, 1)] == found["B3", None]
    assert {family: round(share, 6) for family, share in found["B3", None].items()} == {
        "10-1": Decimal("0.666667"),
        "10-2": Decimal("0.333333"),
    }
