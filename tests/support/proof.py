"""How operations are proved: who may, what the journal says of it, and that a refusal writes nothing at all."""

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from typing import Any

import pytest
from django.apps import apps
from django.db import transaction
from django.utils import timezone

from registry.errors import NotAllowed, Refused
from registry.models import JournalEntry, Role
from registry.permissions import Actor
from tests.support.people import person

# What is tried, in the words of the refusal, and who may do it (DESIGN 5).
ENTERING = ("enter what was done in the hatchery", "administrator, geneticist, hatchery staff, manager")
RELEASING = ("release fish", "administrator, manager")
CORRECTING = ("correct what is in the register", "administrator, manager")
PLANNING = ("draft cross plans", "geneticist")
SIGNING = ("sign cross plans", "geneticist")
ENDING_QUARANTINE = ("enter that the veterinarian ended a quarantine", "administrator, manager")
ADMINISTERING = ("keep accounts, catalogue and places", "administrator")


def everything() -> dict[str, list[Any]]:
    """Return every row of the register as it stands, the journal and the kept balances included."""
    models = apps.get_app_config("registry").get_models()
    return {model.__name__: list(model.objects.order_by("pk").values_list()) for model in models}


@contextmanager
def refused(*sentences: str) -> Iterator[Refused]:
    """Expect a refusal in these words, and that it left every row of the register as it was."""
    before = everything()
    with pytest.raises(Refused, match=re.escape(sentences[0])) as caught:
        yield
    for sentence in sentences:
        assert sentence in str(caught.value)
    assert everything() == before


def only_those_who_may(what: tuple[str, str], act: Callable[[Actor], object]) -> None:
    """Let a person of every role try; those not named are told whom to ask, and nothing is written."""
    tried, named = what
    for role in Role:
        by, label = person(role), role.label.lower()
        if label in named.split(", "):
            with transaction.atomic():
                act(by)
                assert last().who == by.name
                transaction.set_rollback(True)
            continue
        before = everything()
        sentence = f"{by.name} ({label}) may not {tried}. Ask someone with the role: {named}."
        with pytest.raises(NotAllowed, match=re.escape(sentence)):
            act(by)
        assert everything() == before


def last() -> JournalEntry:
    """Return the latest entry of the journal."""
    return JournalEntry.objects.order_by("seq").last()


def told(entry: JournalEntry | None = None) -> tuple[str, str, str, date, str]:
    """Return who did what to what, on which day and through which face, of the latest entry."""
    entry = entry or last()
    return entry.who, entry.what, entry.subject, timezone.localdate(entry.happened_at), entry.source
