"""Accounts and roles."""

from datetime import date, timedelta

import pytest
from django.contrib.auth.models import User
from django.utils import timezone

from registry.models import RoleGrant
from registry.operations.people import Invitation, end_role, installer, invite
from registry.permissions import Actor
from tests.support.proof import ADMINISTERING, last, only_those_who_may, refused, told

WORD = "sturgeon in the hall 47"
pytestmark = pytest.mark.django_db


def invitation(**changes: object) -> Invitation:
    return Invitation(**{"name": "night shift", "password": WORD, "role": "staff", **changes})


def test_an_account_is_made_with_its_role(administrator: Actor) -> None:
    user = invite(administrator, invitation())
    grant = RoleGrant.objects.get(user=user)
    assert (user.username, grant.role, grant.since, grant.until) == ("night shift", "staff", timezone.localdate(), None)
    assert user.check_password(WORD)
    assert WORD not in last().body
    assert told()[:3] == ("administrator", "role granted", "account night shift")


def test_the_first_account_is_made_from_the_machine_itself() -> None:
    invite(installer("set-up"), invitation(role="administrator"))
    assert (last().who, last().user_id, last().source) == ("installer", None, "set-up")


def test_who_may_keep_accounts(administrator: Actor) -> None:
    only_those_who_may(ADMINISTERING, lambda by: invite(by, invitation()))
    grant = RoleGrant.objects.get(user=invite(administrator, invitation()))
    only_those_who_may(ADMINISTERING, lambda by: end_role(by, _fresh(grant), date(2999, 1, 1), "left"))


def _fresh(grant: RoleGrant) -> RoleGrant:
    return RoleGrant.objects.get(pk=grant.pk)


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"name": ""}, "An account named “” cannot be made. Take another name."),
        ({"name": "installer"}, "An account named “installer” cannot be made. Take another name."),
        ({"name": "Night Shift"}, "An account named “Night Shift” cannot be made. Take another name."),
        ({"name": "a\x07"}, "holds a control character (U+0007)"),
        ({"name": "b", "role": "king"}, "“king” is not a role. Choose one."),
        ({"name": "b", "password": "12345"}, "This password is"),
    ],
)
def test_an_account_that_cannot_be_is_not_made(administrator: Actor, changes: dict[str, object], sentence: str) -> None:
    invite(administrator, invitation())
    with refused(sentence):
        invite(administrator, invitation(**changes))
    assert sorted(User.objects.values_list("username", flat=True)) == ["administrator", "night shift"]


def test_who_may_not_invite_leaves_no_account_behind(staff: Actor) -> None:
    with refused("staff (hatchery staff) may not keep accounts, catalogue and places."):
        invite(staff, invitation())
    assert not User.objects.filter(username="night shift").exists()


def test_a_role_ends_once_and_stays_readable(administrator: Actor) -> None:
    grant = RoleGrant.objects.get(user=invite(administrator, invitation()))
    end_role(administrator, grant, timezone.localdate() + timedelta(days=3), "moved to Quern Mill")
    assert _fresh(grant).until == timezone.localdate() + timedelta(days=3)
    assert told()[1:3] == ("role ended", "account night shift")
    assert last().reason == "moved to Quern Mill"
    with refused("already."):
        end_role(administrator, _fresh(grant), timezone.localdate(), "again")
