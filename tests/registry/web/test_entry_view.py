"""The one way from a form to an operation: written, refused with all reasons, or warned."""

from dataclasses import dataclass
from types import ModuleType

import pytest
from django import forms
from django.contrib.messages import get_messages
from django.urls import path

from registry.errors import Objection, Refused
from registry.journal import write
from registry.models import Fish, JournalEntry
from registry.permissions import ENTER
from registry.urls import FRAME
from registry.web.entry_view import EntryForm, EntryView
from registry.web.fields import Measure

pytestmark = pytest.mark.django_db


@dataclass(frozen=True)
class Admission:
    number: str
    mass_g: object = None


def admit(by, entry, *, confirmed=True):
    found = []
    if Fish.objects.filter(number=entry.number).exists():
        found.append(Objection("number_used", "number", f"Number {entry.number} is already used. Take another."))
        found.append(Objection("odd_tank", "tank", "There is no tank 99."))
    if entry.mass_g and entry.mass_g > 100_000:
        found.append(Objection("heavy", "mass_g", "This is heavier than any sterlet.", warning=True))
    if any(not o.warning for o in found) or (found and not confirmed):
        raise Refused(found)
    with write.entry(by, "fish admitted", permission=ENTER, subject=f"fish {entry.number}") as made:
        return made.add(Fish(number=entry.number))


class AdmissionForm(EntryForm):
    number = forms.CharField(label="Register number", help_text="For life.")
    mass_g = Measure(label="Mass")

    def entry(self):
        return Admission(self.cleaned_data["number"], self.cleaned_data["mass_g"])


class Admit(EntryView):
    form_class = AdmissionForm
    operation = admit
    permission = ENTER
    title = "Admit a fish"

    def after(self, record):
        return f"/fish/{record.number}/"


@pytest.fixture
def page(settings, client_of):
    """The staff's browser on a site that also has the page under test."""
    site = ModuleType("site")
    site.urlpatterns = [path("admit/", Admit.as_view()), *FRAME]
    settings.ROOT_URLCONF = site
    return client_of("staff")


def test_what_was_entered_is_written_and_the_person_is_told_the_entry(page):
    answer = page.post("/admit/", {"number": "2031-004", "mass_g": "812,5"})

    assert answer.status_code == 302
    assert answer.url == "/fish/2031-004/"
    said = [str(message) for message in get_messages(answer.wsgi_request)]
    seq = Fish.objects.get(number="2031-004").entry_id
    assert said == [f"Written: fish admitted, fish 2031-004 (entry {seq})."]


def test_a_refused_entry_keeps_what_was_typed_and_shows_every_reason(page):
    page.post("/admit/", {"number": "2031-004"})

    answer = page.post("/admit/", {"number": "2031-004", "mass_g": "900"})

    assert answer.status_code == 422
    text = answer.content.decode()
    assert "Number 2031-004 is already used. Take another." in text
    assert "There is no tank 99." in text
    assert 'value="900"' in text
    assert "Nothing was entered." in text
    assert Fish.objects.count() == 1


def test_an_objection_hangs_on_its_field_for_a_screen_reader(page):
    page.post("/admit/", {"number": "2031-004"})

    text = page.post("/admit/", {"number": "2031-004"}).content.decode()

    assert 'aria-describedby="id_number_helptext id_number_error"' in text
    assert 'id="id_number_error"' in text
    assert 'aria-invalid="true"' in text


def test_a_warning_is_entered_only_after_it_was_seen_and_ticked(page):
    heavy = {"number": "2031-005", "mass_g": "150000"}

    first = page.post("/admit/", heavy)
    blind = page.post("/admit/", heavy | {"confirm_warnings": "yes"})

    assert first.status_code == blind.status_code == 422
    assert "This is heavier than any sterlet." in first.content.decode()
    assert "enter it all the same" in first.content.decode()
    assert not Fish.objects.exists()

    seen = {"confirm_warnings": "yes", "warning_seen": "This is heavier than any sterlet."}
    assert page.post("/admit/", heavy | seen).status_code == 302
    assert Fish.objects.get().number == "2031-005"


def test_what_cannot_be_read_and_what_the_rules_refuse_are_told_in_one_round(page):
    page.post("/admit/", {"number": "2031-004"})

    text = page.post("/admit/", {"number": "2031-004", "mass_g": "many"}).content.decode()

    assert "“many” is not a number." in text
    assert "Number 2031-004 is already used. Take another." in text


def test_a_form_that_cannot_be_read_writes_nothing_though_the_rules_have_nothing_against_it(page):
    entries = JournalEntry.objects.count()

    answer = page.post("/admit/", {"number": "2031-006", "mass_g": "many"})

    assert answer.status_code == 422
    assert (Fish.objects.count(), JournalEntry.objects.count()) == (0, entries)


def test_a_missing_field_is_named(page):
    text = page.post("/admit/", {}).content.decode()

    assert "Register number is missing. Fill it in." in text


def test_units_stand_beside_the_field(page):
    assert '<span class="unit">g</span>' in page.get("/admit/").content.decode()


def test_a_viewer_is_told_which_roles_may_enter(page, client_of):
    answer = client_of("viewer").get("/admit/")

    assert answer.status_code == 403
    assert "Ask someone with the role: administrator, geneticist, hatchery staff, manager." in answer.content.decode()


def test_what_the_address_names_stands_in_the_form(page):
    assert 'value="2031-009"' in page.get("/admit/?number=2031-009&nonsense=1").content.decode()


def test_html_typed_into_a_field_comes_back_as_text(page):
    text = page.post("/admit/", {"number": "", "mass_g": "<script>alert(1)</script>"}).content.decode()

    assert "<script>alert" not in text
    assert "&lt;script&gt;alert(1)" in text
