"""Accounts and roles."""

from dataclasses import dataclass
from datetime import date

from django.contrib.auth import get_user_model
from django.contrib.auth.models import AbstractUser
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from registry.errors import Objection, Refused
from registry.journal.write import entry as journal_entry
from registry.models import Role, RoleGrant
from registry.permissions import ADMINISTER, Actor
from registry.rules.texts import objections_to_texts

INSTALLER = "installer"


@dataclass(frozen=True, slots=True, kw_only=True)
class Invitation:
    """A new account with one role."""

    name: str
    password: str
    role: str


def installer(source: str) -> Actor:
    """Return who acts when the register is set up or loaded by command on the machine itself."""
    return Actor(None, INSTALLER, frozenset({Role.ADMINISTRATOR}), source)


def invite(by: Actor, entry: Invitation) -> AbstractUser:
    """Make an account with a role. Refused: name in use, no such role, a weak password."""
    found = objections_to_texts(entry)
    users = get_user_model().objects
    if not entry.name or entry.name == INSTALLER or users.filter(username__iexact=entry.name).exists():
        found.append(
            Objection("duplicate_id", "name", f"An account named “{entry.name}” cannot be made. Take another name.")
        )
    if entry.role not in Role.values:
        found.append(Objection("bad_role", "role", f"“{entry.role}” is not a role. Choose one."))
    try:
        validate_password(entry.password)
    except ValidationError as error:
        found.append(Objection("weak_password", "password", " ".join(error.messages)))
    if found:
        raise Refused(found)
    with transaction.atomic():
        user = users.create_user(username=entry.name, password=entry.password)
        with journal_entry(by, "role granted", permission=ADMINISTER, subject=f"account {entry.name}") as made:
            made.add(RoleGrant(user=user, role=entry.role, since=timezone.localdate()))
    return user


def end_role(by: Actor, grant: RoleGrant, day: date, reason: str) -> RoleGrant:
    """End a role from a day on. Refused: ended already."""
    if grant.until:
        raise Refused(Objection("already_ended", "", f"{grant} ended on {grant.until} already."))
    subject = f"account {grant.user.username}"
    with journal_entry(by, "role ended", permission=ADMINISTER, subject=subject, reason=reason) as made:
        made.end(grant, until=max(day, grant.since))
    return grant
