"""One named person per role, as an Actor for operations and as a signed-in browser for pages."""

from collections.abc import Callable
from datetime import date

import pytest
from django.contrib.auth.models import User
from django.http import HttpResponse
from django.test import Client

from registry.journal import write
from registry.models import Role, RoleGrant
from registry.permissions import ADMINISTER, Actor

PASSWORD = "only for tests 4711"


def person(role: str) -> Actor:
    """Return the person who holds just this role; the account is made, nothing is written to the journal."""
    user = User.objects.filter(username=role).first() or User.objects.create_user(role, password=PASSWORD)
    return Actor(user.pk, user.username, frozenset({role}), "test")


def grant(role: str) -> Actor:
    """Return the person of this role with the role written in the register, as pages look it up."""
    by = person(role)
    if not RoleGrant.objects.filter(user_id=by.user_id).exists():
        opener = Actor(None, "setup", frozenset({Role.ADMINISTRATOR}), "test")
        with write.entry(opener, "role granted", permission=ADMINISTER, subject=f"account {role}") as entry:
            entry.add(RoleGrant(user_id=by.user_id, role=role, since=date(2020, 1, 1)))
    return by


@pytest.fixture
def viewer(db: None) -> Actor:
    """Reads, and may enter nothing."""
    return person(Role.VIEWER)


@pytest.fixture
def staff(db: None) -> Actor:
    """Hatchery staff: enters what was done."""
    return person(Role.STAFF)


@pytest.fixture
def geneticist(db: None) -> Actor:
    """Plans and signs."""
    return person(Role.GENETICIST)


@pytest.fixture
def auditor(db: None) -> Actor:
    """Reads everything, the journal included."""
    return person(Role.AUDITOR)


@pytest.fixture
def manager(db: None) -> Actor:
    """Approves corrections and releases."""
    return person(Role.MANAGER)


@pytest.fixture
def administrator(db: None) -> Actor:
    """Keeps accounts, catalogue and places."""
    return person(Role.ADMINISTRATOR)


@pytest.fixture
def client_of(db: None) -> Callable[[str], Client]:
    """Return a function that gives the signed-in test client of the person of a role."""

    def signed_in(role: str) -> Client:
        client = Client()
        client.force_login(User.objects.get(pk=grant(role).user_id))
        return client

    return signed_in


def ticked(client: Client, address: str, sent: dict[str, object]) -> HttpResponse:
    """Send a form, and once more with every warning that came back seen and ticked."""
    warnings = [one.message for one in client.post(address, sent).context["warnings"]]
    return client.post(address, {**sent, "confirm_warnings": "yes", "warning_seen": warnings})
