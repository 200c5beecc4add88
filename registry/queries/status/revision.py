"""A name for the state of everything that genetic figures are computed from: another state, another name."""

from django.db import connection

from registry.models import (
    Batch,
    Family,
    FamilyParents,
    FishDetails,
    FounderPair,
    FounderSet,
    JournalEntry,
    MiltLot,
    MiltUse,
    Parentage,
    ParentPair,
    Species,
    Stock,
    StockInheritance,
    Transfer,
)

# Everything that says who is whose young, who lives, and how many.
READ = (
    FishDetails, Parentage, ParentPair, Family, FamilyParents, Batch, Transfer, MiltLot, MiltUse, Species, Stock,
    StockInheritance, FounderSet, FounderPair,
)  # fmt: skip
NOTHING = "0"


def pedigree_revision() -> str:
    """Return number and hash of the last journal entry that wrote or took back anything that figures are computed from.

    The hash stands for the whole journal up to there, so that a register restored from elsewhere never meets figures of
    another one. One statement; each of its parts looks at the end of an index.
    """
    with connection.cursor() as cursor:
        cursor.execute(_STATEMENT)
        found = cursor.fetchone()
    return f"{found[0]}-{found[1][:20]}" if found else NOTHING


def _statement() -> str:
    quote = connection.ops.quote_name
    ends = [
        f"SELECT MAX({quote(column)}) AS seq FROM {quote(model._meta.db_table)}"  # noqa: S608  (names of ours)
        for model in READ
        for column in ("entry_id", "withdrawn_id")
    ]
    journal = quote(JournalEntry._meta.db_table)
    newest = f"SELECT MAX(seq) FROM ({' UNION ALL '.join(ends)}) ends"  # noqa: S608
    return f"SELECT seq, hash FROM {journal} WHERE seq = ({newest})"  # noqa: S608


_STATEMENT = _statement()
