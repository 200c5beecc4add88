"""Recording a night: scanned, looked at, written; or refused with everything typed kept."""

from datetime import date, datetime
from decimal import Decimal

import pytest
from django.utils import timezone

from registry.models import Cross, CrossSire, JournalEntry, Spawning
from registry.operations.fish import record_departure
from registry.operations.shared.entries import Day, Departure
from tests.support.broodstock import HALL, STOCK, broodstock, freeze_milt, plan_of
from tests.support.river import CODES

pytestmark = pytest.mark.django_db
PAGE = "/spawnings/record/"


@pytest.fixture
def hall(client_of):
    """The tablet of the hatchery staff, in a hatchery whose fish are ripe."""
    broodstock()
    return client_of("staff")


def sheet(*crosses, do="enter", **night):
    """Return a sheet as the browser sends it; a cross is a dict, its males a list of dicts under `males`."""
    sent = {"do": do, "crosses": str(max(len(crosses), 3))}
    night = {"spawned_on": timezone.localdate().isoformat()} | night
    sent |= {f"night-{name}": value for name, value in night.items()}
    for n, cross in enumerate(crosses):
        males = cross.get("males", [])
        sent[f"cross-{n}-males"] = str(max(len(males), 1))
        sent |= {f"cross-{n}-{name}": value for name, value in cross.items() if name != "males"}
        for m, male in enumerate(males):
            sent |= {f"cross-{n}-male-{m}-{name}": value for name, value in male.items()}
    return sent


def cross(dam="F1", sire="M2", family="26-01", **more):
    return {"dam": dam, "family": family, "males": [{"sire": sire}]} | more


def text(answer):
    return " ".join(answer.content.decode().split())


def test_a_night_is_entered_by_scan_and_number(hall):
    eggs = {"egg_mass_g": "812,5", "eggs_per_g": "58", "fertilisation_percent": "84 %"}

    answer = hall.post(PAGE, sheet(cross(dam=CODES["F1"], **eggs), water_c="14,5"))

    made = Cross.objects.get(family__number="26-01")
    assert answer.status_code == 302
    assert answer.url == f"/spawnings/{made.spawning.number}/"
    assert (made.dam.number, made.sires.get().sire.number) == ("F1", "M2")
    assert (made.egg_mass_g, made.eggs_per_g, made.fertilisation_percent) == (Decimal("812.5"), 58, 84)
    assert (made.spawning.water_c, made.spawning.stock.name) == (Decimal("14.5"), STOCK)


def test_a_fresh_sheet_offers_three_crosses_and_the_next_free_families(hall):
    year = f"{timezone.localdate():%y}"

    page = text(hall.get(f"{PAGE}?dam=F2&sire=M2"))

    assert page.count('name="cross-') > 3
    assert f'name="cross-0-family" value="{year}-01"' in page
    assert f'name="cross-2-family" value="{year}-03"' in page
    assert 'name="cross-0-dam" value="F2"' in page
    assert 'name="cross-0-male-0-sire" value="M2"' in page


def test_looking_at_a_pair_tells_how_close_it_is_and_writes_nothing(hall):
    before = JournalEntry.objects.count()

    page = text(hall.post(PAGE, sheet(cross(dam="D1", sire="D2"), do="look")))

    assert "kinship 0.25, as close as full sibs or parent and offspring; expected inbreeding of the young 0.25" in page
    assert "not below the limit of 0.125" in page
    assert JournalEntry.objects.count() == before


def test_parents_without_a_tissue_sample_are_named_before_the_cross(hall):
    page = text(hall.post(PAGE, sheet(cross(), do="look")))

    assert "No tissue sample is on record of F1 and M2" in page


def test_a_pair_too_close_is_written_only_after_a_second_look(hall):
    answer = hall.post(PAGE, sheet(cross(dam="D1", sire="D2")))
    assert answer.status_code == 422
    warning = "D1 × D2: kinship 0.25 is not below the limit of 0.125"
    seen = [one.message for one in answer.context["warnings"]]
    assert any(message.startswith(warning) for message in seen)
    assert not Spawning.objects.filter(crosses__family__number="26-01").exists()

    again = sheet(cross(dam="D1", sire="D2")) | {"confirm_warnings": "yes", "warning_seen": seen}
    assert hall.post(PAGE, again).status_code == 302


