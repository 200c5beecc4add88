"""Accounts: who is invited, which roles they hold, and from when to when."""

from datetime import date

import pytest
from django.contrib.auth import get_user_model

from registry.models import JournalEntry, Role, RoleGrant

pytestmark = pytest.mark.django_db
SECRET = "weir gate 4711"
TYPED = {"name": "night shift", "password": SECRET, "role": "staff"}


@pytest.fixture
def desk(client_of):
    return client_of("administrator")


def test_an_invited_person_signs_in_with_the_role(desk, client):
    assert desk.post("/accounts/invite/", TYPED).url == "/accounts/"

    assert client.login(username="night shift", password=SECRET)
    assert client.get("/").content.decode().count("hatchery staff") == 1


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"name": "administrator"}, "An account named “administrator” cannot be made. Take another name."),
        ({"name": "installer"}, "An account named “installer” cannot be made. Take another name."),
        ({"password": "short"}, "This password is too short. It must contain at least 10 characters."),
        ({"role": "king"}, "Select a valid choice."),
    ],
)
def test_an_account_that_cannot_be_is_refused(desk, typed, sentence):
    before = JournalEntry.objects.count(), get_user_model().objects.count()

    answer = desk.post("/accounts/invite/", TYPED | typed)

    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert (JournalEntry.objects.count(), get_user_model().objects.count()) == before


def test_the_journal_never_holds_a_password(desk):
    desk.post("/accounts/invite/", TYPED)
    desk.post("/accounts/password/", {"name": "night shift", "password": "another gate 4711"})

    assert JournalEntry.objects.filter(what="password given").count() == 1
    assert not any(SECRET in entry.body or "another gate" in entry.body for entry in JournalEntry.objects.all())


def test_a_person_who_lost_the_password_gets_another(desk, client):
    desk.post("/accounts/invite/", TYPED)

    assert (
        desk.post("/accounts/password/", {"name": "night shift", "password": "another gate 4711"}).url == "/accounts/"
    )
    assert not client.login(username="night shift", password=SECRET)
    assert client.login(username="night shift", password="another gate 4711")


def test_an_account_may_hold_two_roles_but_not_one_twice(desk):
    desk.post("/accounts/invite/", TYPED)

    typed = {"name": "night shift", "role": "geneticist", "since": "2026-01-01"}
    assert desk.post("/accounts/grant/", typed).url == "/accounts/"
    again = desk.post("/accounts/grant/", typed)
    assert "night shift holds this role already. Choose another." in again.content.decode()
    nobody = desk.post("/accounts/grant/", typed | {"name": "nobody"})
    assert "There is no account “nobody”. Invite the person." in nobody.content.decode()


def test_a_role_ends_with_its_reason_and_then_no_longer_holds(desk, client_of):
    hall = client_of("staff")
    grant = RoleGrant.objects.get(role=Role.STAFF)
    assert f'href="/accounts/roles/{grant.pk}/end/"' in desk.get("/accounts/").content.decode()

    assert desk.post(f"/accounts/roles/{grant.pk}/end/", {"day": "2024-05-01", "reason": "left the house"}).url
    grant.refresh_from_db()
    assert grant.until == date(2024, 5, 1)
    assert JournalEntry.objects.get(what="role ended").reason == "left the house"
    assert hall.get("/enter/check/").status_code == 403


def test_the_last_administrator_stays(desk):
    grant = RoleGrant.objects.get(role=Role.ADMINISTRATOR)

    answer = desk.post(f"/accounts/roles/{grant.pk}/end/", {"day": "2024-05-01", "reason": "tired"})

    assert "This is the last administrator: nobody could let anyone in again." in answer.content.decode()
    grant.refresh_from_db()
    assert grant.until is None


@pytest.mark.parametrize("path", ["", "invite/", "grant/", "password/"])
def test_accounts_are_the_administrator_s_alone(client_of, path):
    assert client_of("manager").get(f"/accounts/{path}").status_code == 403
