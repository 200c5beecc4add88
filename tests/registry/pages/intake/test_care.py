"""Quarantine, treatments, samples, photographs: entered, shown loudly, taken back, printed."""

import re
from dataclasses import replace

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone

from registry.models import Photo, Quarantine, TissueSample
from registry.operations.intake.corrections import SampleCorrected, TakenBack, as_taken, correct_sample, take_back
from tests.support.care import cared_for, picture
from tests.support.proof import CORRECTING, only_those_who_may, refused
from tests.support.river import TANK, small_river

pytestmark = pytest.mark.django_db


@pytest.fixture
def river():
    return small_river()


def text_of(answer):
    return " ".join(re.sub(r"<[^>]+>", " ", answer.content.decode()).split())


def test_quarantine_is_said_loudly_and_ended_by_the_veterinarian_s_word(river, client_of):
    cared_for(river.by)
    manager, staff = client_of("manager"), client_of("staff")
    page = text_of(manager.get("/fish/F1/"))
    assert f"IN QUARANTINE since 3 May 2011 , {TANK}." in page
    assert "The veterinarian's release" in page.replace("&#x27;", "'")
    assert staff.get("/enter/quarantine-release/").status_code == 403
    assert "In quarantine" in text_of(staff.get("/"))
    typed = {"fish": "F1", "until": "2011-06-01", "released_by": "VET 7", "findings": "no virus found"}
    assert manager.post("/enter/quarantine-release/", typed | {"findings": ""}).status_code == 422
    assert manager.post("/enter/quarantine-release/", typed).url == "/fish/F1/"
    page = text_of(manager.get("/fish/F1/"))
    assert "IN QUARANTINE" not in page
    assert "Quarantine ended by the veterinarian by VET 7: no virus found" in page
    assert "F1" in text_of(staff.get("/quarantine/?state=ended"))
    assert "Nothing was in quarantine" in text_of(staff.get("/quarantine/?state=open"))


def test_a_waiting_time_is_said_loudly_while_it_runs(river, client_of):
    staff = client_of("staff")
    until = timezone.localdate().replace(year=timezone.localdate().year + 1)
    typed = {
        "fish": "F1", "given_on": "2012-05-03", "product": "the product", "amount": "as written",
        "prescriber": "VET 7", "withdrawal_until": until.isoformat(),
    }  # fmt: skip
    assert staff.post("/enter/treatment/", typed).url == "/fish/F1/"
    assert "WITHHELD until" in text_of(staff.get("/fish/F1/"))
    assert "decided by the licensed veterinarian" in text_of(staff.get("/enter/treatment/"))


def test_a_photograph_is_served_painted_anew_to_those_who_are_signed_in(river, client_of, client):
    staff = client_of("staff")
    file = SimpleUploadedFile("side.png", picture(), content_type="image/png")
    typed = {"fish": "F1", "photo": file, "view": "left", "taken_on": "2011-05-03", "scale_shown": "on"}
    assert staff.post("/enter/photo/", typed).url == "/fish/F1/"
    row = Photo.objects.get()
    answer = staff.get(f"/photos/{row.pk}.jpg")
    assert b"".join(answer.streaming_content)[:3] == b"\xff\xd8\xff"
    assert (answer["Content-Type"], answer["X-Content-Type-Options"]) == ("image/jpeg", "nosniff")
    assert "sandbox" in answer["Content-Security-Policy"]
    assert "private" in answer["Cache-Control"]
    assert client.get(f"/photos/{row.pk}.jpg").status_code == 302
    assert f"/photos/{row.pk}.jpg" in staff.get("/fish/F1/").content.decode()


def test_samples_are_listed_and_their_labels_printed(river, client_of):
    cared_for(river.by)
    staff = client_of("staff")
    assert "T-1" in text_of(staff.get("/samples/?fish=F1"))
    page = staff.get("/samples/labels/?fish=F1").content.decode()
    assert "<svg" in page
    assert "<b>T-1</b>" in page
    ahead = text_of(staff.get("/samples/labels/?first=T-1&count=3"))
    assert "Left out, for they are in use: T-1 (fish F1)." in ahead
    assert "T-2" in ahead
    assert "T-3" in ahead


def test_founders_without_a_sample_are_asked_for_on_the_first_page(river, client_of):
    staff = client_of("staff")
    assert "Founders without a sample" in text_of(staff.get("/"))
    for number in ("F1", "F2", "M1", "M2"):
        typed = {"fish": number, "kind": "fin clip", "number": f"T-{number}", "taken_on": "2011-05-03"}
        assert staff.post("/enter/sample/", typed).status_code == 302
    assert "A sample of every living founder is on record." in text_of(staff.get("/"))


def test_what_was_entered_of_the_wrong_fish_is_taken_back_and_stays_readable(river, client_of):
    done = cared_for(river.by)
    manager = client_of("manager")
    for what, row in vars(done).items():
        target = f"/take-back/{what}/{row.pk}/"
        assert manager.post(target, {"reason": ""}).status_code == 422
        assert manager.post(target, {"reason": "of another fish"}).url == "/fish/F1/"
        assert "This was taken back already" in text_of(manager.post(target, {"reason": "again"}))
    page = text_of(manager.get("/fish/F1/"))
    assert "IN QUARANTINE" not in page
    assert "taken back: of another fish" in page
    assert TissueSample.objects.current().count() == 0


def test_a_sample_is_corrected_to_the_right_fish(river, manager):
    row = cared_for(river.by).sample
    right = as_taken(row)
    with refused("Nothing is different from what stands"):
        correct_sample(manager, SampleCorrected(record=row, sample=right, reason="looked again"))
    with refused("There is no fish F9"):
        wrong = type(right)(fish="F9", number="T-1", taken_on=right.taken_on)
        correct_sample(manager, SampleCorrected(record=row, sample=wrong, reason="swapped tubes"))
    other = type(right)(fish="F2", number="T-1", taken_on=right.taken_on)
    later = correct_sample(manager, SampleCorrected(record=row, sample=other, reason="swapped tubes"))
    assert (later.fish.number, later.label) == ("F2", "T-1")
    row.refresh_from_db()
    assert row.withdrawn_id == later.entry_id


def test_a_quarantine_that_the_veterinarian_ended_is_not_taken_back(river, manager, client_of):
    row = cared_for(river.by).quarantine
    typed = {"fish": "F1", "until": "2011-06-01", "released_by": "VET 7", "findings": "sound"}
    client_of("manager").post("/enter/quarantine-release/", typed)
    with refused("The veterinarian has ended this quarantine"):
        take_back(manager, TakenBack(record=Quarantine.objects.get(pk=row.pk), reason="mistake"))


def test_who_may_take_back(river):
    done = cared_for(river.by)
    rows = Photo.objects.select_related("fish", "entry")
    act = TakenBack(record=done.photo, reason="another fish")
    only_those_who_may(CORRECTING, lambda by: take_back(by, replace(act, record=rows.get())))
