"""Spawning nights: crosses made, families founded, milt used, hormones given."""

from dataclasses import dataclass, replace
from datetime import date, datetime

from registry.errors import Objection, Refused
from registry.journal.write import Entry
from registry.models import Cross, CrossSire, Family, Induction, MiltLot, MiltUse, Parentage, PlannedCross, Spawning
from registry.operations.fish import family_of
from registry.operations.shared.desk import Deed, Desk, next_number
from registry.permissions import ENTER, Actor
from registry.queries.crosses.milt import doses_left
from registry.queries.crosses.states import standing_plans
from registry.queries.known import Named
from registry.rules.crossing.spawning import CrossMade, SireShare, SpawningNight, objections_to_night, pairs_of
from registry.rules.days import Day, surely_before
from registry.rules.intake.holds import objections_to_milt
from registry.rules.known import Known, KnownFamily
from registry.rules.texts import objections_to_texts


@dataclass(frozen=True, slots=True, kw_only=True)
class HormoneGiven:
    """A hormone as it was given under a prescription; the register proposes no dose."""

    spawning: str
    fish: str
    given_at: datetime
    agent: str
    dose: str
    prescriber: str
    product_batch: str = ""


def record_spawning(by: Actor, entry: SpawningNight, *, confirmed: bool = True) -> Spawning:
    """Record a night's crosses. Refused: parents of the wrong sex, dead without frozen milt, families in use."""
    return SPAWNING.do(by, entry, confirmed=confirmed)


def record_induction(by: Actor, entry: HormoneGiven, *, confirmed: bool = True) -> Induction:
    """Record a hormone given. Refused: no such fish or spawning, no prescriber named."""
    return INDUCTION.do(by, entry, confirmed=confirmed)


def named_by_night(entry: SpawningNight) -> Named:
    """Return what a night names."""
    sires = {s.sire for c in entry.crosses for s in c.sires}
    return Named(fish={c.dam for c in entry.crosses} | sires, families={c.family for c in entry.crosses}, plans=True)


def note_night(entry: SpawningNight, known: Known) -> None:
    """Let later entries know the families."""
    for cross in entry.crosses:
        family = known.find_family(cross.family)
        if family is None:
            family = KnownFamily(cross.family, stock=entry.stock, pairs=pairs_of(cross))
            known.add_family(family)
        family.has_cross, family.spawned_on = True, entry.spawned_on


def write_night(desk: Desk, entry: SpawningNight) -> Spawning:
    """Write a judged night; crosses of the same day and stock from a sheet share one spawning."""
    stock = entry.stock or _stock_of_dams(desk, entry)
    key = (Spawning, f"{entry.spawned_on} {stock}")
    spawning = desk.new.get(key) if desk.row else None
    if spawning is None:
        number = entry.number or next_number(Spawning, f"S{entry.spawned_on:%y-%m-%d}", desk.new)
    else:
        number = spawning.number
    made = desk.entry("spawning recorded", f"spawning {number}", entry.spawned_on)
    if spawning is None:
        spawning = desk.remember(
            made.add(
                Spawning(
                    number=number,
                    stock=desk.stock(stock),
                    spawned_on=entry.spawned_on,
                    water_c=entry.water_c,
                    notes=entry.notes,
                )
            )
        )
        desk.new[key] = spawning
    for cross in entry.crosses:
        _write_cross(desk, made, spawning, cross, entry.spawned_on)
    note_night(entry, desk.known)
    return spawning


def _stock_of_dams(desk: Desk, entry: SpawningNight) -> str:
    dam = desk.known.find_fish(entry.crosses[0].dam)
    return dam.stock if dam else ""


