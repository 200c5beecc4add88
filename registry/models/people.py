"""Persons' roles. Accounts themselves are Django's users."""

from django.conf import settings
from django.db import models
from django.db.models.functions import Coalesce

from registry.models.record import Record


class Role(models.TextChoices):
    """What a person may do; registry.permissions says what each covers."""

    VIEWER = "viewer", "Viewer"
    STAFF = "staff", "Hatchery staff"
    GENETICIST = "geneticist", "Geneticist"
    AUDITOR = "auditor", "Auditor"
    MANAGER = "manager", "Manager"
    ADMINISTRATOR = "administrator", "Administrator"


class RoleGrant(Record):
    """A person holds a role from a day on, at one facility or at all."""

    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="grants")
    role = models.CharField(max_length=20, choices=Role.choices)
    facility = models.ForeignKey("registry.Facility", on_delete=models.PROTECT, null=True, related_name="grants")
    since = models.DateField()
    until = models.DateField(null=True, help_text="First day on which the role no longer holds.")

    OPEN_ENDS = ("until",)

    class Meta(Record.Meta):
        constraints = [
            models.UniqueConstraint(
                "user",
                "role",
                Coalesce("facility", 0),
                condition=models.Q(until__isnull=True, withdrawn__isnull=True),
                name="role_held_once",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.user} as {self.get_role_display()}"
