"""The geneticist at the pages of one draft: the broodstock of the season, three jars, three crosses wanted."""

import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from django.conf import settings
from django.test import Client

from breeding.pages.crosses.bench import PLANS
from registry.exports import runs
from registry.models import CrossPlan
from tests.registry.queries.crosses.season.conftest import drafted, plan

__all__ = ["drafted", "plan"]

SEARCH = {"seconds": "5"}


@pytest.fixture
def desk(
    plan: CrossPlan, client_of: Callable[[str], Client], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[Client]:
    """Return the geneticist's desk; searches that still run at the end are cancelled."""
    monkeypatch.setattr(settings, "DATA", tmp_path)
    yield client_of("geneticist")
    for run in runs.recent(PLANS):
        runs.cancel(PLANS, run["token"])
    wait()


def wait() -> None:
    """Wait until no search runs."""
    for thread in threading.enumerate():
        if thread.name.startswith("plans "):
            thread.join(60)


def text(answer: object) -> str:
    """Return a page as one line."""
    return " ".join(answer.content.decode().split())  # type: ignore[attr-defined]


def searched(desk: Client) -> runs.Run:
    """Look for the best plan of P1 until it is found, and return the search."""
    answer = desk.post("/plans/P1/best/", SEARCH)
    assert answer.status_code == 302, text(answer)
    wait()
    return next(runs.recent(PLANS, plan="P1"))


def taken(desk: Client, place: int = 0) -> None:
    """Look for the best plan and take one of those that were found."""
    run = searched(desk)
    answer = desk.post(f"/plans/P1/best/{run['token']}/take/{place}/", {"reason": "keeps most"})
    assert answer.status_code == 302, text(answer)
