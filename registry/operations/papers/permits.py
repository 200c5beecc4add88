"""Permits: entered as the authority gave them, corrected by a later row, taken back when entered in error."""

from dataclasses import dataclass, replace

from registry.errors import Objection
from registry.journal.write import Entry
from registry.models import Permit, PermitAllowance, PermitDetails
from registry.operations.shared.desk import Deed, Desk
from registry.permissions import KEEP_PERMITS, Actor
from registry.queries.known import Named
from registry.queries.papers.codes import trade_codes
from registry.queries.papers.permits import current_details, lines_of
from registry.rules.known import Known
from registry.rules.papers.paper import PermitGiven, objections_to_paper
from registry.rules.texts import objections_to_texts


@dataclass(frozen=True, slots=True, kw_only=True)
class PermitCorrected:
    """What a permit should read, and why."""

    given: PermitGiven
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PermitTakenBack:
    """A permit that was entered in error, such as under a wrong number, and why."""

    number: str
    reason: str


def enter_permit(by: Actor, entry: PermitGiven, *, confirmed: bool = True) -> Permit:
    """Enter a permit. Refused: a number that the register holds, nothing allowed, an unknown code, species or stock."""
    return PERMIT.do(by, entry, confirmed=confirmed)


def correct_permit(by: Actor, entry: PermitCorrected, *, confirmed: bool = True) -> Permit:
    """Write what a permit should read; what was entered stays readable. Refused: no reason, nothing different."""
    return PERMIT_CORRECTION.do(by, entry, confirmed=confirmed)


def take_permit_back(by: Actor, entry: PermitTakenBack, *, confirmed: bool = True) -> Permit:
    """Take back a permit that was entered in error; acts that name it stay and count against no permit."""
    return TAKING_BACK.do(by, entry, confirmed=confirmed)


def _judge(entry: PermitGiven, known: Known) -> list[Objection]:
    found = objections_to_paper(entry, known, trade_codes())
    if known.find_permit(entry.number):
        text = f"Permit {entry.number} is in the register already. Correct it there, or check the number."
        found.append(Objection("duplicate_id", "number", text, entry.number))
    return found


def _judge_correction(entry: PermitCorrected, known: Known) -> list[Objection]:
    found = objections_to_texts(entry) + objections_to_paper(entry.given, known, trade_codes())
    found += _objections_to_naming(entry.given.number, entry.reason, known)
    standing = standing_permit(entry.given.number)
    if standing and _in_order(standing) == _in_order(entry.given):
        text = "Nothing is different from what stands. Change something first."
        found.append(Objection("nothing_changed", "", text))
    return found


def _judge_taking_back(entry: PermitTakenBack, known: Known) -> list[Objection]:
    return objections_to_texts(entry, {"number": 60}) + _objections_to_naming(entry.number, entry.reason, known)


def _objections_to_naming(number: str, reason: str, known: Known) -> list[Objection]:
    found = []
    if known.find_permit(number) is None:
        text = f"There is no permit {number} in the register."
        found.append(Objection("unknown_permit", "number", text, number))
    if not reason.strip():
        text = "Say why: the reason stands in the journal beside the correction."
        found.append(Objection("no_reason", "reason", text))
    return found


def standing_permit(number: str) -> PermitGiven | None:
    """Return a permit as it stands, as the entry that would write it."""
    row = current_details().filter(permit__number=number).first()
    if row is None:
        return None
    return PermitGiven(
        number=row.permit.number, issuer=row.issuer, valid_from=row.valid_from, valid_until=row.valid_until,
        allowances=tuple(lines_of({row.pk})[row.pk]), places=row.places, purpose=row.purpose, source=row.source,
        notes=row.notes,
    )  # fmt: skip


def _in_order(given: PermitGiven) -> PermitGiven:
    return replace(given, allowances=tuple(sorted(given.allowances, key=repr)))


def _write(desk: Desk, entry: PermitGiven) -> Permit:
    made = desk.entry("permit entered", f"permit {entry.number}")
    permit = Permit.objects.filter(number__iexact=entry.number).first() or made.add(Permit(number=entry.number))
    _add_details(desk, made, permit, entry)
    return permit


def _write_correction(desk: Desk, entry: PermitCorrected) -> Permit:
    now = current_details().get(permit__number=desk.known.find_permit(entry.given.number).number)
    made = desk.door.open("permit corrected", f"permit {now.permit.number}", reason=entry.reason, corrects=now.entry)
    _withdraw(made, now)
    _add_details(desk, made, now.permit, entry.given)
    return now.permit


def _write_taking_back(desk: Desk, entry: PermitTakenBack) -> Permit:
    now = current_details().get(permit__number=desk.known.find_permit(entry.number).number)
    made = desk.door.open("permit taken back", f"permit {now.permit.number}", reason=entry.reason, corrects=now.entry)
    _withdraw(made, now)
    return now.permit


def _withdraw(made: Entry, details: PermitDetails) -> None:
    made.withdraw(details)
    for line in details.allowances.current():
        made.withdraw(line)


def _add_details(desk: Desk, made: Entry, permit: Permit, entry: PermitGiven) -> None:
    details = made.add(
        PermitDetails(
            permit=permit, issuer=entry.issuer, valid_from=entry.valid_from, valid_until=entry.valid_until,
            places=entry.places, purpose=entry.purpose, source=entry.source, notes=entry.notes,
        )
    )  # fmt: skip
    for line in entry.allowances:
        species, stock = desk.species(line.species), desk.stock(line.stock)
        made.add(
            PermitAllowance(
                details=details, act=line.act, specimen=line.specimen, species=species, stock=stock, most=line.most
            )
        )


def _note(_entry: object, _known: Known) -> None:
    """Leave it to the register: nobody enters a permit and an act under it at one desk."""


PERMIT = Deed(KEEP_PERMITS, lambda e: Named(permits={e.number}), _judge, _note, _write)
PERMIT_CORRECTION = Deed(
    KEEP_PERMITS, lambda e: Named(permits={e.given.number}), _judge_correction, _note, _write_correction
)
TAKING_BACK = Deed(KEEP_PERMITS, lambda e: Named(permits={e.number}), _judge_taking_back, _note, _write_taking_back)
