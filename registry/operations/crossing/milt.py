"""Milt lots: laid in and discarded. What a spawning uses is taken by the spawning."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from registry.errors import Objection, Refused
from registry.models import FishDetails, MiltLot, MiltUse
from registry.operations.shared.desk import Deed, Desk
from registry.permissions import ENTER, Actor
from registry.queries.crosses.milt import doses_left
from registry.queries.known import Named
from registry.rules.days import Day, spoken, surely_before
from registry.rules.known import Known, fold
from registry.rules.papers.acts import Act
from registry.rules.papers.permits import objections_to_sending
from registry.rules.parents import objections_to_sex
from registry.rules.texts import objections_to_texts


@dataclass(frozen=True, slots=True, kw_only=True)
class MiltCollected:
    """One male's milt of one collection, counted in doses (straws, or portions of fresh milt)."""

    number: str
    male: str
    collected_on: date
    state: str
    doses: int
    motility_percent: Decimal | None = None
    position: str = ""
    notes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MiltDiscarded:
    """Doses taken out of a lot for a test, or thrown away."""

    lot: str
    used_on: date
    doses: int
    purpose: str
    sent_to: str = ""
    permit: str = ""
    permit_reason: str = ""
    abroad: bool = False


def collect_milt(by: Actor, entry: MiltCollected, *, confirmed: bool = True) -> MiltLot:
    """Lay in a milt lot. Refused: number in use, not a male, collected after its death or in the future."""
    return COLLECTION.do(by, entry, confirmed=confirmed)


def discard_milt(by: Actor, entry: MiltDiscarded, *, confirmed: bool = True) -> MiltUse:
    """Take doses out of a lot. Refused: more than are left, a day before it was laid in."""
    return DISCARD.do(by, entry, confirmed=confirmed)


def _judge_collection(entry: MiltCollected, known: Known) -> list[Objection]:
    found = objections_to_collection(entry, known)
    if MiltLot.objects.filter(number__iexact=entry.number).exists():
        text = f"Lot {entry.number} is in the register. Take another number."
        found.append(Objection("duplicate_id", "number", text))
    return found


def objections_to_collection(entry: MiltCollected, known: Known) -> list[Objection]:
    """Return what is wrong with a lot, its number apart."""
    found = objections_to_texts(entry)
    if entry.doses <= 0:
        found.append(Objection("negative", "doses", f"{entry.doses} doses cannot be laid in. Count again."))
    motility = entry.motility_percent
    if motility is not None and not 0 <= motility <= 100:
        text = f"{motility} is not between 0 and 100 per cent."
        found.append(Objection("percent_range", "motility_percent", text, str(motility)))
    found += _objections_to_future("collected_on", entry.collected_on, known)
    if entry.state not in MiltLot.State.values:
        found.append(Objection("bad_state", "state", "Say whether the milt is fresh or frozen."))
    male = known.find_fish(entry.male)
    if male is None:
        return [
            *found,
            Objection("unknown_fish", "male", f"There is no fish {entry.male} in the register.", entry.male),
        ]
    found += [o.on("male") for o in objections_to_sex(male, "sire")]
    if male.left_on and surely_before(male.left_on, Day(entry.collected_on)):
        found.append(Objection("after_death", "collected_on", f"{male.number} {male.left} {male.left_on}, earlier."))
    if male.quarantined(entry.collected_on):
        text = f"{male.number} is in quarantine: its milt is kept apart and not used until the veterinarian ends it."
        found.append(Objection("in_quarantine", "male", text, male.number, warning=True))
    return found


def _note_collection(entry: MiltCollected, known: Known) -> None:
    if entry.state == MiltLot.State.FROZEN:
        known.frozen_milt_of.add(fold(entry.male))


def _write_collection(desk: Desk, entry: MiltCollected) -> MiltLot:
    made = desk.entry("milt collected", f"milt lot {entry.number}", entry.collected_on)
    _note_collection(entry, desk.known)
    return made.add(
        MiltLot(
            number=entry.number,
            male=desk.fish(entry.male),
            collected_on=entry.collected_on,
            state=entry.state,
            doses=entry.doses,
            motility_percent=entry.motility_percent,
            position=entry.position,
            notes=entry.notes,
        )
    )


def _objections_to_future(field: str, day: date, known: Known) -> list[Objection]:
    if day <= known.today:
        return []
    return [Objection("future_date", field, f"{spoken(day)} lies in the future. Correct the day.", str(day))]


def _judge_discard(entry: MiltDiscarded, known: Known) -> list[Objection]:
    found = objections_to_texts(entry) + _objections_to_future("used_on", entry.used_on, known)
    lot = MiltLot.objects.current().filter(number__iexact=entry.lot).first()
    if lot is None:
        return [*found, Objection("unknown_lot", "lot", f"There is no milt lot {entry.lot}.", entry.lot)]
    if entry.used_on < lot.collected_on:
        days = f"{spoken(lot.collected_on)}, after {spoken(entry.used_on)}"
        found.append(
            Objection("before_start", "used_on", f"Lot {lot.number} was collected on {days}. Correct the day.")
        )
    found += _objections_to_giving(entry, lot, known)
    left = doses_left(lot)
    if entry.doses <= 0 or entry.doses > left:
        found.append(Objection("over_balance", "doses", f"Lot {lot.number} has {left} doses left, not {entry.doses}."))
    return found


def _objections_to_giving(entry: MiltDiscarded, lot: MiltLot, known: Known) -> list[Objection]:
    given = entry.purpose == MiltUse.GIVEN_AWAY
    found = objections_to_sending(entry, given, _sent(entry, lot), known)
    if given and not entry.sent_to:
        text = "Say where the milt went: the station or laboratory that asks for it later must be found."
        found.append(Objection("missing_place", "sent_to", text, warning=True))
    elif entry.sent_to and not given:
        text = "A place is named only for milt given to another station. Take it out, or choose that."
        found.append(Objection("permit_unasked", "sent_to", text, entry.sent_to))
    return found


def _sent(entry: MiltDiscarded, lot: MiltLot) -> list[Act]:
    male = FishDetails.objects.current().select_related("species", "stock").get(fish=lot.male_id)
    species, stock = male.species.key if male.species else "", male.stock.name if male.stock else ""
    return [Act("transfer", entry.used_on, species, stock, entry.doses, "milt_lot", lot.number, "", "milt")]


def _write_discard(desk: Desk, entry: MiltDiscarded) -> MiltUse:
    lot = MiltLot.objects.current().filter(number__iexact=entry.lot).first()
    if lot is None:
        raise Refused(Objection("unknown_lot", "lot", f"There is no milt lot {entry.lot}.", entry.lot))
    made = desk.entry("milt taken out", f"milt lot {lot.number}", entry.used_on, entry.permit_reason)
    sent = {"sent_to": entry.sent_to, "permit": desk.known.permit_named(entry.permit), "abroad": entry.abroad}
    return made.add(MiltUse(lot=lot, used_on=entry.used_on, doses=entry.doses, purpose=entry.purpose, **sent))


COLLECTION = Deed(ENTER, lambda e: Named(fish={e.male}), _judge_collection, _note_collection, _write_collection)
DISCARD = Deed(ENTER, lambda e: Named(permits={e.permit}), _judge_discard, lambda _entry, _known: None, _write_discard)
