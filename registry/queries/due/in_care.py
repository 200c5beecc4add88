"""What is due in the care of fish: quarantines that wait for the veterinarian, founders without a sample."""

from dataclasses import replace
from datetime import date

from registry.models import Quarantine
from registry.queries.due import Due, Section, living, section
from registry.queries.intake.holds import in_quarantine, lacks_tissue
from registry.rules.days import spoken


def quarantines_to_end(today: date) -> Section:
    """Fish and batches in quarantine: the veterinarian's release is wanting."""
    found = section(
        "In quarantine",
        "Nothing is in quarantine.",
        in_quarantine(),
        lambda row: Due(*_owner(row), _since(row, today)),
        "quarantine_list",
    )
    return replace(found, hint="Not crossed, not released, not moved among others until the veterinarian ends it.")


def founders_without_sample(_today: date) -> Section:
    """Living fish without known parents of which no sample is on record."""
    rows = living(parentage=None).filter(lacks_tissue()).select_related("fish").order_by("fish__number")
    found = section(
        "Founders without a sample",
        "A sample of every living founder is on record.",
        rows,
        lambda row: Due(f"Fish {row.fish}", "sample_enter", "", "take a fin clip", (("fish", row.fish.number),)),
        "fish_list",
    )
    return replace(found, hint="Nothing can later prove which fish it was, nor who its parents were.")


def _owner(row: Quarantine) -> tuple[str, str, str]:
    if row.batch:
        return f"Batch {row.batch}", "batch", row.batch.number
    return f"Fish {row.fish}", "fish", str(row.fish)


def _since(row: Quarantine, today: date) -> str:
    days = (today - row.since).days
    return f"{row.unit}, since {spoken(row.since)} ({days} day{'' if days == 1 else 's'})"
