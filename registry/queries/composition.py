"""Whose young are in a batch: read from the ledger, in order of happening."""

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from registry.journal.as_of import known_on
from registry.models import Account, Batch, FamilyParents, Transfer
from registry.queries.chunks import chunks
from registry.queries.known import parent_pairs
from registry.rules.known import Pair
from registry.rules.young.ledger import Flow, compositions, rounded_shares

BatchDay = tuple[str, date | None]
OWNER = ("kind", "batch__number", "family__number")
ENDS = tuple(f"{end}_account__{what}" for end in ("from", "to") for what in OWNER)
# A list of batches reads hundreds of transfers: plain columns cost a quarter of what whole rows do.
COLUMNS = ("pk", "moved_on", "event", "count", "from_account_id", "to_account_id", *ENDS)


def family_shares(batch: Batch, day: date | None = None) -> dict[str, Decimal]:
    """Return the share of each family (by number) in a batch at the end of `day` (default: as it stands)."""
    return shares_on({(batch.number, day)})[batch.number, day]


def shares_on(wanted: Iterable[BatchDay], known: date | None = None) -> dict[BatchDay, dict[str, Decimal]]:
    """Return the family shares of many batches, each at the end of its day (None: as it stands), walking back once.

    `known` asks for the books as they were known at the end of that day.
    """
    asked = set(wanted)
    flows = _flows({number for number, _ in asked}, known)
    found: dict[BatchDay, dict[str, Decimal]] = {}
    for day in {day for _, day in asked}:
        content = compositions(flow for moved_on, flow in flows if day is None or moved_on <= day)
        found |= {(number, on): content.get(number, {}) for number, on in asked if on == day}
    return found


def _flows(batches: Iterable[str], known: date | None) -> list[tuple[date, Flow]]:
    """Return all transfers of the batches and of every batch that fed them, in order of happening, with their day."""
    rows: dict[int, Any] = {}
    accounts: set[int] = set()
    for part in chunks(batches):
        accounts |= set(Account.objects.filter(batch__number__in=part).values_list("pk", flat=True))
    done: set[int] = set()
    while accounts:
        done |= accounts
        feeding = set()
        for row in _touching(accounts, known):
            rows[row.pk] = row
            if row.to_account_id in accounts and row.from_account__kind == Account.Kind.BATCH:
                feeding.add(row.from_account_id)
        accounts = feeding - done
    # A corrected opening is written last and still comes first: no fish leave a batch before any came.
    first = Transfer.Event.OPEN
    ordered = sorted(rows.values(), key=lambda row: (row.moved_on, row.event != first, row.pk))
    return [(row.moved_on, Flow(*_names(row), row.count)) for row in ordered]


def _touching(accounts: set[int], known: date | None) -> Iterator[Any]:
    found = known_on(Transfer.objects.all(), known).values_list(*COLUMNS, named=True)
    for part in chunks(accounts):
        yield from found.filter(to_account__in=part)
        yield from found.filter(from_account__in=part)


def _names(row: Any) -> tuple[tuple[str, str], tuple[str, str]]:
    kind, batch, family, to_kind, to_batch, to_family = row[-len(ENDS) :]
    return (kind, batch or family or ""), (to_kind, to_batch or to_family or "")


def pairs_of_families(shares: Mapping[str, Decimal]) -> tuple[Pair, ...]:
    """Return the parentage of a fish that is of each family with its share: the mixture of the families' pairs."""
    rows = FamilyParents.objects.current().filter(family__number__in=list(shares)).select_related("family")
    by_family = {row.family.number: row.parentage_id for row in rows}
    pairs, _ = parent_pairs(set(by_family.values()))
    mixed: dict[tuple[str | None, str | None], Decimal] = {}
    for family, share in shares.items():
        for pair in pairs[by_family[family]] if family in by_family else (Pair(None, None),):
            key = (pair.dam, pair.sire)
            mixed[key] = mixed.get(key, Decimal(0)) + share * pair.probability
    if set(mixed) <= {(None, None)}:
        return ()
    keys = {f"{n}": key for n, key in enumerate(mixed)}
    rounded = rounded_shares({n: mixed[key] for n, key in keys.items()})
    return tuple(Pair(*keys[n], probability=share) for n, share in rounded.items())
