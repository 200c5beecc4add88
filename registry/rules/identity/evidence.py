"""How it is known that a fish is the one it is taken for."""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from registry.errors import Objection
from registry.rules.days import spoken
from registry.rules.known import KnownTag

SECOND_TAG, GENOTYPE, EXTERNAL_TAG, PHOTOGRAPH = "second tag", "genotype", "external tag", "photograph"
ONLY_FISH, ASSERTED = "only fish", "asserted"
EVIDENCE = (SECOND_TAG, GENOTYPE, EXTERNAL_TAG, PHOTOGRAPH, ONLY_FISH, ASSERTED)


def objections_to_evidence(known_by: str, probability: Decimal | None, needed: bool = False) -> list[Objection]:
    """Return what is wrong with the evidence named: none though `needed`, or a probability where it is no guess."""
    if known_by and known_by not in EVIDENCE:
        return [Objection("bad_evidence", "known_by", f"“{known_by}” is not one of {', '.join(EVIDENCE)}. Choose one.")]
    if needed and not known_by:
        text = "Say how it is known that this is the same fish; if by nothing, choose that it is asserted."
        return [Objection("no_evidence", "known_by", text)]
    if known_by == ASSERTED:
        return _objections_to_asserted(probability)
    if probability is not None:
        text = "A probability belongs to an asserted identity only. Empty it, or choose that it is asserted."
        return [Objection("probability", "probability", text, str(probability))]
    return []


def _objections_to_asserted(probability: Decimal | None) -> list[Objection]:
    if probability is None:
        text = "Nothing proves that it is this fish: say how likely you hold it, as a share such as 0.8."
        return [Objection("probability", "probability", text)]
    if not 0 < probability <= 1:
        text = f"{probability} is not above 0 and up to 1. Give a share, such as 0.8."
        return [Objection("probability", "probability", text, str(probability))]
    return []


def objections_to_inference(number: str, day: date, tags: Iterable[KnownTag], told: bool) -> list[Objection]:
    """Return the warning that a fish which lost its only tag is taken for this one, with nothing `told` of why."""
    before = [tag for tag in tags if tag.attached_on <= day]
    lost = [tag for tag in before if tag.ended_on and tag.end_reason in ("lost", "dead")]
    if told or not lost or any(tag.on_day(day) for tag in before):
        return []
    last = max(lost, key=lambda tag: tag.ended_on or day)
    text = (
        f"{number} bears no tag since {spoken(last.ended_on or day)} ({last.end_reason}). "
        f"Say how it is known that this fish is {number}: an auditor must see the inference."
    )
    return [Objection("no_evidence", "known_by", text, number, warning=True)]
