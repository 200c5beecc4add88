"""Who acts, in which roles, and how someone signs in and out."""

from datetime import timedelta

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.utils import timezone

from registry.journal import write
from registry.models import RoleGrant
from registry.permissions import ADMINISTER
from registry.web.people import actor
from tests.support.people import PASSWORD, grant, person
from tests.support.world import SETUP

pytestmark = pytest.mark.django_db


def request_of(rf, user_id):
    request = rf.get("/")
    request.user = User.objects.get(pk=user_id)
    return request


def ended(user_id, day):
    with write.entry(SETUP, "role ended", permission=ADMINISTER, subject="account staff") as made:
        made.end(RoleGrant.objects.get(user_id=user_id), until=day)


def test_someone_acts_in_the_roles_held_today(rf):
    by = grant("staff")

    assert actor(request_of(rf, by.user_id)).roles == {"staff"}


def test_a_role_no_longer_holds_on_its_last_day_and_after(rf):
    by = grant("staff")
    ended(by.user_id, timezone.localdate())

    assert actor(request_of(rf, by.user_id)).roles == frozenset()


def test_a_role_that_ends_tomorrow_still_holds_today(rf):
    by = grant("staff")
    ended(by.user_id, timezone.localdate() + timedelta(days=1))

    assert actor(request_of(rf, by.user_id)).roles == {"staff"}


def test_a_role_that_begins_tomorrow_does_not_hold_today(rf):
    by = person("staff")
    with write.entry(SETUP, "role granted", permission=ADMINISTER, subject="account staff") as made:
        made.add(RoleGrant(user_id=by.user_id, role="staff", since=timezone.localdate() + timedelta(days=1)))

    assert actor(request_of(rf, by.user_id)).roles == frozenset()


def test_a_role_taken_back_by_a_correction_does_not_hold(rf):
    by = grant("staff")
    with write.entry(SETUP, "corrected", permission=ADMINISTER, subject="account staff") as made:
        made.withdraw(RoleGrant.objects.get(user_id=by.user_id))

    assert actor(request_of(rf, by.user_id)).roles == frozenset()


def test_roles_are_read_once_for_a_request(rf, django_assert_num_queries):
    request = request_of(rf, grant("staff").user_id)

    with django_assert_num_queries(1):
        assert actor(request) is actor(request)


def test_nobody_reads_the_register_without_signing_in():
    answer = Client().get("/")

    assert answer.status_code == 302
    assert answer.url == "/sign-in/?next=/"


def test_signing_in_opens_the_page_asked_for():
    grant("staff")

    answer = Client().post("/sign-in/", {"username": "staff", "password": PASSWORD, "next": "/scan/"})

    assert answer.url == "/scan/"


def test_a_wrong_password_is_refused_and_the_name_kept():
    grant("staff")

    text = Client().post("/sign-in/", {"username": "staff", "password": "wrong"}).content.decode()

    assert "Name and password do not fit together." in text
    assert 'value="staff"' in text
    assert "wrong" not in text


def test_signing_in_never_leads_to_another_site():
    grant("staff")

    answer = Client().post("/sign-in/", {"username": "staff", "password": PASSWORD, "next": "https://else.example/"})

    assert answer.url == "/"


def test_signing_out_needs_a_button_not_a_link(client_of):
    client = client_of("staff")

    assert client.get("/sign-out/").status_code == 405
    assert client.post("/sign-out/").url == "/sign-in/"
    assert client.get("/").status_code == 302


def test_a_page_that_does_not_exist_says_where_to_look(client_of):
    answer = client_of("staff").get("/nowhere/")

    assert answer.status_code == 404
    assert "Scan the tag or type the number" in answer.content.decode()


def test_the_actor_is_the_account_through_the_form(rf):
    by = grant("geneticist")
    found = actor(request_of(rf, by.user_id))

    assert (found.user_id, found.name, found.source) == (by.user_id, "geneticist", "form")
