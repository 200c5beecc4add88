"""Whose young are in a batch: read from the ledger, in order of happening."""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal

from registry.models import Account, Batch, FamilyParents, Transfer
from registry.queries.known import parent_pairs
from registry.rules.known import Pair
from registry.rules.ledger import Flow, composition, rounded_shares


def family_shares(batch: Batch, day: date | None = None) -> dict[str, Decimal]:
    """Return the share of each family (by number) in a batch at the end of `day` (default: as it stands)."""
    return composition(_flows({batch.pk}, day), batch.number)


def _flows(batches: set[int], day: date | None) -> list[Flow]:
    """Return all transfers of the batches and of every batch that fed them, in order of happening."""
    rows: dict[int, Transfer] = {}
    accounts = set(Account.objects.filter(batch__in=batches).values_list("pk", flat=True))
    done: set[int] = set()
    while accounts:
        done |= accounts
        found = Transfer.objects.current().select_related(
            "from_account__batch", "from_account__family", "to_account__batch", "to_account__family"
        )
        into = found.filter(to_account__in=accounts)
        out = found.filter(from_account__in=accounts)
        if day:
            into, out = into.filter(moved_on__lte=day), out.filter(moved_on__lte=day)
        feeding = set()
        for row in [*into, *out]:
            rows[row.pk] = row
            if row.to_account_id in accounts and row.from_account.kind == Account.Kind.BATCH:
                feeding.add(row.from_account_id)
        accounts = feeding - done
    ordered = sorted(rows.values(), key=lambda row: (row.moved_on, row.pk))
    return [Flow(_name(row.from_account), _name(row.to_account), row.count) for row in ordered]


def _name(account: Account) -> tuple[str, str]:
    owner = account.batch or account.family
    return account.kind, owner.number if owner else ""


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
