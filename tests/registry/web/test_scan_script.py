"""A tag reader types its code and Enter, wherever the hand left the cursor."""

from datetime import date
from types import ModuleType

import pytest
from django import forms
from django.http import HttpResponse
from django.urls import path
from playwright.sync_api import Page, sync_playwright

from registry import models as kept
from registry.permissions import ENTER
from registry.urls import FRAME
from registry.web.entry_view import EntryForm, EntryView
from registry.web.fields import FishNumber
from tests.support.people import PASSWORD, grant

pytestmark = pytest.mark.django_db(transaction=True)
CODE = "900215000123456"


class CheckForm(EntryForm):
    fish = FishNumber(label="Fish")
    notes = forms.CharField(label="Notes", required=False)

    def entry(self):
        return self.cleaned_data


class EnterCheck(EntryView):
    form_class = CheckForm
    permission = ENTER
    title = "Enter a check"

    operation = None  # a scan must not send the form


def fish_page(request, number):
    return HttpResponse(f"<title>Fish {number}</title>")


@pytest.fixture
def page(settings, live_server, chromium, world, hand):
    """Staff in a browser, on a site with an entry page and a page for fish F1, which bears the tag."""
    site = ModuleType("site")
    site.urlpatterns = [
        path("check/", EnterCheck.as_view()),
        path("fish/<path:number>/", fish_page, name="fish"),
        *FRAME,
    ]
    settings.ROOT_URLCONF = site
    hand.put(kept.Tag(fish=world.dam, system="iso", code=CODE, attached_on=date(2020, 1, 1)))
    grant("staff")
    with sync_playwright() as tools:
        browser = tools.chromium.launch(executable_path=chromium, args=["--no-sandbox", "--disable-gpu"])
        view = browser.new_page(base_url=live_server.url)
        view.goto("/sign-in/")
        view.fill("#id_username", "staff")
        view.fill("#id_password", PASSWORD)
        view.keyboard.press("Enter")
        view.wait_for_selector("#scan")
        yield view
        browser.close()


def read_tag(view: Page, code: str = CODE) -> None:
    """Type as a reader does: at once, ended by Enter."""
    view.keyboard.type(code)
    view.keyboard.press("Enter")


def test_a_scan_with_no_field_focused_opens_the_fish(page):
    page.goto("/")
    read_tag(page)

    page.wait_for_url("**/fish/F1/")


def test_a_scan_while_a_button_has_the_focus_does_not_press_it(page):
    page.goto("/")
    page.focus(".person button")
    read_tag(page)

    page.wait_for_url("**/fish/F1/")


def test_a_scan_into_another_field_opens_the_fish_when_nothing_would_be_lost(page):
    page.goto("/check/")
    page.focus("#id_notes")
    read_tag(page)

    page.wait_for_url("**/fish/F1/")


def test_a_scan_over_a_half_typed_form_asks_before_anything_is_lost(page):
    page.goto("/check/")
    page.fill("#id_notes", "left fin frayed")
    read_tag(page)

    page.wait_for_selector("dialog[open]")
    assert page.input_value("#id_notes") == "left fin frayed"
    assert CODE in page.inner_text("dialog")

    page.click("[data-stay]")
    assert page.url.endswith("/check/")
    read_tag(page)
    page.click("[data-open]")
    page.wait_for_url("**/fish/F1/")


def test_a_field_that_takes_a_scan_keeps_it_and_the_form_is_not_sent(page):
    page.goto("/check/")
    page.focus("#id_fish")
    read_tag(page)

    assert page.input_value("#id_fish") == CODE
    assert page.evaluate("document.activeElement.id") == "id_notes"
    assert page.url.endswith("/check/")


def test_a_refused_form_is_not_left_without_asking(page):
    page.goto("/check/")
    page.fill("#id_notes", "left fin frayed")
    page.click("main form button")
    page.wait_for_selector(".objections")
    page.focus("#id_notes")
    read_tag(page)

    page.wait_for_selector("dialog[open]")


def test_a_number_typed_over_a_half_typed_form_asks_too(page):
    page.goto("/check/")
    page.fill("#id_notes", "left fin frayed")
    page.fill("#scan", "F1")
    page.keyboard.press("Enter")

    page.wait_for_selector("dialog[open]")


def test_a_hand_that_types_is_not_taken_for_a_reader(page):
    page.goto("/check/")
    page.focus("#id_notes")
    page.keyboard.type(CODE, delay=90)

    assert page.input_value("#id_notes") == CODE


def test_the_night_theme_is_kept_by_the_device(page):
    page.goto("/")
    page.click("button[name=theme]")
    page.wait_for_selector("html[data-theme=night]")
    page.goto("/scan/")

    assert page.get_attribute("html", "data-theme") == "night"
    dark = page.evaluate("getComputedStyle(document.documentElement).backgroundColor")
    assert dark == "rgb(23, 18, 12)"


def test_the_skip_link_is_the_first_thing_a_keyboard_reaches(page):
    page.goto("/")
    page.keyboard.press("Tab")

    assert page.evaluate("document.activeElement.className") == "skip"