def test_another_cross_and_another_male_are_added_and_nothing_typed_is_lost(hall):
    sent = sheet(cross(dam="no such fish", egg_mass_g="abc"), do="add-cross", notes="cold night")

    page = text(hall.post(PAGE, sent))
    assert 'name="crosses" value="4"' in page
    assert 'value="no such fish"' in page
    assert 'value="abc"' in page
    assert "cold night" in page
    assert "Not written yet" not in page

    page = text(hall.post(PAGE, sent | {"do": "add-male-0"}))
    assert 'name="cross-0-males" value="2"' in page
    assert 'name="cross-0-male-1-sire"' in page


def test_pooled_milt_has_equal_shares_unless_they_are_typed(hall):
    males = [{"sire": "M1"}, {"sire": "M2"}, {"sire": "H1"}]
    sent = sheet(cross(males=males))
    answer = hall.post(PAGE, sent)
    seen = [one.message for one in answer.context["warnings"]]
    assert seen == ["Milt was pooled: each of the young has M1 or M2 or H1 as its sire."]
    assert hall.post(PAGE, sent | {"confirm_warnings": "yes", "warning_seen": seen}).status_code == 302

    shares = CrossSire.objects.filter(cross__family__number="26-01").values_list("share", flat=True)
    assert sum(shares) == 1
    assert max(shares) - min(shares) < Decimal("1e-11")


@pytest.mark.parametrize(
    ("shares", "words"),
    [(("60", "30"), "The shares of the males sum to 90 %, not 100 %"), (("60", ""), "the share of every male")],
)
def test_shares_that_leave_milt_over_are_refused(hall, shares, words):
    males = [{"sire": sire, "share_percent": share} for sire, share in zip(("M1", "M2"), shares, strict=True)]

    answer = hall.post(PAGE, sheet(cross(males=males)))

    assert answer.status_code == 422
    assert words in text(answer)


def test_a_cross_off_the_signed_plan_asks_for_a_reason(hall):
    plan_of(("F2", "M2"))

    answer = hall.post(PAGE, sheet(cross()))
    assert answer.status_code == 422
    assert "F1 × M2: not in the signed plan P1" in text(answer)

    assert hall.post(PAGE, sheet(cross(off_plan_reason="only male with milt"))).status_code == 302
    made = Cross.objects.get(family__number="26-01")
    assert (made.planned, made.off_plan_reason) == (None, "only male with milt")


def test_a_planned_cross_is_linked_to_its_plan(hall):
    plan_of(("F1", "M2"))
    assert "In signed plan P1." in text(hall.post(PAGE, sheet(cross(), do="look")))

    hall.post(PAGE, sheet(cross()))

    assert Cross.objects.get(family__number="26-01").planned.plan.number == "P1"


