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


@dataclass(frozen=True, slots=True, kw_only=True)
class RoleGiven:
    """A further role for an account from a day on."""

    name: str
    role: str
    since: date


@dataclass(frozen=True, slots=True, kw_only=True)
class PasswordGiven:
    """A new password for an account whose own is lost."""

    name: str
    password: str


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


def grant_role(by: Actor, entry: RoleGiven) -> RoleGrant:
    """Give an account a further role. Refused: no such account or role, a role that it holds already."""
    found = objections_to_texts(entry)
    user = get_user_model().objects.filter(username=entry.name).first()
    if user is None:
        found.append(Objection("unknown_account", "name", f"There is no account “{entry.name}”. Invite the person."))
    if entry.role not in Role.values:
        found.append(Objection("bad_role", "role", f"“{entry.role}” is not a role. Choose one."))
    if RoleGrant.objects.current().filter(user=user, role=entry.role, until__isnull=True).exists():
        found.append(Objection("role_held", "role", f"{entry.name} holds this role already. Choose another."))
    if found:
        raise Refused(found)
    with journal_entry(by, "role granted", permission=ADMINISTER, subject=f"account {entry.name}") as made:
        return made.add(RoleGrant(user=user, role=entry.role, since=entry.since))


def give_password(by: Actor, entry: PasswordGiven) -> AbstractUser:
    """Give an account a new password; the journal says that, never which. Refused: no such account, a weak one."""
    user = get_user_model().objects.filter(username=entry.name).first()
    found = []
    if user is None:
        found.append(Objection("unknown_account", "name", f"There is no account “{entry.name}”. Invite the person."))
    try:
        validate_password(entry.password)
    except ValidationError as error:
        found.append(Objection("weak_password", "password", " ".join(error.messages)))
    if user is None or found:
        raise Refused(found)
    with (
        transaction.atomic(),
        journal_entry(by, "password given", permission=ADMINISTER, subject=f"account {entry.name}"),
    ):
        user.set_password(entry.password)
        user.save(update_fields=["password"])
    return user


def end_role(by: Actor, grant: RoleGrant, day: date, reason: str) -> RoleGrant:
    """End a role from a day on. Refused: ended already, no reason, the last administrator's."""
    found = []
    if grant.until:
        found.append(Objection("already_ended", "", f"{grant} ended on {grant.until} already."))
    if not reason.strip():
        found.append(Objection("no_reason", "reason", "Say why: the reason stands in the journal."))
    others = RoleGrant.objects.current().filter(role=Role.ADMINISTRATOR, until__isnull=True).exclude(pk=grant.pk)
    if grant.role == Role.ADMINISTRATOR and not others.exists():
        text = "This is the last administrator: nobody could let anyone in again. Give another account the role first."
        found.append(Objection("last_administrator", "", text))
    if found:
        raise Refused(found)
    subject = f"account {grant.user.username}"
    with journal_entry(by, "role ended", permission=ADMINISTER, subject=subject, reason=reason) as made:
        made.end(grant, until=max(day, grant.since))
    return grant
