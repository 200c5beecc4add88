"""What a fish's page tells of its identity: codes set aside, numbers joined, fish that it was held apart from."""

from dataclasses import dataclass

from django.db.models import Q, QuerySet

from registry.models import Fish, HeldApart, SameFish, SetAside


@dataclass(frozen=True, slots=True)
class Identity:
    """`proved` says which fish this number proved to be; `joined` which numbers proved to be this fish."""

    proved: SameFish | None
    joined: list[SameFish]
    asides: list[SetAside]
    apart: list[HeldApart]

    @property
    def open_asides(self) -> list[SetAside]:
        """Return the codes set aside of which nobody has found out yet."""
        return [one for one in self.asides if one.withdrawn_id is None and one.resolved_on is None]


def identity_of(fish: Fish) -> Identity:
    """Return what is told of a fish's identity, in three queries."""
    same = list(SameFish.objects.current().filter(Q(kept=fish) | Q(other=fish)).select_related("kept", "other"))
    asides = SetAside.objects.filter(Q(fish=fish) | Q(holder=fish)).select_related("fish", "holder")
    apart = HeldApart.objects.current().filter(Q(fish=fish) | Q(candidate=fish)).select_related("fish", "candidate")
    return Identity(
        next((one for one in same if one.other_id == fish.pk), None),
        [one for one in same if one.kept_id == fish.pk],
        list(asides.order_by("read_on", "pk")),
        list(apart.order_by("pk")),
    )


def open_asides() -> QuerySet:
    """Return every code set aside of which nobody has found out yet, the oldest first."""
    rows = SetAside.objects.current().filter(resolved_on__isnull=True).select_related("fish", "holder")
    return rows.order_by("read_on", "pk")
