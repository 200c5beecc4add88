"""Whether the books balance: parentage sums to 1, kept balances equal their ledger, no batch was ever below zero."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from itertools import groupby
from operator import itemgetter

from django.db.models import Exists, OuterRef, Sum

from registry.journal.findings import Finding, Report
from registry.models import Account, Parentage, ParentPair, Transfer
from registry.rules.days import spoken


def check_parentage(report: Report) -> None:
    """Report parentages whose probabilities do not sum to exactly 1, or that have no pair at all."""
    pairs = ParentPair.objects.current()
    rows = pairs.order_by("parentage").values_list("parentage", "probability").iterator(chunk_size=5000)
    for parentage, group in groupby(rows, key=itemgetter(0)):
        total = sum((probability for _, probability in group), Decimal(0))
        if total != 1:
            report.add(_parentage(parentage, f"sum to {total.normalize():f}, not to 1"))
    bare = Parentage.objects.current().filter(~Exists(pairs.filter(parentage=OuterRef("pk"))))
    for parentage in bare.order_by("pk").values_list("pk", flat=True).iterator(chunk_size=5000):
        report.add(_parentage(parentage, "are missing: it names no pair of parents"))


def _parentage(key: int, what: str) -> Finding:
    table = Parentage._meta.db_table
    return Finding("parentage", f"The probabilities of parentage {key} {what}.", table=table, record=key)


def check_balances(report: Report) -> None:
    """Report accounts whose kept balance is not what their transfers come to."""
    moved = Transfer.objects.current().order_by()
    into = dict(moved.values_list("to_account").annotate(Sum("count")))
    out = dict(moved.values_list("from_account").annotate(Sum("count")))
    for account in Account.objects.select_related("batch", "family").order_by("pk").iterator(chunk_size=5000):
        booked = into.get(account.pk, 0) - out.get(account.pk, 0)
        if booked != account.balance:
            text = f"The kept balance of {account} is {account.balance}; its transfers come to {booked}."
            report.add(Finding("balance", text, table=Account._meta.db_table, record=account.pk))


def check_never_below_zero(report: Report) -> None:
    """Report batches that held fewer than no fish at the end of any day, in order of happening."""
    names = dict(Account.objects.filter(kind=Account.Kind.BATCH).values_list("pk", "batch__number"))
    balances = dict.fromkeys(names, 0)
    for day, moves in _days():
        touched = set()
        for source, target, count in moves:
            for account, change in ((source, -count), (target, count)):
                if account in balances:
                    balances[account] += change
                    touched.add(account)
        for account in sorted(touched):
            if balances[account] < 0:
                text = f"Batch {names[account]} held {balances[account]} fish at the end of {spoken(day)}."
                report.add(Finding("below zero", text, table=Account._meta.db_table, record=account))


def _days() -> Iterator[tuple[date, Iterator[tuple[int, int, int]]]]:
    rows = Transfer.objects.current().order_by("moved_on", "pk")
    moves = rows.values_list("moved_on", "from_account", "to_account", "count").iterator(chunk_size=5000)
    for day, group in groupby(moves, key=itemgetter(0)):
        yield day, (row[1:] for row in group)
