"""How a fish came and what was done for it, as its page tells: loudly what holds it back, then the rest."""

from collections.abc import Iterator
from datetime import date, datetime
from typing import Any

from django.utils import timezone

from registry.models import Capture, Determination, MarkSearch, Record
from registry.pages.fish.story import Item, stands
from registry.permissions import END_QUARANTINE, ENTER, Actor, may
from registry.queries.fish.care import standing
from registry.queries.fish.life import Life
from registry.rules.days import Day, spoken
from registry.rules.intake.checks import fulton
from registry.rules.intake.zones import zone_of
from registry.web.links import address

# Label, page, and whether only for the living.
ACTIONS = (
    ("Put into quarantine", "quarantine_start", True),
    ("Treatment given", "treatment_enter", True),
    ("Sample taken", "sample_enter", False),
    ("Add a photograph", "photo_enter", False),
    ("How it looks", "health_enter", True),
    ("Ploidy measured", "ploidy_enter", False),
)


def care(who: Actor, life: Life, today: date) -> dict[str, Any]:
    """Return what the fish's page shows of it."""
    held = life.care.in_quarantine
    capture = next(iter(standing(life.care.captures)), None)
    return {
        "in_quarantine": held,
        "withheld": life.care.withheld(today),
        "release_from_quarantine": address("quarantine_release") if held and may(who, END_QUARANTINE) else "",
        "capture": capture,
        "caught_at": clock(capture) if capture else "",
        "marks": _marks(capture) if capture else [],
        "photos": life.care.photos,
        "samples": life.care.samples,
        "treatments": life.care.treatments,
        "samples_standing": standing(life.care.samples),
        "care_actions": _actions(who, life),
        "condition": _condition(life),
    }


def clock(capture: Capture) -> str:
    """Return when a fish was caught, by the clock of the place."""
    there: datetime = capture.caught_at.astimezone(zone_of(capture.zone))
    return f"{spoken(there.date())}, {there:%H:%M} ({capture.zone})"


def care_items(life: Life) -> Iterator[Item]:
    """Yield one item of the story for each thing done."""
    yield from _of_captures(life)
    yield from _of_ploidies(life)
    for one in life.care.quarantines:
        seq, taken_back = stands(life, one)
        reason = f" ({one.reason})" if one.reason else ""
        yield Item(
            Day(one.since), "Into quarantine", f"{one.unit.name}{reason}", seq, taken_back,
            back="" if one.until else _back("quarantine", one),
        )  # fmt: skip
        if one.until:
            told = f"by {one.released_by}: {one.findings}"
            yield Item(Day(one.until), "Quarantine ended by the veterinarian", told, seq, taken_back)
    for one in life.care.treatments:
        until = f", withheld until {spoken(one.withdrawal_until)}" if one.withdrawal_until else ""
        told = f"{one.product}, {one.amount}, prescribed by {one.prescriber}{until}"
        yield Item(Day(one.given_on), "Treatment", told, *stands(life, one), back=_back("treatment", one))
    for one in life.care.samples:
        if one.taken_on:
            told = f"{one.label}, {one.get_kind_display().lower()}"
            yield Item(Day(one.taken_on), "Sample taken", told, *stands(life, one))
    for one in life.care.looks:
        told = "; ".join(filter(None, (one.get_score_display(), one.injuries, "hook" if one.hook else "", one.notes)))
        more = {"correct": _where("health_correct", one), "back": _back("health", one)}
        yield Item(Day(one.looked_on), "Health looked at", told, *stands(life, one), **more)
    for one in life.care.determinations:
        yield _of_determination(life, one)


def _of_determination(life: Life, one: Determination) -> Item:
    known_by = f"known by: {one.get_confidence_display().lower()}"
    told = "; ".join(filter(None, ("" if one.species else "left open", "a hybrid" if one.hybrid else "", known_by)))
    named = {"latin": one.species.scientific_name if one.species else "", "number": str(one.pk)}
    return Item(
        Day(one.determined_on), "Species determined", told, *stands(life, one), page="determination", **named
    )  # fmt: skip


def _back(what: str, row: Record) -> str:
    return _where(f"{what}_take_back", row)


def _where(page: str, row: Record) -> str:
    return "" if row.withdrawn_id else address(page, row.pk)


def _of_ploidies(life: Life) -> Iterator[Item]:
    for one in life.care.ploidies:
        dna = f", {one.dna_pg.normalize():f} pg" if one.dna_pg else ""
        told = f"{one.sets} chromosome sets by {one.get_method_display().lower()}{dna}; {one.by}"
        yield Item(Day(one.measured_on), "Ploidy measured", told, *stands(life, one), back=_back("ploidy", one))


def _of_captures(life: Life) -> Iterator[Item]:
    for one in life.care.captures:
        day = Day(one.caught_at.astimezone(timezone.get_current_timezone()).date())
        by = ", ".join(filter(None, (one.gear, f"permit {one.permit}" if one.permit else "")))
        told = f"at {one.place}, {clock(one)}" + (f", {by}" if by else "")
        more = {"correct": _where("capture_correct", one), "back": _back("capture", one)}
        yield Item(day, "Captured", told, *stands(life, one), **more)


def _marks(capture: Capture) -> list[dict[str, Any]]:
    order = list(MarkSearch.Way.values)
    rows = sorted(standing(capture.mark_searches.all()), key=lambda one: order.index(one.way))
    return [{"pk": one.pk, "way": one.get_way_display(), "said": _said(one), "looked": one.looked} for one in rows]


def _said(mark: MarkSearch) -> str:
    return mark.found or ("nothing found" if mark.looked else "not looked for")


def _actions(who: Actor, life: Life) -> list[dict[str, str]]:
    if not may(who, ENTER):
        return []
    living, held = not life.details.left, life.care.in_quarantine
    offered = [one for one in ACTIONS if (living or not one[2]) and not (one[1] == "quarantine_start" and held)]
    return [{"label": label, "address": address(page)} for label, page, _ in offered]


def _condition(life: Life) -> str:
    last = life.last_check
    value = fulton(last.fork_length_mm or last.total_length_mm, last.mass_g) if last else None
    return f"{value:.2f}" if value is not None else ""
