"""Batches with all their movements, as rules know them."""

from django.db.models import Q

from registry.models import Batch, Stay, Transfer
from registry.queries.chunks import chunks
from registry.queries.intake.holds import learn_holds_of_batches
from registry.rules.known import Known, KnownBatch, Movement, fold


def load_batches(found: Known, pks: set[int]) -> None:
    """Note batches with all movements in and out of their accounts, in order of happening."""
    accounts: dict[int, KnownBatch] = {}
    for part in chunks(pks):
        for batch in Batch.objects.filter(pk__in=part).select_related("stock", "account"):
            stock = batch.stock.name if batch.stock else ""
            accounts[batch.account.pk] = KnownBatch(batch.number, batch.pk, stock, batch.opened_on)
            found.add_batch(accounts[batch.account.pk])
        stays = Stay.objects.current().filter(batch__in=part, until__isnull=True)
        for number, unit in stays.values_list("batch__number", "unit__name"):
            found.batches[fold(number)].unit = unit
    learn_holds_of_batches(found)
    for part in chunks(accounts):
        touching = Q(from_account__in=part) | Q(to_account__in=part)
        rows = Transfer.objects.current().filter(touching).order_by("moved_on", "pk").distinct()
        values = rows.values_list("pk", "moved_on", "event", "count", "counted", "from_account_id", "to_account_id")
        for pk, moved_on, event, count, counted, source, target in values:
            for account, change in ((source, -count), (target, count)):
                if account in accounts:
                    accounts[account].movements.append(Movement(moved_on, pk, event, change, counted=counted))
