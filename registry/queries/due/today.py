"""What needs doing today, by role: a few short lists, each one query."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, datetime

from registry.models import Fish, JournalEntry, Role
from registry.queries.due import Section
from registry.queries.due.at_desk import (
    crosses_off_plan,
    families_without_parents,
    plans_to_sign,
    recent_corrections,
    releases_to_complete,
    stocks_without_plan,
)
from registry.queries.due.identity import asserted_identities, codes_set_aside, lost_codes_elsewhere
from registry.queries.due.in_care import founders_without_sample, quarantines_to_end
from registry.queries.due.in_hall import batches_to_count, crosses_to_make, fish_without_tag, ripe_fish
from registry.queries.due.papers import permits_ending, permits_overused
from registry.queries.due.species import determinations_to_decide, fish_in_doubt

Ask = Callable[[date], Section]


ORDER: tuple[Ask, ...] = (
    quarantines_to_end,
    crosses_to_make,
    ripe_fish,
    plans_to_sign,
    crosses_off_plan,
    stocks_without_plan,
    batches_to_count,
    fish_without_tag,
    determinations_to_decide,
    fish_in_doubt,
    founders_without_sample,
    codes_set_aside,
    lost_codes_elsewhere,
    families_without_parents,
    releases_to_complete,
    permits_overused,
    permits_ending,
    asserted_identities,
    recent_corrections,
)
_HALL = (
    quarantines_to_end,
    crosses_to_make,
    ripe_fish,
    batches_to_count,
    fish_without_tag,
    codes_set_aside,
    founders_without_sample,
)
BY_ROLE: dict[str, tuple[Ask, ...]] = {
    Role.STAFF: _HALL,
    Role.GENETICIST: (
        plans_to_sign,
        crosses_off_plan,
        stocks_without_plan,
        fish_in_doubt,
        founders_without_sample,
        families_without_parents,
    ),
    Role.MANAGER: (
        quarantines_to_end,
        determinations_to_decide,
        codes_set_aside,
        lost_codes_elsewhere,
        crosses_off_plan,
        recent_corrections,
        releases_to_complete,
        permits_overused,
        permits_ending,
        batches_to_count,
    ),
    Role.ADMINISTRATOR: (
        *_HALL,
        lost_codes_elsewhere,
        recent_corrections,
        releases_to_complete,
        permits_overused,
        permits_ending,
    ),
    Role.AUDITOR: (
        asserted_identities,
        recent_corrections,
        permits_overused,
    ),
}


@dataclass(frozen=True, slots=True)
class Head:
    """The last entry of the journal: what an auditor writes down as an anchor."""

    seq: int
    hash: str
    entered_at: datetime


def sections(roles: Iterable[str], today: date) -> list[Section]:
    """Return what is due for the roles, each list once, in the order of the hatchery's urgency."""
    asked = {ask for role in roles for ask in BY_ROLE.get(role, ())}
    return [ask(today) for ask in ORDER if ask in asked]


def journal_head() -> Head | None:
    """Return the last entry's number, hash and time; None when nothing was ever entered."""
    last = JournalEntry.objects.order_by("-seq").values_list("seq", "hash", "entered_at").first()
    return Head(*last) if last else None


def is_empty() -> bool:
    """Return whether the register holds no fish yet."""
    return not Fish.objects.exists()
