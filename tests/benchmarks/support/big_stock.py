"""One invented stock of a million fish, of which three in ten live, written straight into empty tables.

Only measuring reads it: the rows are those that operations would write, but the journal has a single entry.
"""

from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from random import Random
from typing import Any

from django.db import connection, models, transaction

from registry.journal.write import door
from registry.models import Fish, FishDetails, JournalEntry, Parentage, ParentPair, Stock, Tag
from registry.operations.catalogue import StockOpened, load_catalogue, open_stock
from registry.operations.people import installer
from registry.permissions import ADMINISTER

NAME = "Lower Isendre"
FIRST_YEAR, GENERATIONS, YEARS_APART = 1994, 5, 6
FAMILIES_A_BREEDER = 2
LIVING = 0.3


def ensure(fish: int) -> str:
    """Build the stock if the tables are empty; say what is there."""
    if not Fish.objects.exists():
        _build(fish, Random(1))
    living = FishDetails.objects.current().filter(left="").count()
    families = Parentage.objects.count()
    return f"{Fish.objects.count():,} fish, {living:,} living, {families:,} families"


def two_tagged() -> tuple[str, str]:
    """Return the codes of two living fish of the youngest, tagged for the purpose."""
    codes = "756000000000011", "756000000000022"
    if not Tag.objects.exists():
        youngest = FishDetails.objects.current().filter(left="").order_by("-fish_id").values_list("fish_id", flat=True)
        with door(installer("measuring"), ADMINISTER) as opened:
            made = opened.open("two fish tagged for measuring", NAME)
            for fish, code in zip(youngest[: len(codes)], codes, strict=True):
                made.add(Tag(fish_id=fish, system=Tag.System.ISO, code=code, attached_on=date(2026, 5, 1)))
    return codes


def _build(fish: int, dice: Random) -> None:
    setup = installer("measuring")
    load_catalogue(setup)
    open_stock(setup, StockOpened(name=NAME, species="ruthenus", river="Isendre"))
    with door(setup, ADMINISTER) as opened:
        opened.open("stock written for measuring", NAME)
    fixed = {"entry_id": JournalEntry.objects.order_by("-seq")[0].seq}
    stock = Stock.objects.get(name=NAME)
    of_stock = fixed | {"stock_id": stock.pk, "species_id": stock.species_id}
    each = max(12, fish // 350 // GENERATIONS)
    with transaction.atomic(), connection.cursor() as cursor:
        families = each * FAMILIES_A_BREEDER // 2
        sibs = (fish - each) // (families * GENERATIONS)
        _fill(
            cursor,
            Fish,
            ({"id": n + 1, "number": f"N{n:07}"} | fixed for n in range(each + sibs * families * GENERATIONS)),
        )
        parents = list(range(1, each + 1))
        _fill(cursor, FishDetails, (_founder(key, of_stock) for key in parents))
        for generation in range(GENERATIONS):
            start = 1 + each + generation * families * sibs
            pairs = [(dice.choice(parents[::2]), dice.choice(parents[1::2])) for _ in range(families)]
            first = 1 + generation * families
            _fill(
                cursor,
                Parentage,
                ({"id": first + n, "basis": "recorded", "draw": "each"} | fixed for n in range(families)),
            )
            _fill(cursor, ParentPair, (_pair(first + n, pair) | fixed for n, pair in enumerate(pairs)))
            _fill(cursor, FishDetails, _young(generation, (start, sibs, first, families), of_stock, dice))
            parents = dice.sample(range(start, start + families * sibs), each)
        cursor.execute("ANALYZE")


def _founder(key: int, fixed: dict[str, Any]) -> dict[str, Any]:
    caught = date(FIRST_YEAR - 2, 5, 1)
    gone = {"left": "died", "left_on": caught + timedelta(days=3000 + key), "left_precision": "day"}
    return fixed | {"fish_id": key, "origin": "wild", "sex": "FM"[key % 2], "caught_on": caught} | gone


def _pair(parentage: int, pair: tuple[int, int]) -> dict[str, Any]:
    return {"parentage_id": parentage, "dam_id": pair[0], "sire_id": pair[1], "probability": "1"}


def _young(generation: int, numbers: tuple[int, int, int, int], fixed: dict[str, Any], dice: Random) -> Iterator[dict]:
    """Yield the details of a generation's fish, its families spread over some years."""
    start, sibs, first, families = numbers
    for n in range(families):
        year = FIRST_YEAR + generation * YEARS_APART + n % YEARS_APART
        hatched = date(year, 5, 1 + n % 28)
        for k in range(sibs):
            key = start + n * sibs + k
            row = fixed | {"fish_id": key, "parentage_id": first + n, "hatched_on": hatched, "origin": "hatchery"}
            row["sex"] = "FM"[key % 2]
            if dice.random() >= LIVING:
                row |= {"left": "died", "left_on": hatched + timedelta(days=dice.randrange(30, 1400))}
            yield row


def _fill(cursor: Any, model: type[models.Model], rows: Iterable[dict[str, Any]]) -> None:
    """Insert rows; columns not named take the empty text, 0 or NULL that the model would give them."""
    fields = [field for field in model._meta.concrete_fields if field.attname != "id" or model is not FishDetails]
    fields = [field for field in fields if not (model is ParentPair and field.attname == "id")]
    names = [field.attname for field in fields]
    empty = {field.attname: None if field.null else field.get_default() for field in fields}
    marks = ", ".join(["%s"] * len(names))
    columns = ", ".join(f'"{name}"' for name in names)
    statement = f"INSERT INTO {model._meta.db_table} ({columns}) VALUES ({marks})"
    values = ([_plain(row.get(name, empty[name])) for name in names] for row in rows)
    cursor.executemany(statement, values)


def _plain(value: Any) -> Any:
    return value.isoformat() if isinstance(value, date) else value
