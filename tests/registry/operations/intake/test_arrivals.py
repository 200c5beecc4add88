"""A fish taken in: everything of that day under one entry, or nothing at all."""

from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal
from types import SimpleNamespace
from zoneinfo import ZoneInfo

import pytest

from registry.files.store import fault_of
from registry.models import (
    Capture,
    Check,
    Fish,
    FishDetails,
    HealthLook,
    MarkSearch,
    Photo,
    Quarantine,
    Stay,
    Tag,
    TissueSample,
)
from registry.operations.intake.arrivals import look_at_health, take_in
from registry.operations.intake.photos import add_photo
from registry.operations.intake.quarantine import set_quarantine_unit
from registry.operations.people import installer
from registry.operations.shared.entries import Admission, Day, Measurement, TagCode
from registry.permissions import Actor
from registry.queries.papers.use import acts_under
from registry.rules.intake.arrivals import Arrival
from registry.rules.intake.captures import WAYS, CaptureMade, HealthSeen, MarkLooked
from registry.rules.intake.quarantine import QuarantineStart, QuarantineUnitSet
from registry.rules.intake.samples import SampleTaken
from tests.support.care import photographed
from tests.support.proof import ENTERING, last, only_those_who_may, refused, told
from tests.support.river import CODES, POND, STOCK, TANK

DAY = date(2011, 5, 3)
NIGHT = datetime(2011, 5, 3, 0, 40, tzinfo=ZoneInfo("Asia/Tbilisi"))  # the evening before, by UTC
CODE = TagCode("iso", "985121004515220")


@pytest.fixture
def house(river: SimpleNamespace) -> SimpleNamespace:
    set_quarantine_unit(installer("test"), QuarantineUnitSet(unit=TANK, day=date(2009, 1, 1)))
    return river


def arrived(**changes: object) -> Arrival:
    whole = {
        "admission": Admission(
            number="N1", species="ruthenus", stock=STOCK, sex="F", origin="wild", caught=Day(DAY),
            caught_at="Alder Ford", tag=CODE, tagged_on=DAY, tag_site="left, behind the head",
        ),
        "capture": CaptureMade(
            fish="N1", caught_at=NIGHT, zone="Asia/Tbilisi", place="Alder Ford", latitude=Decimal("44.5"),
            longitude=Decimal("29.25"), uncertainty_m=50, river_km=Decimal("88.5"), gear="drift net",
            crew="crew leader, hatchery staff", permit="BW/2011/2", transport="1 in a bag", transport_minutes=40,
            density_kg_m3=Decimal(50), oxygen_mg_l=Decimal("7.5"),
        ),
        "marks": tuple(MarkLooked(way=way, looked=True) for way in WAYS),
        "measurement": Measurement(
            fish="N1", checked_on=DAY, total_length_mm=Decimal(800), fork_length_mm=Decimal(720),
            girth_mm=Decimal(290), mass_g=Decimal(2800),
        ),
        "health": HealthSeen(fish="N1", looked_on=DAY, score=4, injuries="scratch on the snout"),
        "samples": (
            SampleTaken(fish="N1", number="T-1", taken_on=DAY, stored_at="freezer 1", second_tube="Quern Mill"),
            SampleTaken(fish="N1", number="B-1", taken_on=DAY, kind="blood"),
        ),
        "photos": (photographed("N1"),),
        "quarantine": QuarantineStart(fish="N1", unit=TANK, since=DAY, reason="intake"),
    }  # fmt: skip
    return Arrival(**{**whole, **changes})


def test_a_fish_is_taken_in_with_everything_under_one_entry(house: SimpleNamespace, staff: Actor) -> None:
    fish = take_in(staff, arrived())
    entry = last()
    # 00:40 by the clock at the river is the evening before by UTC; the day of the fish is the river's.
    assert (entry.who, entry.what, entry.subject, entry.happened_at) == ("staff", "fish taken in", "fish N1", NIGHT)
    assert FishDetails.objects.get(fish=fish).caught_on == DAY
    for model in (FishDetails, Tag, Capture, Check, HealthLook, Photo, Quarantine, Stay):
        assert [row.entry_id for row in model.objects.filter(fish=fish)] == [entry.seq], model
    capture = Capture.objects.get(fish=fish)
    assert (capture.caught_at, capture.zone, capture.uncertainty_m, capture.river_km) == (
        NIGHT, "Asia/Tbilisi", 50, Decimal("88.5"),
    )  # fmt: skip
    assert set(MarkSearch.objects.filter(capture=capture).values_list("way", "looked")) == {(w, True) for w in WAYS}
    assert set(TissueSample.objects.filter(fish=fish).values_list("label", "kind")) == {
        ("T-1", "fin clip"), ("B-1", "blood"),
    }  # fmt: skip
    check = Check.objects.get(fish=fish)
    assert (check.fork_length_mm, check.girth_mm, check.mass_g) == (720, 290, 2800)
    assert (Stay.objects.get(fish=fish).unit.name, Quarantine.objects.get(fish=fish).since) == (TANK, DAY)
    kept = Photo.objects.get(fish=fish)
    assert fault_of(kept.original) == fault_of(kept.picture) == ""


