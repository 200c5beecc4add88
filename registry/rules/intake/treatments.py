"""What may be entered of a treatment. No dose is ever proposed or judged."""

from dataclasses import dataclass
from datetime import date

from registry.errors import Objection
from registry.rules.days import spoken
from registry.rules.intake.in_hand import objections_to_being_in_hand
from registry.rules.intake.quarantine import objections_to_batch_there, objections_to_naming
from registry.rules.known import Known
from registry.rules.texts import objections_to_texts

PRESCRIBED = (
    ("product", "product"),
    ("amount", "amount as prescribed"),
    ("prescriber", "prescribing veterinarian"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class TreatmentGiven:
    """A product as it was given under a prescription. `withdrawal_until` is the first day after the waiting time."""

    fish: str = ""
    batch: str = ""
    given_on: date
    product: str
    amount: str
    prescriber: str
    product_batch: str = ""
    prescription: str = ""
    withdrawal_until: date | None = None
    bars_crossing: bool = True
    notes: str = ""


def _objections_to_day(entry: TreatmentGiven, known: Known) -> list[Objection]:
    batch = known.find_batch(entry.batch)
    if batch is None:
        return objections_to_being_in_hand(entry.fish, "given_on", entry.given_on, known)
    if entry.given_on > known.today:
        text = f"{spoken(entry.given_on)} lies in the future. Correct the day."
        return [Objection("future_date", "given_on", text, str(entry.given_on))]
    return objections_to_batch_there(batch, entry.given_on, "given_on")


def objections_to_treatment(entry: TreatmentGiven, known: Known) -> list[Objection]:
    """Return what is in the way of recording this treatment, and the warning that no waiting time was given."""
    found = objections_to_texts(entry, {"product": 80, "product_batch": 40, "amount": 80, "prescriber": 80,
                                        "prescription": 60})  # fmt: skip
    found += objections_to_naming(entry.fish, entry.batch, known) or _objections_to_day(entry, known)
    for field, what in PRESCRIBED:
        if not getattr(entry, field).strip():
            text = f"The {what} is missing. Write it as it stands on the prescription."
            found.append(Objection("missing", field, text))
    if entry.withdrawal_until is None:
        text = "No waiting time was given. If the product has one, the label or the veterinarian says how long."
        found.append(Objection("no_withdrawal", "withdrawal_until", text, warning=True))
    elif entry.withdrawal_until < entry.given_on:
        text = f"The waiting time cannot end before the treatment ({spoken(entry.given_on)}). Correct one of the days."
        found.append(Objection("out_before_in", "withdrawal_until", text))
    return found
