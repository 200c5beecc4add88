"""Facilities, water systems and holding units."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.utils import timezone

from registry.errors import Objection, Refused
from registry.journal.write import entry as journal_entry
from registry.models import Facility, HoldingUnit, Temperature, UnitKind, WaterSystem
from registry.operations.shared.desk import Desk
from registry.permissions import ADMINISTER, ENTER, Actor, require
from registry.rules.texts import objections_to_texts

FIRST_FACILITY = "Hatchery"
COLDEST_C, WARMEST_C = Decimal(-2), Decimal(40)


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitOpened:
    """A tank, pond, cage, trough or jar; its facility and water system are opened with it if they are new."""

    name: str
    kind: str
    facility: str
    water_system: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TemperatureRead:
    """A reading of a water system's temperature in °C."""

    facility: str
    water_system: str
    read_at: datetime
    water_c: Decimal


def open_unit(by: Actor, entry: UnitOpened) -> HoldingUnit:
    """Open a holding unit. Refused: name in use, no such kind."""
    found = objections_to_texts(entry)
    if entry.kind not in UnitKind.values:
        found.append(Objection("bad_kind", "kind", f"“{entry.kind}” is not one of {', '.join(UnitKind.values)}."))
    if not entry.name or HoldingUnit.objects.filter(name__iexact=entry.name).exists():
        found.append(
            Objection("duplicate_id", "name", f"A unit named “{entry.name}” cannot be opened. Take another name.")
        )
    if not entry.facility:
        found.append(Objection("missing_id", "facility", "Say in which facility the unit stands."))
    if found:
        raise Refused(found)
    with journal_entry(by, "unit opened", permission=ADMINISTER, subject=f"unit {entry.name}") as made:
        facility = Facility.objects.filter(name=entry.facility).first() or made.add(Facility(name=entry.facility))
        water = None
        if entry.water_system:
            known = WaterSystem.objects.filter(facility__name=entry.facility, name=entry.water_system).first()
            water = known or made.add(WaterSystem(facility=facility, name=entry.water_system))
        return made.add(HoldingUnit(facility=facility, water_system=water, name=entry.name, kind=entry.kind))


def write_unit(desk: Desk, entry: UnitOpened, source: str) -> HoldingUnit:
    """Open a holding unit at a desk, so that the sheet rows written there may name it.

    Without a facility named, it stands in the first one; where there is none yet, one is opened.
    """
    require(desk.door.by, ADMINISTER)
    made = desk.door.open("unit opened", f"unit {entry.name}", source=source)
    facility = desk.new.get((Facility, entry.facility)) or _facility(entry.facility)
    if facility is None:
        facility = made.add(Facility(name=entry.facility or FIRST_FACILITY))
    desk.new[(Facility, entry.facility)] = facility
    row = made.add(HoldingUnit(facility=facility, name=entry.name, kind=entry.kind))
    desk.units[entry.name] = row
    desk.known.units.add(entry.name)
    return row


def _facility(name: str) -> Facility | None:
    rows = Facility.objects.current().order_by("pk")
    return (rows.filter(name=name) if name else rows).first()


def log_temperature(by: Actor, entry: TemperatureRead) -> Temperature:
    """Log a temperature. Refused: no such water system, a figure no water has, a moment to come."""
    found = objections_to_texts(entry)
    water = WaterSystem.objects.filter(facility__name=entry.facility, name=entry.water_system).first()
    if water is None:
        found.append(Objection("unknown_water", "water_system", f"There is no water system “{entry.water_system}”."))
    if not COLDEST_C <= entry.water_c <= WARMEST_C:
        found.append(Objection("implausible", "water_c", f"{entry.water_c} °C is not a water temperature. Read again."))
    if entry.read_at > timezone.now():
        found.append(Objection("future_date", "read_at", "This moment lies in the future. Correct it."))
    if found:
        raise Refused(found)
    subject = f"water {entry.water_system}"
    with journal_entry(by, "temperature read", permission=ENTER, subject=subject, happened_at=entry.read_at) as made:
        return made.add(Temperature(water_system=water, read_at=entry.read_at, water_c=entry.water_c))