def test_a_clock_time_after_midnight_belongs_to_the_next_day(hall):
    first, second = cross(made_at="23:40"), cross(dam="F2", family="26-02", made_at="1.10")

    hall.post(PAGE, sheet(first, second, spawned_on="2026-05-03"))

    times = Cross.objects.filter(family__number__startswith="26-0").order_by("pk").values_list("made_at", flat=True)
    assert [timezone.localtime(at).replace(tzinfo=None) for at in times] == [
        datetime(2026, 5, 3, 23, 40),  # noqa: DTZ001  what a clock on the wall shows
        datetime(2026, 5, 4, 1, 10),  # noqa: DTZ001
    ]


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"dam": "M1"}, "M1 is recorded as male and cannot be a dam"),
        ({"sire": "F2"}, "F2 is recorded as female and cannot be a sire"),
        ({"dam": "X99"}, "No fish has the number or tag “X99”"),
        ({"egg_mass_g": "-5"}, "-5"),
        ({"fertilisation_percent": "140"}, "140"),
        ({"family": "10-1"}, "Family 10-1 is already in the register"),
        ({"family": ""}, "The family number is missing"),
        ({"made_at": "25:99"}, "“25:99” is not a clock time. Write it as 23:40"),
        ({"made_at": "2026-01-01 22:00"}, "is not in the night that began on"),
        ({"made_at": "0001-01-01 22:00"}, "is not a clock time"),
        ({"notes": "a\x01b"}, "control character"),
        ({"egg_mass_g": "99999999999"}, "99999999999 g is beyond any sturgeon"),
        ({"eggs_per_g": "1e400"}, "eggs per g"),
        ({"eggs_per_g": "5800"}, "5800.0 eggs per g is beyond any sturgeon. Check the unit"),
        ({"males": [{"sire": "M2", "doses": "0", "milt_lot": "L-M2"}]}, "0 doses cannot be taken"),
        ({"males": [{"sire": "M2", "doses": "2"}]}, "write the milt lot that they were taken from"),
        ({"males": [{"sire": "M2"}, {"sire": "M2"}]}, "M2 is named twice as a male of this cross"),
    ],
)
def test_what_cannot_have_been_is_refused_at_its_cross_and_kept(hall, fields, words):
    before = JournalEntry.objects.count()
    wrong = cross(**{"dam": "F2", "family": "26-02"} | fields)

    answer = hall.post(PAGE, sheet(cross(), wrong, spawned_on="2026-05-03"))

    assert answer.status_code == 422
    assert words in text(answer)
    assert 'value="26-01"' in text(answer)
    assert not answer.context["form"].rows[0].refused
    assert JournalEntry.objects.count() == before


def test_a_sheet_on_which_nothing_was_typed_asks_for_a_female_and_a_male(hall):
    answer = hall.post(PAGE, sheet())

    assert answer.status_code == 422
    assert "Female is missing" in text(answer)
    assert text(answer).count("Female is missing") == 1


def test_a_dead_male_is_refused_unless_his_frozen_milt_is_noted(hall):
    record_departure(HALL, Departure(fish="M2", left="died", left_on=Day(date(2026, 1, 1))))
    assert "M2 died 1 January 2026" in text(hall.post(PAGE, sheet(cross())))

    freeze_milt("M1")
    males = [{"sire": "M1", "milt_lot": "L-M1", "doses": "9"}]
    answer = hall.post(PAGE, sheet(cross(dam="F2", males=males)))
    assert "Milt lot L-M1 has 5 doses left, not 9." in text(answer)
    assert answer.status_code == 422


@pytest.mark.parametrize(
    ("night", "words"),
    [
        ({"spawned_on": "2099-05-03"}, "3 May 2099 lies in the future"),
        ({"spawned_on": "9999-12-31"}, "31 December 9999 lies in the future"),
        ({"spawned_on": "0001-01-01"}, "1 January 1 is too long ago"),
        ({"water_c": "145"}, "145.0 °C is no water to spawn in"),
        ({"water_c": "cold"}, "“cold” is not a number"),
    ],
)
def test_a_night_that_cannot_have_been_is_refused(hall, night, words):
    answer = hall.post(PAGE, sheet(cross(made_at="01:00"), **night))

    assert answer.status_code == 422
    assert words in text(answer)


def test_figures_are_kept_with_the_decimals_that_the_register_holds(hall):
    hall.post(PAGE, sheet(cross(egg_mass_g="812.46", eggs_per_g="58,33", fertilisation_percent="66,6667")))

    made = Cross.objects.get(family__number="26-01")
    assert (made.egg_mass_g, made.eggs_per_g) == (Decimal("812.5"), Decimal("58.3"))
    assert made.fertilisation_percent == Decimal("66.67")


def test_hostile_text_is_shown_as_text(hall):
    answer = hall.post(PAGE, sheet(cross(dam="<script>alert(1)</script>")))

    assert "<script>alert" not in answer.content.decode()


@pytest.mark.parametrize("role", ["viewer", "auditor"])
def test_who_only_reads_may_not_record_a_spawning(client_of, role):
    assert client_of(role).get(PAGE).status_code == 403
