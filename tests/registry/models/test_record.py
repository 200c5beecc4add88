"""Rows come only through the journal: the record itself refuses every other way in, and the database every way out."""

from collections.abc import Callable
from datetime import date
from types import SimpleNamespace

import pytest
from django.apps import apps
from django.db import IntegrityError, connection, models, transaction
from django.db.models import ProtectedError

from registry import models as kept
from registry.models import Batch, Fish, Record, WrittenPastTheJournal
from tests.support.world import Hand, entry

REGISTER = list(apps.get_app_config("registry").get_models())
RECORDS = [model for model in REGISTER if issubclass(model, Record)]
WAYS: dict[str, Callable[[Fish], object]] = {
    "save": lambda fish: Fish(number="F9").save(),
    "save again": lambda fish: fish.save(),
    "save some": lambda fish: fish.save(update_fields=["number"]),
    "delete": lambda fish: fish.delete(),
    "create": lambda fish: Fish.objects.create(number="F9"),
    "get or create": lambda fish: Fish.objects.get_or_create(number="F9"),
    "update or create": lambda fish: Fish.objects.update_or_create(number="F1", defaults={"number": "F9"}),
    "create through a relation": lambda fish: fish.tags.create(code="1", attached_on=date(2021, 1, 1)),
    "update": lambda fish: Fish.objects.filter(pk=fish.pk).update(number="F9"),
    "update through a relation": lambda fish: fish.tags.update(code="1"),
    "update by the base manager": lambda fish: Fish._base_manager.update(number="F9"),
    "delete many": lambda fish: Fish.objects.all().delete(),
    "bulk create": lambda fish: Fish.objects.bulk_create([Fish(number="F9")]),
    "bulk update": lambda fish: Fish.objects.bulk_update([fish], ["number"]),
}


@pytest.mark.parametrize("way", WAYS)
def test_a_record_refuses_to_be_written_past_the_journal(way: str, world: SimpleNamespace) -> None:
    before = list(Fish.objects.values_list("pk", "number"))
    with pytest.raises(WrittenPastTheJournal, match=r"is only written by an operation, through its journal entry"):
        WAYS[way](world.dam)
    assert list(Fish.objects.values_list("pk", "number")) == before


@pytest.mark.parametrize("model", RECORDS)
def test_every_kind_of_record_is_guarded_and_names_the_entry_that_wrote_it(model: type[Record]) -> None:
    assert type(model.objects.all()).__name__ == "RecordQuerySet"
    assert type(model._base_manager.all()).__name__ == "RecordQuerySet"
    assert "save" not in vars(model)
    assert not model._meta.get_field("entry").null


@pytest.mark.parametrize("model", REGISTER)
def test_nothing_in_the_register_is_deleted_because_something_else_was(model: type[models.Model]) -> None:
    keys = [field for field in model._meta.concrete_fields if field.is_relation]
    assert all(field.remote_field.on_delete is models.PROTECT for field in keys)
    assert all(field.db_constraint for field in keys)


def test_only_the_journal_is_no_record() -> None:
    assert [model.__name__ for model in REGISTER if model not in RECORDS] == ["JournalEntry"]


def test_a_fish_that_others_hang_on_cannot_be_taken_out(world: SimpleNamespace) -> None:
    with pytest.raises(ProtectedError, match="'Fish'"):
        models.QuerySet(Fish).filter(pk=world.dam.pk).delete()


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize(
    ("table", "column", "key"),
    [("registry_tag", "fish_id", 99), ("registry_fish", "entry_id", 99), ("registry_fish", "withdrawn_id", 99)],
)
def test_no_row_hangs_on_a_row_that_is_not_there(table: str, column: str, key: int) -> None:
    hand = Hand(entry())
    fish = hand.put(Fish(number="F1"))
    hand.put(kept.Tag(fish=fish, system="iso", code="1", attached_on=date(2021, 1, 1)))
    with pytest.raises(IntegrityError, match=r"(?i)foreign key"), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(f"UPDATE {table} SET {column} = %s", [key])


@pytest.mark.django_db(transaction=True)
def test_raw_sql_cannot_take_out_a_fish_that_bears_a_tag() -> None:
    hand = Hand(entry())
    fish = hand.put(Fish(number="F1"))
    hand.put(kept.Tag(fish=fish, system="iso", code="1", attached_on=date(2021, 1, 1)))
    with pytest.raises(IntegrityError, match=r"(?i)foreign key"), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("DELETE FROM registry_fish")
    assert Fish.objects.count() == 1


NUMBERED = [model for model in RECORDS if any(f.name == "number" for f in model._meta.fields)]
# A row that names a fish is written again under its number when the fish's two numbers prove to be one fish.
OF_A_FISH = [model for model in NUMBERED if any(f.related_model is Fish for f in model._meta.fields)]


@pytest.mark.parametrize("model", NUMBERED)
def test_a_number_is_never_used_twice_not_even_after_it_was_taken_back(
    model: type[Record], world: SimpleNamespace, hand: Hand
) -> None:
    first = model.objects.first() or hand.put(model(**needs(model, world)))
    if model not in OF_A_FISH:
        hand.withdraw(first)
    again = model(
        **{field.attname: getattr(first, field.attname) for field in model._meta.concrete_fields} | {"id": None}
    )
    with pytest.raises(IntegrityError, match=r"(?i)number"), transaction.atomic():
        hand.put(again)


def needs(model: type[Record], world: SimpleNamespace) -> dict[str, object]:
    """Return the columns of the one numbered kind of which the world holds none."""
    assert model is kept.Recapture
    return {"number": "C1", "recaptured_on": date(2021, 6, 1), "place": "weir", "link": "none"}


def test_an_account_belongs_to_one_batch_or_family_alone(world: SimpleNamespace, hand: Hand) -> None:
    with pytest.raises(IntegrityError, match=r"(?i)unique"), transaction.atomic():
        hand.put(kept.Account(kind="sample", batch=world.batch))
    assert Batch.objects.get(pk=world.batch.pk).account == world.account
