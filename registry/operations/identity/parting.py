"""Two numbers that were joined and are two fish after all: each row that still stands goes back to whose it was.

What was written of the fish since stays with the kept number: nobody can tell from the register whose it was.
"""

import json
from typing import Any

from registry.errors import Objection, Refused
from registry.journal.states import columns, plain, record_models
from registry.models import Fish, FishDetails, JournalEntry, Quarantine, Record, Rewritten, SameFish, Stay
from registry.operations.fish import replace_details
from registry.operations.identity.rewriting import Rewriting, columns_of
from registry.operations.shared.desk import Deed, Desk
from registry.permissions import CORRECT, Actor
from registry.queries.known import Named
from registry.rules.identity.joining import Parting
from registry.rules.known import Known
from registry.rules.texts import objections_to_texts

# A row that was written again, and the row that stands for it now; none where nothing did.
Moved = tuple[Record, Record | None]


def part_numbers(by: Actor, entry: Parting, *, confirmed: bool = True) -> SameFish:
    """Let a number be a fish of its own again. Refused: it is not joined, or its fish was joined to a third since."""
    return PARTING.do(by, entry, confirmed=confirmed)


def joined(number: str) -> SameFish | None:
    """Return how the number was joined to another, if it was and still is."""
    rows = SameFish.objects.current().filter(other__number__iexact=number)
    return rows.select_related("kept", "other", "entry").first()


def _judge(entry: Parting, _known: Known) -> list[Objection]:
    found = objections_to_texts(entry)
    same = joined(entry.other)
    if not entry.reason.strip():
        text = "Say why they are two fish: the reason stands in the journal beside the change."
        found.append(Objection("no_reason", "reason", text))
    if same is None:
        text = f"{entry.other} was not joined to another number, or it was parted again already."
        return [*found, Objection("not_joined", "other", text, entry.other)]
    further = joined(same.kept.number)
    if further:
        text = f"{same.kept} was joined to {further.kept} since. Part {same.kept} first, then {same.other}."
        found.append(Objection("joined_since", "other", text, entry.other))
    return found


def _write(desk: Desk, entry: Parting) -> SameFish:
    same = joined(entry.other)
    if same is None:
        raise Refused(_judge(entry, desk.known))
    subject = f"fish {same.other.number}"
    made = desk.door.open("joined numbers parted", subject, reason=entry.reason, corrects=same.entry)
    made.withdraw(same)
    moved = moved_by(same)
    run = Rewriting(desk, made)
    back = [(old, now) for old, now in moved if not isinstance(old, FishDetails)]
    _write_back(run, back)
    _write_details_back(run, [one for one in moved if isinstance(one[0], FishDetails)], same.kept)
    return same


def moved_by(same: SameFish) -> list[Moved]:
    """Return every row that joining wrote again and that still stands, with what it was; parents before children."""
    rows = list(Rewritten.objects.filter(entry_id=same.entry_id).order_by("pk"))
    found: list[Moved] = []
    for kind, model in record_models().items():
        for row in rows:
            if row.kind != kind:
                continue
            now = _standing(model, row.later)
            if now is not None or row.later is None:
                found.append((model.objects.get(pk=row.earlier), now))
            elif model is FishDetails:
                found.append((model.objects.get(pk=row.earlier), model.objects.get(pk=row.later)))
    return found


def _standing(model: type[Record], pk: int | None) -> Record | None:
    """Return the row that stands for a row now: it may have been written again since, by another joining."""
    while pk is not None:
        row = model.objects.get(pk=pk)
        if row.withdrawn_id is None:
            return row
        further = Rewritten.objects.filter(kind=model._meta.model_name, earlier=pk).first()
        pk = further.later if further else None
    return None


def _write_back(run: Rewriting, moved: list[Moved]) -> None:
    """Take back what stands and write the earlier rows again; rows written on them since follow."""
    standing = {(type(now), now.pk): now for _, now in moved if now is not None}
    for now in standing.values():
        run.made.withdraw(now)
    for old, now in moved:
        if now is None and _held_since(old):
            continue
        ends = _ended_since(now) if now else {}
        row = run.made.add(run.again(old, ends | _moved_since(old, now, ends)))
        run.later[type(old), old.pk] = row
        if now is not None:
            run.later.setdefault((type(now), now.pk), row)
    run.run()
    for kind, pk in standing:
        run.note(kind, pk, run.later[kind, pk])


def _ended_since(now: Record) -> dict[str, Any]:
    """Return the open ends that were filled after the numbers were joined: they hold whosever the row is."""
    body = json.loads(JournalEntry.objects.get(pk=now.entry_id).body)["rows"]
    kind = now._meta.model_name
    first = next(row["after"] for row in body if (row["kind"], row["id"]) == (kind, now.pk) and "before" not in row)
    own = {column.attname: column for column in columns(type(now))}
    return {
        name: getattr(now, name)
        for name in now.OPEN_ENDS
        if (plain(own[name], getattr(now, name)) or None) != first.get(name)
    }


def _moved_since(old: Record, now: Record | None, ends: dict[str, Any]) -> dict[str, Any]:
    """Return the end of a stay that was open when the numbers were joined, if its fish was put elsewhere since."""
    if not isinstance(old, Stay) or old.until is not None or "until" in ends:
        return {}
    since = Stay.objects.current().filter(fish=old.fish_id, until=None).exclude(pk=now.pk if now else None).first()
    return {"until": max(since.since, old.since)} if since else {}


def _held_since(old: Record) -> bool:
    """Return whether a quarantine that gave way need not come back: its fish is in another since."""
    return isinstance(old, Quarantine) and Quarantine.objects.current().filter(fish=old.fish_id, until=None).exists()


def _write_details_back(run: Rewriting, moved: list[Moved], kept: Fish) -> None:
    """Give the other fish its details back; what came from it and stands unchanged goes out of the kept one's."""
    for old, written in moved:
        if written is None:
            run.made.add(FishDetails(**columns_of(old)))
            continue
        run.desk.door.write_rows()
        now = FishDetails.objects.current().get(fish=kept)
        came, were = columns_of(written), columns_of(old)
        changes = {name: were[name] for name, value in columns_of(now).items() if value == came[name] != were[name]}
        if changes:
            replace_details(run.made, now, **changes)


PARTING = Deed(CORRECT, lambda e: Named(fish={e.other}), _judge, lambda _entry, _known: None, _write)
