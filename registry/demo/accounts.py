"""One account per role, for trying the register. Never use these on a register that matters."""

from django.contrib.auth import get_user_model

from registry.models import Role
from registry.operations.people import Invitation, installer, invite
from registry.permissions import Actor

PASSWORDS = {role: f"brackenholt-{role}" for role in Role.values}


def make_accounts() -> dict[str, Actor]:
    """Make the demo's accounts and return who acts in each role."""
    by = installer("demo")
    for role, password in PASSWORDS.items():
        invite(by, Invitation(name=role, password=password, role=role))
    users = {user.username: user.pk for user in get_user_model().objects.filter(username__in=PASSWORDS)}
    return {role: Actor(users[role], role, frozenset({role}), "demo") for role in PASSWORDS}
