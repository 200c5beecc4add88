"""The list of batches, and one batch: what is in it, where it is, what happened to it, what can be done now."""

from typing import Any

from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.http import urlencode
from django.utils.safestring import SafeString, mark_safe

from breeding.figures.counts_chart import CountEvent, counts_chart
from registry.models import Batch, BatchMark, Stay
from registry.pages.batches.filters import BatchFilters
from registry.pages.batches.tables import BatchTable
from registry.permissions import CORRECT, END_QUARANTINE, ENTER, READ_JOURNAL, RELEASE, Actor, may
from registry.queries.books.batches import Movement, listed, movements, registered_out_of
from registry.queries.composition import family_shares
from registry.queries.fish.care import care_of_batch
from registry.rules.reading import whole
from registry.rules.young.ledger import UNKNOWN_FAMILY
from registry.web.links import address
from registry.web.lists import RegisterList
from registry.web.people import actor

# Label, page, permission, whether only while fish are in it.
ACTIONS = (
    ("Losses, samples", "batch_take", ENTER, True),
    ("Count", "batch_count", ENTER, False),
    ("Split", "batch_split", ENTER, True),
    ("Merge", "batch_merge", ENTER, True),
    ("Move", "batch_move", ENTER, False),
    ("Mark", "batch_mark", ENTER, True),
    ("Register fish", "batch_register", ENTER, True),
    ("Put into quarantine", "quarantine_start", ENTER, True),
    ("Treatment given", "treatment_enter", ENTER, True),
    ("Release", "release_enter", RELEASE, True),
)
DRAWN_AS = {
    "open": "start", "loss": "loss", "sample": "loss", "cull": "loss", "census": "count", "split": "split",
    "merge": "merge", "register": "split", "release": "release", "transfer": "release",
}  # fmt: skip
MOST_FISH = 60


class BatchList(RegisterList):
    """Every batch of the register."""

    table_class = BatchTable
    filter_class = BatchFilters
    title = "Batches"
    actions = (("Open a batch", "batch_open", ENTER),)

    def rows(self) -> QuerySet:
        return listed()


def batch(request: HttpRequest, number: str) -> HttpResponse:
    """Show one batch."""
    found = Batch.objects.select_related("stock", "account", "entry").filter(number__iexact=number).first()
    if found is None:
        raise Http404(f"There is no batch {number} in the register.")
    who = actor(request)
    steps = movements(found)
    fish = list(registered_out_of(found)[: MOST_FISH + 1])
    care = care_of_batch(found.pk)
    shown = {
        "title": f"Batch {found.number}",
        "batch": found,
        "count": found.account.balance,
        "families": _families(found),
        "stays": Stay.objects.current().filter(batch=found).select_related("unit__facility").order_by("-since", "-pk"),
        "corrects": may(who, CORRECT),
        "held": care.in_quarantine,
        "withheld": care.withheld(timezone.localdate()),
        "quarantines": care.quarantines,
        "treatments": care.treatments,
        "reads_journal": may(who, READ_JOURNAL),
        "ends": address("quarantine_release") if may(who, END_QUARANTINE) else "",
        "marks": BatchMark.objects.current().filter(batch=found).order_by("marked_on", "pk"),
        "movements": [_line(step, who) for step in steps],
        "counted": _last_count(steps),
        "chart": _chart(found, steps),
        "came": _others(steps, came=True),
        "went": _others(steps, came=False),
        "fish": fish[:MOST_FISH],
        "more_fish": len(fish) > MOST_FISH,
        "fish_list": address("fish_list"),
        "actions": _actions(found, who, apart=care.in_quarantine is not None),
        "trace": f"{address('trace')}?{urlencode({'q': f'batch {found.number}'})}",
        "journal": address("journal") if may(who, READ_JOURNAL) else "",
    }
    return render(request, "registry/batches/batch.html", shown)


def _families(batch: Batch) -> list[dict[str, Any]]:
    shares = family_shares(batch)
    rows = sorted(shares.items(), key=lambda item: (-item[1], item[0]))
    return [
        {
            "number": family if family != UNKNOWN_FAMILY else "",
            "address": address("family", family),
            "percent": f"{share * 100:.1f}",
            "expected": round(share * batch.account.balance),
        }
        for family, share in rows
    ]


def _line(step: Movement, who: Actor) -> dict[str, Any]:
    kind, other = step.other
    transfer = step.transfer
    movable = step.corrected_by is None and transfer.event != "census" and may(who, CORRECT)
    return {
        "step": step,
        "kind": kind,
        "other": other,
        "address": address(kind, other) if kind else "",
        "change": f"{step.change:+,}".replace(",", "\N{NARROW NO-BREAK SPACE}").replace("-", "−"),
        "entry": address("journal_entry", step.entry.seq) if may(who, READ_JOURNAL) else "",
        "correct": address("batch_correct", transfer.pk) if movable else "",
    }


def _last_count(steps: list[Movement]) -> Movement | None:
    counts = [step for step in steps if step.transfer.counted is not None and step.corrected_by is None]
    return counts[-1] if counts else None


def _chart(batch: Batch, steps: list[Movement]) -> SafeString:
    events = [
        CountEvent(step.transfer.moved_on, max(step.balance, 0), DRAWN_AS[step.transfer.event], _words(step))
        for step in steps
        if step.balance is not None
    ]
    until = max([timezone.localdate(), *(event.day for event in events)])
    return mark_safe(counts_chart(events, until, f"batch {batch.number}"))  # noqa: S308  (the picture escapes its words)


def _words(step: Movement) -> str:
    transfer = step.transfer
    if transfer.counted is not None:
        return f"counted {whole(transfer.counted)}"
    return f"{transfer.get_event_display().lower()} {step.change:+,}".replace("-", "−")


def _others(steps: list[Movement], *, came: bool) -> list[dict[str, Any]]:
    """Return the batches, families and releases that fish came from or went to, with how many in all."""
    totals: dict[tuple[str, str], int] = {}
    for step in steps:
        if step.corrected_by is None and step.change and (step.change > 0) == came:
            totals[step.other] = totals.get(step.other, 0) + abs(step.change)
    return [
        {"text": f"{kind} {name}" if kind else name.lower(), "count": count,
         "address": address(kind, name) if kind else ""}
        for (kind, name), count in totals.items()
    ]  # fmt: skip


def _actions(batch: Batch, who: Actor, *, apart: bool) -> list[dict[str, str]]:
    query = urlencode({"batch": batch.number})
    found = [
        (label, address(page))
        for label, page, permission, holding in ACTIONS
        if may(who, permission)
        and (batch.account.balance or not holding)
        and not (apart and page == "quarantine_start")
    ]
    return [{"label": label, "address": f"{target}?{query}"} for label, target in found if target]
