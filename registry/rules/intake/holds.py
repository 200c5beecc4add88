"""What a quarantine or a waiting time keeps a fish from: crosses, releases, and units where others share its water."""

from datetime import date

from registry.errors import Objection
from registry.rules.days import spoken
from registry.rules.intake.held import Hold
from registry.rules.known import Known, KnownBatch, KnownFish

# Codes that stay the same for good: limits of a plan and lists of reasons go by them.
IN_QUARANTINE, WITHHELD, NO_TISSUE = "in_quarantine", "withheld", "no_tissue"


def objections_to_use(fish: KnownFish, field: str, day: date) -> list[Objection]:
    """Return why a fish is not crossed on a day: it is in quarantine, or its eggs and milt are withheld."""
    found = _objections_to_quarantine(fish, field, day)
    waits = [one for one in fish.waits if one.on(day) and one.bars_crossing]
    return found + [_withheld(fish, field, one) for one in waits]


def objections_to_milt(fish: KnownFish, field: str, lot: str, collected_on: date) -> list[Objection]:
    """Return why a milt lot is not used: collected in a quarantine that the veterinarian has not ended since."""
    hold = next((one for one in fish.quarantines if one.on(collected_on) and one.until is None), None)
    if hold is None:
        return []
    text = (
        f"Milt lot {lot} was collected on {spoken(collected_on)}, in the quarantine of {fish.number} that began on "
        f"{spoken(hold.since)} and is not ended. The veterinarian's release comes first."
    )
    return [Objection(IN_QUARANTINE, field, text, lot)]


def objections_to_putting_out(fish: KnownFish | KnownBatch, field: str, day: date) -> list[Objection]:
    """Return why a fish or batch does not go into open water on a day: in quarantine, or a waiting time runs."""
    found = _objections_to_quarantine(fish, field, day)
    wait = fish.withheld(day)
    return [*found, _withheld(fish, field, wait)] if wait else found


def objections_to_missing_tissue(fish: KnownFish, field: str) -> list[Objection]:
    """Return the warning that a founder has no sample by which it could ever be told from another."""
    if fish.pairs or fish.tissue:
        return []
    text = f"{fish.number} is a founder without a tissue sample: nothing can later prove which fish it was. Take one."
    return [Objection(NO_TISSUE, field, text, fish.number, warning=True)]


def objections_to_unit(
    fish: KnownFish | KnownBatch, unit: str, now_in: str, day: date, known: Known
) -> list[Objection]:
    """Return why what is in quarantine may not go into a unit: others there, or in its water, could catch what it has.

    Into a unit on another water system it may go as an exception, said in so many words.
    """
    hold = fish.quarantined(day)
    if hold is None or unit in known.quarantine_units:
        return []
    water = known.water_of.get(unit, "")
    before = known.water_of.get(now_in or hold.why, "")
    begun = f"{called(fish)} is in quarantine since {spoken(hold.since)}"
    if water and before and water != before:
        text = (
            f"{begun}, and {unit} is no quarantine unit: whatever it carries comes into the water of {unit} ({water})."
        )
        return [Objection(IN_QUARANTINE, "unit", text, unit, warning=True)]
    shared = f"has the same water ({water})" if water and water == before else "may share its water with others"
    text = f"{begun}; {unit} is no quarantine unit and {shared}. The veterinarian's release comes first."
    return [Objection(IN_QUARANTINE, "unit", text, unit)]


def called(held: KnownFish | KnownBatch) -> str:
    """Return how a fish or a batch is called in a sentence."""
    return f"Batch {held.number}" if isinstance(held, KnownBatch) else held.number


def _objections_to_quarantine(fish: KnownFish | KnownBatch, field: str, day: date) -> list[Objection]:
    hold = fish.quarantined(day)
    if hold is None:
        return []
    where = f" ({hold.why})" if hold.why else ""
    text = f"{called(fish)} is in quarantine since {spoken(hold.since)}{where}. The veterinarian's release comes first."
    return [Objection(IN_QUARANTINE, field, text, fish.number)]


def _withheld(fish: KnownFish | KnownBatch, field: str, wait: Hold) -> Objection:
    until = f" until {spoken(wait.until)}" if wait.until else ""
    text = f"{called(fish)} was given {wait.why} on {spoken(wait.since)} and is withheld{until}."
    return Objection(WITHHELD, field, f"{text} Wait, or ask the veterinarian.", fish.number)