def _write_cross(desk: Desk, made: Entry, spawning: Spawning, cross: CrossMade, day: date) -> None:
    stock = spawning.stock.name if spawning.stock else ""
    basis = Parentage.Basis.POOLED if len(cross.sires) > 1 else Parentage.Basis.RECORDED
    wanted = KnownFamily(cross.family, stock=stock, pairs=pairs_of(cross))
    draw = Parentage.Draw.SHARED if cross.one_male_only and len(cross.sires) > 1 else Parentage.Draw.EACH
    family: Family = family_of(desk, made, wanted, basis, draw)
    row = made.add(
        Cross(
            spawning=spawning,
            family=family,
            dam=desk.fish(cross.dam),
            made_at=cross.made_at,
            portion=cross.portion,
            egg_mass_g=cross.egg_mass_g,
            eggs_per_g=cross.eggs_per_g,
            fertilisation_percent=cross.fertilisation_percent,
            planned=_planned(desk, cross, day),
            off_plan_reason=cross.off_plan_reason,
            notes=cross.notes,
        )
    )
    for share in cross.sires:
        lot = _take_doses(desk, made, spawning, replace(share, sire=desk.fish(share.sire).number))
        made.add(
            CrossSire(
                cross=row,
                sire=desk.fish(share.sire),
                share=share.share,
                motility_percent=share.motility_percent,
                milt_lot=lot,
                frozen_milt=share.frozen_milt or bool(lot and lot.state == MiltLot.State.FROZEN),
            )
        )


def _planned(desk: Desk, cross: CrossMade, day: date) -> PlannedCross | None:
    if len(cross.sires) != 1:
        return None
    dam, sire = desk.fish(cross.dam), desk.fish(cross.sires[0].sire)
    if dam is None or sire is None or dam.pk is None or sire.pk is None:
        return None
    rows = PlannedCross.objects.current().filter(dam=dam, sire=sire, plan__in=standing_plans())
    return rows.filter(plan__season=day.year).first()


def _take_doses(desk: Desk, made: Entry, spawning: Spawning, share: SireShare) -> MiltLot | None:
    if not share.milt_lot:
        return None
    lots = MiltLot.objects.current().filter(number__iexact=share.milt_lot)
    lot = lots.filter(male__number__iexact=share.sire).first()
    if lot is None:
        raise Refused(
            Objection("unknown_lot", "milt_lot", f"{share.sire} has no milt lot {share.milt_lot}.", share.milt_lot)
        )
    sire = desk.known.find_fish(share.sire)
    barred = objections_to_milt(sire, "milt_lot", lot.number, lot.collected_on) if sire else []
    if barred:
        raise Refused(barred)
    doses = 1 if share.doses is None else share.doses
    made.door.write_rows()  # another cross of this night may have taken from the same lot
    left = doses_left(lot)
    if doses > left:
        raise Refused(
            Objection("over_balance", "doses", f"Milt lot {lot.number} has {left} doses left, not {doses}.", str(doses))
        )
    made.add(MiltUse(lot=lot, used_on=spawning.spawned_on, doses=doses, spawning=spawning, purpose="fertilisation"))
    return lot


def _judge_induction(entry: HormoneGiven, known: Known) -> list[Objection]:
    found = objections_to_texts(entry)
    fish = known.find_fish(entry.fish)
    if fish is None:
        found.append(Objection("unknown_fish", "fish", f"There is no fish {entry.fish} in the register.", entry.fish))
    elif fish.left_on and surely_before(fish.left_on, Day(entry.given_at.date())):
        text = f"{fish.number} left on {fish.left_on} ({fish.left}). Correct the fish or the moment."
        found.append(Objection("already_left", "fish", text, entry.fish))
    if not Spawning.objects.filter(number=entry.spawning).exists():
        found.append(
            Objection("unknown_spawning", "spawning", f"There is no spawning {entry.spawning}.", entry.spawning)
        )
    for field, what in (
        ("agent", "product"),
        ("dose", "dose as prescribed"),
        ("prescriber", "prescribing veterinarian"),
    ):
        if not getattr(entry, field):
            found.append(
                Objection("missing", field, f"The {what} is missing. Write it as it stands on the prescription.")
            )
    if entry.given_at.date() > known.today:
        found.append(Objection("future_date", "given_at", "This moment lies in the future. Correct it."))
    return found


def _write_induction(desk: Desk, entry: HormoneGiven) -> Induction:
    spawning = Spawning.objects.get(number=entry.spawning)
    fish = desk.fish(entry.fish)
    made = desk.entry("hormone given", f"fish {fish.number}", entry.given_at)
    return made.add(
        Induction(
            spawning=spawning,
            fish=fish,
            given_at=entry.given_at,
            agent=entry.agent,
            product_batch=entry.product_batch,
            dose=entry.dose,
            prescriber=entry.prescriber,
        )
    )


SPAWNING = Deed(ENTER, named_by_night, objections_to_night, note_night, write_night)
INDUCTION = Deed(ENTER, lambda e: Named(fish={e.fish}), _judge_induction, lambda _entry, _known: None, _write_induction)
