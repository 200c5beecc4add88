"""A person invited, a role granted or ended, a password given."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from django import forms
from django.shortcuts import get_object_or_404
from django.utils import timezone

from registry.models import Role, RoleGrant
from registry.operations.people import (
    Invitation,
    PasswordGiven,
    RoleGiven,
    end_role,
    give_password,
    grant_role,
    invite,
)
from registry.permissions import ADMINISTER
from registry.web.entry_view import EntryForm, EntryView
from registry.web.fields import Day
from registry.web.links import address
from registry.web.people import actor

SECRET = "Ten characters or more. Hand it over in person; the register never shows it again."  # noqa: S105


class InviteForm(EntryForm):
    """Name, password and the first role of a new account."""

    name = forms.CharField(max_length=120, label="Account name", help_text="As it will stand in the journal, for good.")
    password = forms.CharField(max_length=120, strip=False, label="First password", help_text=SECRET)
    role = forms.ChoiceField(choices=Role.choices, label="Role")

    def entry(self) -> Invitation:
        """Return what the operation takes."""
        return Invitation(**self.cleaned_data)


class GrantForm(EntryForm):
    """A further role of an account."""

    name = forms.CharField(max_length=120, label="Account name")
    role = forms.ChoiceField(choices=Role.choices, label="Role")
    since = Day(label="From", initial=timezone.localdate)

    def entry(self) -> RoleGiven:
        """Return what the operation takes."""
        return RoleGiven(**self.cleaned_data)


class PasswordForm(EntryForm):
    """A new password for a lost one."""

    name = forms.CharField(max_length=120, label="Account name")
    password = forms.CharField(max_length=120, strip=False, label="New password", help_text=SECRET)

    def entry(self) -> PasswordGiven:
        """Return what the operation takes."""
        return PasswordGiven(**self.cleaned_data)


@dataclass(frozen=True, slots=True)
class RoleEnd:
    """When and why a role ends."""

    day: date
    reason: str


class EndForm(EntryForm):
    """When and why a role ends."""

    day = Day(label="First day without it", initial=timezone.localdate)
    reason = forms.CharField(max_length=1000, label="Why")

    def entry(self) -> RoleEnd:
        """Return what the view hands on."""
        return RoleEnd(**self.cleaned_data)


class Invite(EntryView):
    """Make an account."""

    form_class = InviteForm
    permission = ADMINISTER
    title = "Invite a person"
    button = "Invite"
    operation = invite
    warns = False
    then = "role_list"


class Grant(EntryView):
    """Give an account a further role."""

    form_class = GrantForm
    permission = ADMINISTER
    title = "Grant a role"
    button = "Grant"
    operation = grant_role
    warns = False
    then = "role_list"


class GivePassword(EntryView):
    """Give an account a new password."""

    form_class = PasswordForm
    permission = ADMINISTER
    title = "Give a new password"
    button = "Give"
    operation = give_password
    warns = False
    then = "role_list"


class EndRole(EntryView):
    """End a role."""

    form_class = EndForm
    permission = ADMINISTER
    title = "End a role"
    button = "End it"

    def grant(self) -> RoleGrant:
        """Return the role to end."""
        return get_object_or_404(RoleGrant.objects.current().select_related("user"), pk=self.kwargs["pk"])

    def context(self) -> dict[str, Any]:
        return {"title": f"End the role: {self.grant()}"}

    def write(self, entry: RoleEnd) -> RoleGrant:
        return end_role(actor(self.request), self.grant(), entry.day, entry.reason)

    def after(self, _record: RoleGrant) -> str:
        return address("role_list")
