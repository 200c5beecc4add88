"""What the tests themselves stand on: a data folder of their own, no way out, signed-in people, a clean table."""

import socket
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from django.conf import settings
from django.core.management import call_command
from django.core.management.base import CommandError
from django.db import connection, transaction
from django.test import Client
from pytest_socket import SocketConnectBlockedError

from registry.journal.guard import missing_guards
from registry.journal.verify import verify
from registry.models import JournalEntry, Role, RoleGrant
from registry.permissions import Actor
from tests.support.flush import guards_off
from tests.support.river import enter_river, small_river
from tests.support.services import needed
from tests.support.sources import ROOT
from tests.support.standing import standing
from tests.support.world import entry


def test_no_test_touches_the_data_of_the_checkout() -> None:
    assert not Path(settings.DATA).is_relative_to(ROOT)
    assert Path(settings.MEDIA_ROOT).is_relative_to(settings.DATA)


def test_no_test_reaches_another_machine() -> None:
    # An address kept for documentation (RFC 5737).
    with pytest.raises(SocketConnectBlockedError), pytest.warns(UserWarning, match=r'host "192\.0\.2\.1" \(allowed'):
        socket.create_connection(("192.0.2.1", 80), timeout=1)


def test_a_missing_program_skips_a_test_here_and_fails_it_in_ci(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("CI", raising=False)
    with pytest.raises(pytest.skip.Exception, match=r"no-such-program is not installed; install it to run this test\."):
        needed("no-such-program")
    monkeypatch.setenv("CI", "true")
    with pytest.raises(pytest.fail.Exception, match="no-such-program is not installed; in CI nothing may be left out"):
        needed("no-such-program")
    assert Path(needed("no-such-program", "python3")).name == "python3"


@pytest.mark.parametrize("role", Role.values)
def test_every_role_has_a_person_who_is_signed_in_and_holds_just_it(
    role: str, client_of: Callable[[str], Client], request: pytest.FixtureRequest
) -> None:
    person: Actor = request.getfixturevalue(role)
    assert client_of(role).session["_auth_user_id"] == str(person.user_id)
    assert person.roles == {role}
    assert list(RoleGrant.objects.values_list("user_id", "role", "until")) == [(person.user_id, role, None)]
    assert RoleGrant.objects.get().since < date.today()  # noqa: DTZ011


@pytest.mark.django_db
def test_the_small_river_put_back_is_the_one_that_was_entered() -> None:
    found = []
    for made in (enter_river, small_river, small_river):
        with transaction.atomic():
            river = made()
            found.append((standing(), repr(river), verify().counts))
            transaction.set_rollback(True)
    assert found[0][0]["FishDetails"]
    assert found[0] == found[1] == found[2]
    assert not found[0][2]


@pytest.mark.django_db(transaction=True)
def test_a_test_that_commits_leaves_an_empty_and_guarded_journal() -> None:
    entry()
    with pytest.raises(CommandError, match="couldn't be flushed"):
        call_command("flush", interactive=False)
    with guards_off():
        call_command("flush", interactive=False)
    assert not JournalEntry.objects.exists()
    assert missing_guards(connection) == []


@pytest.mark.django_db(transaction=True)
def test_guards_stand_again_after_a_clean_up_that_failed() -> None:
    with pytest.raises(ZeroDivisionError), guards_off():
        1 / 0  # noqa: B018
    assert missing_guards(connection) == []
