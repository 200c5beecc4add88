"""A fish cared for: in quarantine, treated, sampled, looked at and photographed, all through operations."""

from datetime import date
from io import BytesIO
from types import SimpleNamespace

from PIL import Image

from registry.files.pictures import lay_picture_aside
from registry.files.store import lay_aside
from registry.operations.intake.arrivals import look_at_health
from registry.operations.intake.photos import add_photo
from registry.operations.intake.ploidy import record_ploidy
from registry.operations.intake.quarantine import set_quarantine_unit, start_quarantine
from registry.operations.intake.samples import take_sample
from registry.operations.intake.sendings import send_sample
from registry.operations.intake.treatments import record_treatment
from registry.operations.people import installer
from registry.permissions import Actor
from registry.rules.intake.captures import HealthSeen
from registry.rules.intake.photos import PhotoTaken
from registry.rules.intake.ploidy import PloidyMeasured
from registry.rules.intake.quarantine import QuarantineStart, QuarantineUnitSet
from registry.rules.intake.samples import SampleSending, SampleTaken
from registry.rules.intake.treatments import TreatmentGiven
from tests.support.river import TANK

DAY = date(2011, 5, 3)


def picture(colour: str = "grey", size: tuple[int, int] = (30, 20), kind: str = "PNG") -> bytes:
    """Return the bytes of a picture of one colour."""
    written = BytesIO()
    Image.new("RGB", size, colour).save(written, kind)
    return written.getvalue()


def photographed(fish: str, view: str = "left", colour: str = "grey") -> PhotoTaken:
    """Return the entry of a photograph that is laid aside."""
    content = picture(colour)
    laid = lay_picture_aside(lay_aside([content], f"{view}.png"), content).value
    return PhotoTaken(
        fish=fish, view=view, taken_on=DAY, original=laid.original.sha256, original_name=laid.original.name,
        picture=laid.picture.sha256, width=laid.width, height=laid.height, scale_shown=True,
    )  # fmt: skip


def ploidy(fish: str, sets: int = 2, **more: object) -> PloidyMeasured:
    """Return the entry of a measured ploidy."""
    whole = {"measured_on": DAY, "method": "flow cytometry", "by": "laboratory 4, report 11-7"}
    return PloidyMeasured(fish=fish, sets=sets, **whole | more)


def cared_for(by: Actor, fish: str = "F1") -> SimpleNamespace:
    """Enter one of each thing that is done for a fish; its unit is a quarantine unit from then on."""
    set_quarantine_unit(installer("test"), QuarantineUnitSet(unit=TANK, day=date(2009, 1, 1)))
    given = TreatmentGiven(
        fish=fish, given_on=DAY, product="the product", amount="as written", prescriber="VET 7",
        withdrawal_until=date(2011, 5, 24),
    )  # fmt: skip
    sample = take_sample(by, SampleTaken(fish=fish, number="T-1", taken_on=DAY, stored_at="freezer 1"))
    return SimpleNamespace(
        quarantine=start_quarantine(by, QuarantineStart(fish=fish, unit=TANK, since=DAY, reason="sores")),
        treatment=record_treatment(by, given),
        sample=sample,
        sending=send_sample(by, SampleSending(number="T-1", sent_on=DAY, sent_to="laboratory")),
        health=look_at_health(by, HealthSeen(fish=fish, looked_on=DAY, score=3, injuries="sores")),
        photo=add_photo(by, photographed(fish)),
        ploidy=record_ploidy(by, ploidy(fish)),
    )
