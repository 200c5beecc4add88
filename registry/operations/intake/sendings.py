"""Samples sent elsewhere, as to a laboratory: counted against the permit that they go under."""

from registry.errors import Objection, Refused
from registry.models import FishDetails, SampleSent, TissueSample
from registry.operations.shared.desk import Deed, Desk
from registry.permissions import ENTER, Actor
from registry.queries.known import Named
from registry.rules.intake.samples import SampleSending, objections_to_sample_sending
from registry.rules.known import Known
from registry.rules.papers.acts import Act
from registry.rules.papers.permits import as_sent, objections_to_sending


def send_sample(by: Actor, entry: SampleSending, *, confirmed: bool = True) -> SampleSent:
    """Record a tube sent away. Refused: no such sample, a day before it was taken, a permit that does not cover it."""
    return SENDING.do(by, entry, confirmed=confirmed)


def sample_of(number: str) -> TissueSample | None:
    """Return the sample of that number that stands."""
    return TissueSample.objects.current().filter(label__iexact=number).select_related("fish").first()


def _judge(entry: SampleSending, known: Known) -> list[Objection]:
    sample = sample_of(entry.number)
    found = objections_to_sample_sending(entry, sample.taken_on if sample else None, known.today)
    if sample is None:
        return [*found, _unknown(entry)]
    return found + objections_to_sending(entry, True, [_act(entry, sample)], known)


def _unknown(entry: SampleSending) -> Objection:
    text = f"There is no sample {entry.number} in the register. Read the tube again, or record the sample first."
    return Objection("unknown_sample", "number", text, entry.number)


def _act(entry: SampleSending, sample: TissueSample) -> Act:
    fish = FishDetails.objects.current().select_related("species", "stock").get(fish=sample.fish_id)
    species, stock = fish.species.key if fish.species else "", fish.stock.name if fish.stock else ""
    return Act("transfer", entry.sent_on, species, stock, 1, "fish", sample.fish.number, "", "sample")


def _note(entry: SampleSending, known: Known) -> None:
    sample = sample_of(entry.number)
    if sample:
        known.note_acts(entry.permit, as_sent(entry, [_act(entry, sample)]))


def _write(desk: Desk, entry: SampleSending) -> SampleSent:
    sample = sample_of(entry.number)
    if sample is None:
        raise Refused(_unknown(entry))
    made = desk.entry("sample sent", f"fish {sample.fish.number}", entry.sent_on, entry.permit_reason)
    sent = {"sent_on": entry.sent_on, "sent_to": entry.sent_to, "abroad": entry.abroad, "notes": entry.notes}
    _note(entry, desk.known)
    return made.add(SampleSent(fish=sample.fish, sample=sample, permit=desk.known.permit_named(entry.permit), **sent))


SENDING = Deed(ENTER, lambda e: Named(permits={e.permit}), _judge, _note, _write)
