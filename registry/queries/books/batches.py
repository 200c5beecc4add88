"""What pages ask of batches: the list, the movements in order of happening, where the fish came from and went."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import OuterRef, Q, QuerySet, Subquery

from registry.models import Account, Batch, BatchMark, FishDetails, JournalEntry, Stay, Transfer
from registry.queries.known import spellings

OWNERS = ("from_account__batch", "from_account__family", "to_account__batch", "to_account__family", "release")
COUNTED = (Transfer.Event.OPEN, Transfer.Event.CENSUS)


@dataclass(frozen=True, slots=True)
class Movement:
    """One transfer as the batch sees it. `balance` is the count after it; a corrected one has none."""

    transfer: Transfer
    change: int
    balance: int | None
    entry: JournalEntry
    corrected_by: JournalEntry | None

    @property
    def other(self) -> tuple[str, str]:
        """Return kind and number of the other side: a batch, a family, a release, or ("", the account's name)."""
        other = self.transfer.to_account if self.change < 0 else self.transfer.from_account
        if self.transfer.release:
            return "release", self.transfer.release.number
        if other.batch:
            return "batch", other.batch.number
        return ("family", other.family.number) if other.family else ("", other.get_kind_display())


def listed() -> QuerySet[Batch]:
    """Return batches with `unit` and `counted_on`, and their account, as the list shows them."""
    stays = Stay.objects.current().filter(batch=OuterRef("pk"), until__isnull=True)
    touching = Q(from_account=OuterRef("account__pk")) | Q(to_account=OuterRef("account__pk"))
    counts = Transfer.objects.current().filter(touching, event__in=COUNTED).order_by("-moved_on", "-pk")
    return Batch.objects.current().select_related("stock", "account").annotate(
        unit=Subquery(stays.values("unit__name")[:1]), counted_on=Subquery(counts.values("moved_on")[:1])
    )  # fmt: skip


def movements(batch: Batch) -> list[Movement]:
    """Return every movement of a batch in order of happening; what replaced a corrected one stands in its place."""
    account = batch.account
    rows = list(
        Transfer.objects.filter(Q(from_account=account) | Q(to_account=account))
        .select_related(*OWNERS, "entry", "withdrawn")
        .order_by("pk")
    )
    places = _places(rows)
    balance, found = 0, []
    for row in sorted(rows, key=lambda row: (row.moved_on, places[row.pk], row.pk)):
        change = row.count if row.to_account_id == account.pk else -row.count
        if row.withdrawn_id is None:
            balance += change
        found.append(Movement(row, change, balance if row.withdrawn_id is None else None, row.entry, row.withdrawn))
    return found


def _places(rows: Iterable[Transfer]) -> dict[int, int]:
    """Return where each row stands among those of its day: a correction where the corrected one stood."""
    places: dict[int, int] = {}
    taken_back: dict[tuple[int | None, str, date], int] = {}
    for row in rows:
        places[row.pk] = taken_back.get((row.entry_id, row.event, row.moved_on), row.pk)
        if row.withdrawn_id:
            taken_back[row.withdrawn_id, row.event, row.moved_on] = places[row.pk]
    return places


def registered_out_of(batch: Batch) -> QuerySet[FishDetails]:
    """Return the fish that were tagged out of a batch."""
    return FishDetails.objects.current().filter(from_batch=batch).select_related("fish").order_by("fish__number")


def holding_young_of(family: str) -> set[int]:
    """Return the keys of batches that ever held young of a family: opened with them, split or merged from such."""
    accounts = set(Account.objects.filter(family__number__iexact=family).values_list("pk", flat=True))
    found: set[int] = set()
    while accounts:
        into = Transfer.objects.current().filter(from_account__in=accounts, to_account__kind=Account.Kind.BATCH)
        accounts = set(into.values_list("to_account", flat=True)) - found
        found |= accounts
    return set(Account.objects.filter(pk__in=found).values_list("batch_id", flat=True))


def marks_of_batches(numbers: Iterable[str]) -> list[str]:
    """Return the marks that fish of these batches bear, each in one line; a batch that is not there has none."""
    wanted = {spelt for number in numbers if number.strip() for spelt in spellings([number.strip()])}
    rows = BatchMark.objects.current().filter(batch__number__in=wanted).order_by("marked_on", "pk") if wanted else ()
    return list(dict.fromkeys(str(mark) for mark in rows))
