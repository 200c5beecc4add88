"""Which number stands for a fish whose two numbers were joined."""

from collections.abc import Iterable
from datetime import date

from registry.journal.as_of import known_on
from registry.models import Fish, SameFish
from registry.rules.known import Known, fold


def standing(fish: Iterable[int], day: date | None = None) -> dict[int, int]:
    """Return, for the fish that proved to be another, the key of that other; `day` as for `known_on`.

    All joined numbers are read: a register has few of them, and one question serves ten thousand fish.
    """
    proved = dict(known_on(SameFish.objects.all(), day).values_list("other", "kept"))
    found = {pk: proved[pk] for pk in fish if pk in proved} if proved else {}
    while any(pk in proved for pk in found.values()):
        found = {pk: proved.get(at, at) for pk, at in found.items()}
    return found


def standing_number(number: str, day: date | None = None) -> str:
    """Return the number under which a fish stands: its own, or that of the fish that it proved to be."""
    named = SameFish.objects.filter(other__number__in={number, number.upper(), number.lower()})
    kept = known_on(named, day).values_list("kept__number", flat=True).first()
    return standing_number(kept, day) if kept else number


def let_stand_for(found: Known, proved: dict[int, int]) -> None:
    """Let a number that proved to be another fish mean that fish, in every entry that still names it."""
    if not proved:
        return
    numbers = dict(Fish.objects.filter(pk__in={*proved, *proved.values()}).values_list("pk", "number"))
    for other, kept in proved.items():
        found.fish[fold(numbers[other])] = found.fish[fold(numbers[kept])]
