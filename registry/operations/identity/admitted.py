"""What is written of a new fish's identity: its tag or the code set aside, and the fish it was held apart from."""

from registry.journal.write import Entry
from registry.models import Fish, HeldApart, Tag
from registry.operations.identity.set_aside import put_aside
from registry.operations.shared.desk import Desk
from registry.rules.fish import Admission, code_aside, tagging_day


def write_identity(desk: Desk, made: Entry, entry: Admission, fish: Fish) -> None:
    """Write the rows of a judged admission into an open entry."""
    if aside := code_aside(entry, desk.known):
        put_aside(desk, made, fish, aside)
    elif entry.tag:
        begun = tagging_day(entry, desk.known.today)
        ended = entry.left_on.first if entry.left_on else None
        made.add(
            Tag(
                fish=fish,
                system=entry.tag.system,
                code=entry.tag.code,
                site=entry.tag_site,
                attached_on=min(begun, ended) if ended else begun,
                attached_known=entry.tagged_on is not None,
                retag=entry.tag.retag or None,
                ended_on=ended,
                end_reason="fish left" if ended else "",
            )
        )
    for number, evidence in entry.held_apart:
        made.add(HeldApart(fish=fish, candidate=desk.fish(number), evidence=evidence[:400]))
