"""How a fish came and what was done for it: captures, quarantines, treatments, samples, looks, determinations."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from registry.models import Capture, Determination, HealthLook, Photo, PloidyFound, Quarantine, TissueSample, Treatment
from registry.queries.catalogue.determinations import determinations_of
from registry.queries.intake.samples import samples_of


@dataclass
class Care:
    """Every such row of a fish, rows taken back too, oldest first; determinations newest first."""

    captures: list[Capture] = field(default_factory=list)
    quarantines: list[Quarantine] = field(default_factory=list)
    treatments: list[Treatment] = field(default_factory=list)
    samples: list[TissueSample] = field(default_factory=list)
    photos: list[Photo] = field(default_factory=list)
    looks: list[HealthLook] = field(default_factory=list)
    determinations: list[Determination] = field(default_factory=list)
    ploidies: list[PloidyFound] = field(default_factory=list)

    def rows(self) -> list[Any]:
        """Return all of them."""
        return [
            *self.captures, *self.quarantines, *self.treatments, *self.samples, *self.photos, *self.looks,
            *self.determinations, *self.ploidies,
        ]  # fmt: skip

    @property
    def in_quarantine(self) -> Quarantine | None:
        """Return the quarantine that nobody has ended."""
        return next((one for one in standing(self.quarantines) if one.until is None), None)

    def withheld(self, day: date) -> Treatment | None:
        """Return the treatment whose waiting time runs longest, if one runs that day."""
        running = [
            one
            for one in standing(self.treatments)
            if one.withdrawal_until and one.given_on <= day < one.withdrawal_until
        ]
        return max(running, key=lambda one: one.withdrawal_until, default=None)

    @property
    def sets(self) -> int | None:
        """Return the chromosome sets by the latest measurement that stands; None where it was never measured."""
        found = standing(self.ploidies)
        return found[-1].sets if found else None

    @property
    def genetic_samples(self) -> list[TissueSample]:
        """Return the samples that a genotype can be read from."""
        return [one for one in standing(self.samples) if one.kind in TissueSample.GENETIC]


def standing(rows: Iterable[Any]) -> list[Any]:
    """Return the rows that nobody took back."""
    return [row for row in rows if row.withdrawn_id is None]


def care_of_batch(batch: int) -> Care:
    """Return what a batch has of it: quarantines and treatments, in two statements."""
    return Care(
        quarantines=list(Quarantine.objects.filter(batch=batch).select_related("unit").order_by("since", "pk")),
        treatments=list(Treatment.objects.filter(batch=batch).order_by("given_on", "pk")),
    )


def care_of(fish: int) -> Care:
    """Return all of it, in eight statements."""
    captures = Capture.objects.filter(fish=fish).prefetch_related("mark_searches").order_by("caught_at", "pk")
    return Care(
        list(captures),
        list(Quarantine.objects.filter(fish=fish).select_related("unit").order_by("since", "pk")),
        list(Treatment.objects.filter(fish=fish).order_by("given_on", "pk")),
        list(samples_of(fish)),
        list(Photo.objects.filter(fish=fish).order_by("taken_on", "pk")),
        list(HealthLook.objects.filter(fish=fish).order_by("looked_on", "pk")),
        determinations_of(fish),
        list(PloidyFound.objects.filter(fish=fish).order_by("measured_on", "pk")),
    )
