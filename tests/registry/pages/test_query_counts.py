"""A page asks as many questions of a large register as of a small one: query_counts.json, changed on purpose only."""

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import URLPattern, URLResolver

from registry import urls
from registry.models import JournalEntry
from registry.web.links import address
from registry.web.lists import RegisterList
from tests.support.busy_river import crowd, grow
from tests.support.river import small_river

pytestmark = pytest.mark.django_db
WRITTEN = json.loads(Path(__file__).with_name("query_counts.json").read_text(encoding="utf-8"))
FEW, MANY = 3, 60
ONE = {
    "fish": "F1",
    "fish_pedigree": "F1",
    "family": "10-1",
    "batch": "B1",
    "unit": "Tank 1",
    "milt_lot": "K-1",
    "recapture": "C15-05-01-1",
}
CROWDED = ("release", "permit", "spawning", "plan", "plan_sheet")
HOMES = ("staff", "geneticist", "manager", "auditor", "administrator")


def test_every_page_asks_the_same_number_of_questions_however_much_there_is(client_of):
    small_river()
    clients = {role: client_of(role) for role in HOMES}
    grow(0, FEW)
    crowd("FEW", FEW)
    few = counts(clients, "FEW")
    grow(FEW, MANY)
    crowd("MANY", MANY)
    many = counts(clients, "MANY")

    assert many == few, "this page asks once for every row: fetch what it shows in one question"
    assert few == WRITTEN, "if the change is meant, write it into query_counts.json"


def counts(clients: dict[str, Client], crowded: str) -> dict[str, int]:
    """Return the number of queries of every list, of one record of each kind, and of each role's home page."""
    targets = {name: address(name) for name in lists()}
    targets |= {name: address(name, number) for name, number in ONE.items()}
    targets |= {name: address(name, crowded) for name in CROWDED}
    drafted = JournalEntry.objects.get(what="cross plan drafted", subject=f"plan {crowded}")
    targets["journal_entry"] = address("journal_entry", drafted.seq)
    found = {name: queries(clients["administrator"], target) for name, target in sorted(targets.items())}
    return found | {f"home of {role}": queries(client, "/") for role, client in clients.items()}


def queries(client: Client, target: str) -> int:
    """Return how many queries one request asks, the first one apart: it fills what is kept between requests."""
    assert client.get(target).status_code == 200, target
    with CaptureQueriesContext(connection) as asked:
        client.get(target)
    return len(asked)


def lists() -> Iterator[str]:
    """Yield the names of all list pages of the site."""

    def patterns(held: list[URLPattern | URLResolver]) -> Iterator[URLPattern]:
        for one in held:
            if isinstance(one, URLResolver):
                yield from patterns(one.url_patterns)
            else:
                yield one

    for one in patterns(urls.urlpatterns):
        view = getattr(one.callback, "view_class", None)
        if view and issubclass(view, RegisterList):
            yield one.name
