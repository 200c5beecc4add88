"""The typed fields of an intake, put together to the parts of its entry."""

from collections.abc import Iterator
from datetime import date
from typing import Any

from registry.files.pictures import LaidPicture
from registry.files.store import laid_content
from registry.models import MarkSearch
from registry.operations.shared.entries import Admission, Day, Measurement
from registry.rules.identity.determination import Determined
from registry.rules.intake.arrivals import Arrival
from registry.rules.intake.captures import CaptureMade, HealthSeen, MarkLooked
from registry.rules.intake.photos import PhotoTaken
from registry.rules.intake.quarantine import QuarantineStart
from registry.rules.intake.samples import SampleTaken
from registry.rules.papers.files import kind_of, safe_name
from registry.web.entry.characters import looks_of, seen_in

Data = dict[str, Any]
# Field, then kind of sample.
SAMPLES = {"fin_clip": "fin clip", "ray": "ray", "blood": "blood", "swab": "swab"}
# Field, then view and its label.
PHOTOS = {"dorsal": ("dorsal", "From above"), "left": ("left", "Left side"),
          "ventral": ("ventral head", "Head from below")}  # fmt: skip
CAPTURE = (
    "caught_at", "zone", "place", "latitude", "longitude", "uncertainty_m", "river_km", "gear", "crew", "permit",
    "permit_reason", "transport", "transport_minutes", "density_kg_m3", "oxygen_mg_l",
)  # fmt: skip
SIZES = ("total_length_mm", "fork_length_mm", "girth_mm", "mass_g")


def arrival_of(data: Data) -> Arrival:
    """Return the entry of a valid form."""
    number, day = data["number"], data["caught_at"].date()
    return Arrival(
        admission=_admission(data, day),
        capture=CaptureMade(fish=number, **{name: data[name] for name in CAPTURE}),
        marks=tuple(_marks(data)),
        measurement=_measurement(data, day),
        health=_health(data, day),
        samples=tuple(_samples(data, day)),
        photos=tuple(_photos(data, day)),
        quarantine=_quarantine(data, day),
        determination=_determination(data, day),
    )


def _admission(data: Data, day: date) -> Admission:
    names = ("number", "species", "confidence", "hybrid", "stock", "sex", "origin", "tag", "tag_site", "notes", "unit",
             "set_aside")  # fmt: skip
    tagged = day if data["tag"] and data["tag_new"] else None
    told = {name: data[name] for name in names}
    return Admission(caught=Day(day), caught_at=data["place"], tagged_on=tagged, **told)


def _marks(data: Data) -> Iterator[MarkLooked]:
    for way in MarkSearch.Way.values:
        slug = way.replace(" ", "_")
        yield MarkLooked(way=way, looked=data[f"looked_{slug}"], found=data[f"found_{slug}"])


def _measurement(data: Data, day: date) -> Measurement | None:
    sizes = {name: data[name] for name in SIZES}
    if all(value is None for value in sizes.values()):
        return None
    return Measurement(fish=data["number"], checked_on=day, code=data["tag"], **sizes)


def _health(data: Data, day: date) -> HealthSeen | None:
    if data["score"] is None and not data["injuries"] and not data["hook"]:
        return None
    told = {name: data[name] for name in ("score", "injuries", "hook")}
    return HealthSeen(fish=data["number"], looked_on=day, **told)


def _samples(data: Data, day: date) -> Iterator[SampleTaken]:
    first = {"stored_at": data["stored_at"], "second_tube": data["second_tube"]}
    for field, kind in SAMPLES.items():
        if data[field]:
            places = first if field == "fin_clip" else {"stored_at": data["stored_at"]}
            yield SampleTaken(fish=data["number"], number=data[field], taken_on=day, kind=kind, **places)


def _photos(data: Data, day: date) -> Iterator[PhotoTaken]:
    for side, (view, _) in PHOTOS.items():
        if laid := data[f"photo_{side}"]:
            yield photo_of(laid, fish=data["number"], view=view, taken_on=day, scale_shown=data[f"scale_{side}"])


def photo_of(laid: LaidPicture, **told: Any) -> PhotoTaken:
    """Return the entry of a photograph that is laid aside."""
    content = laid_content(laid.original.sha256) or b""
    kind = kind_of(content, laid.original.name)
    return PhotoTaken(
        original=laid.original.sha256,
        original_name=safe_name(laid.original.name, kind) if kind else "photograph",
        picture=laid.picture.sha256,
        width=laid.width,
        height=laid.height,
        place_removed=laid.had_place,
        **told,
    )


def _determination(data: Data, day: date) -> Determined | None:
    if not (looks_of(data) or data["signs"] or data["evidence"]):
        return None
    concluded = {name: data[name] for name in ("species", "hybrid", "confidence", "evidence")}
    return seen_in(data, fish=data["number"], determined_on=day, **concluded)


def _quarantine(data: Data, day: date) -> QuarantineStart | None:
    if not data["quarantine"]:
        return None
    since = data["quarantine_since"] or day
    return QuarantineStart(fish=data["number"], unit=data["quarantine"], since=since, reason="intake")