def test_the_capture_counts_against_its_permit(house: SimpleNamespace, staff: Actor) -> None:
    take_in(staff, arrived())
    (act,) = acts_under(["bw/2011/2"])["bw/2011/2"]
    assert (act.kind, act.species, act.stock, act.count, act.number, act.place) == (
        "capture", "ruthenus", STOCK, 1, "N1", "Alder Ford",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("part", "changes", "why"),
    [
        ("admission", {"number": "F1"}, "Number F1 is already another fish"),
        ("admission", {"tag": TagCode("iso", CODES["F1"])}, "F1"),
        ("admission", {"species": "griffin"}, "“griffin” is not in the species catalogue"),
        ("capture", {"place": ""}, "The place is missing"),
        ("measurement", {"fork_length_mm": Decimal(900)}, "The fork length (900 mm) is over the total length"),
        ("health", {"score": 7}, "A score of 7 is not on the scale"),
        ("quarantine", {"unit": POND}, f"{POND} is no quarantine unit"),
        ("quarantine", {"since": date(2011, 5, 2)}, "Fish N1 came 3 May 2011, after 2 May 2011"),
    ],
)
def test_what_any_part_is_refused_for_refuses_the_whole(
    part: str, changes: dict[str, object], why: str, house: SimpleNamespace, staff: Actor
) -> None:
    with refused(why):
        take_in(staff, arrived(**{part: replace(getattr(arrived(), part), **changes)}))


def test_two_samples_cannot_bear_one_number(house: SimpleNamespace, staff: Actor) -> None:
    one = SampleTaken(fish="N1", number="T-1", taken_on=DAY)
    with refused("Sample T-1 is on record of fish N1"):
        take_in(staff, arrived(samples=(one, replace(one, kind="swab"))))


def test_a_photograph_that_is_no_longer_there_is_asked_for_again(house: SimpleNamespace, staff: Actor) -> None:
    with refused("“left.png” is no longer here. Choose the photograph again."):
        take_in(staff, arrived(photos=(replace(photographed("N1"), original="0" * 64),)))


def test_without_quarantine_sample_or_search_a_second_look_is_asked_for(house: SimpleNamespace, staff: Actor) -> None:
    bare = arrived(quarantine=None, samples=(), marks=(), photos=())
    with refused("It goes into no quarantine", "No sample was taken", "Not looked for: PIT scan"):
        take_in(staff, bare, confirmed=False)
    take_in(staff, bare)
    assert Fish.objects.filter(number="N1").exists()


def test_a_photograph_is_added_later_once(house: SimpleNamespace, staff: Actor) -> None:
    later = photographed("F1", "dorsal", "white")
    row = add_photo(staff, later)
    assert told()[:4] == ("staff", "photograph kept", "fish F1", DAY)
    assert (row.view, row.original_name, row.width, row.height) == ("dorsal", "dorsal.png", 30, 20)
    with refused("This very photograph is kept of F1 already"):
        add_photo(staff, later)
    with refused("no scale is said to lie in it"):
        add_photo(staff, replace(photographed("F1", "left", "black"), scale_shown=False), confirmed=False)


def test_how_a_fish_looks_is_noted(house: SimpleNamespace, staff: Actor) -> None:
    seen = HealthSeen(fish="F1", looked_on=DAY, score=2, injuries="hook wound", hook=True)
    row = look_at_health(staff, seen)
    assert (told()[1:3], row.score, row.hook) == (("health looked at", "fish F1"), 2, True)
    with refused("Nothing was noted"):
        look_at_health(staff, HealthSeen(fish="F1", looked_on=DAY))


def test_who_may_take_a_fish_in(house: SimpleNamespace) -> None:
    only_those_who_may(ENTERING, lambda by: take_in(by, arrived()))
    only_those_who_may(ENTERING, lambda by: add_photo(by, photographed("F1")))
    only_those_who_may(ENTERING, lambda by: look_at_health(by, HealthSeen(fish="F1", looked_on=DAY, score=3)))
