"""What is wrong with a fish, or due."""

from collections.abc import Iterator
from datetime import date

from registry.models import Confidence, Origin, Sex
from registry.queries.fish.life import Life
from registry.rules.days import spoken
from registry.rules.intake.ploidy import told_unlike


def due_of(life: Life, today: date, ripe: bool, check_days: int) -> list[str]:
    """Return what is wrong with a fish or due; a fish that left needs nothing but its facts.

    `check_days` says for how long a check counts.
    """
    living = list(_of_the_living(life, today, ripe, check_days)) if not life.details.left else []
    return living + list(_of_its_care(life)) + list(_of_the_facts(life))


def _of_the_living(life: Life, today: date, ripe: bool, check_days: int) -> Iterator[str]:
    if not life.active_tags:
        yield "It bears no tag that is known: read it for a second tag, or tag it anew."
    if len(life.active_tags) > 1:
        yield f"It bears {len(life.active_tags)} tags: read both, and end the one that no longer reads."
    if life.stay is None:
        yield "Its unit is not known: enter where it is."
    last = life.last_check
    if last is None:
        yield "It was never measured or checked."
    elif (today - last.checked_on).days > check_days:
        yield f"Last in hand on {spoken(last.checked_on)}: a check is due."
    if ripe and last:
        yield "Ripe at the last check, and not stripped since."


def _of_its_care(life: Life) -> Iterator[str]:
    now, held = life.details, life.care.in_quarantine
    if held:
        yield f"In quarantine since {spoken(held.since)}: the veterinarian has not ended it."
    founder = now.parentage is None and not now.left
    if founder and not now.tissue_sample and not life.care.genetic_samples:
        yield "A founder without a tissue sample: nothing can later prove which fish it was. Take a fin clip."


def _of_the_facts(life: Life) -> Iterator[str]:
    now = life.details
    if now.confidence == Confidence.DOUBTFUL or now.species is None:
        yield "Its species is in doubt: it enters no cross until a genetic test decides."
    if unlike := told_unlike("It", life.care.sets, now.species.ploidy if now.species else None):
        odd = (life.care.sets or 0) % 2
        yield f"{unlike} {'Odd ploidy never crosses.' if odd else 'Ask the geneticist before it is crossed.'}"
    if now.hybrid:
        yield "It is held to be a hybrid: it enters no cross."
    if now.origin == Origin.HATCHERY and now.parentage is None:
        yield "Hatchery-born, but its parents are not in the register."
    last = life.last_check
    if last and last.sex_found not in ("", Sex.UNKNOWN, now.sex):
        found, held = last.get_sex_found_display().lower(), now.get_sex_display().lower()
        yield f"Found {found} on {spoken(last.checked_on)}, but on record as {held}: look again, then correct."
