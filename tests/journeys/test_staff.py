"""Hatchery staff: scan a tag, enter a spawning, open its batch. Everything by keyboard and tag reader."""

import re

from playwright.sync_api import Page, expect

from tests.journeys.hands import fish_on_list, follow, heading, press, read_tag, tab_to, told, type_into

STOCK = "Upper Isendre"


def tagged(page: Page, sex: str, family: str = "") -> dict[str, str]:
    """Return a living, tagged fish of breeding age, of another family than the one given."""
    rows = fish_on_list(page, left="living", sex=sex, hatched_to="2014")
    return next(row for row in rows if row["Active tag"] and row["Family"] != family and row["Stock"] == STOCK)


def test_staff_scan_a_tag_enter_a_spawning_and_open_its_batch(sign_in):
    page = sign_in("staff")
    female = tagged(page, "F")
    male = tagged(page, "M", female["Family"])

    read_tag(page, female["Active tag"])
    page.wait_for_url(f"**/fish/{female['Fish']}/")
    heading(page, f"Fish {female['Fish']}")

    enter_spawning(page, female, male)
    cross = page.locator(".cross.made")
    expect(cross).to_have_count(1)
    expect(cross).to_contain_text(f"♀ {female['Fish']} × ♂ {male['Fish']}")
    expect(cross).to_contain_text("25 575 eggs")

    press(page.get_by_role("link", name=re.compile("Open a batch of family")))
    heading(page, "Open a batch")
    type_into(page.get_by_label("Number of the new batch"), "B26-night")
    type_into(page.get_by_label("Number of fish"), "12 400")
    send(page, "Open the batch")

    told(page, "Written: batch opened, batch B26-night")
    heading(page, "Batch B26-night")
    expect(page.get_by_role("main")).to_contain_text("12 400")


def enter_spawning(page: Page, female: dict[str, str], male: dict[str, str]) -> None:
    """Record a night with one cross, the fish read by their tags, looked at before it is entered."""
    follow(page, "Spawnings")
    press(page.get_by_role("link", name="Record a spawning"))
    heading(page, "Record a spawning")
    tab_to(page.get_by_label("Female").first)
    read_tag(page, female["Active tag"])
    expect(page.get_by_label(re.compile("^Male")).first).to_be_focused()
    read_tag(page, male["Active tag"])
    type_into(page.get_by_label("Egg mass").first, "412,5")
    type_into(page.get_by_label("Eggs per gram").first, "62")
    press(page.get_by_role("button", name="Look at these pairs").last)
    expect(page.get_by_role("main")).to_contain_text("Say in a few words why it is made all the same")
    type_into(page.get_by_label("Why it is off the plan").first, "the planned female did not ovulate")
    press(page.get_by_role("button", name="Look at these pairs").last)
    expect(page.get_by_text("nothing is written yet")).to_be_visible()
    send(page, "Enter the spawning")

    told(page, "Written: spawning recorded")
    heading(page, "Spawning")


def send(page: Page, button: str) -> None:
    """Send the form; if it asks something first, tick the box under the warnings and send it again."""
    with page.expect_navigation():
        press(page.get_by_role("button", name=button))
    box = page.locator("[name=confirm_warnings]")
    if box.count():
        tab_to(box)
        page.keyboard.press("Space")
        press(page.get_by_role("button", name=button))


def test_a_refused_spawning_keeps_what_was_typed(sign_in):
    page = sign_in("staff")
    female = tagged(page, "F")

    page.goto("/spawnings/record/")
    tab_to(page.get_by_label("Female").first)
    read_tag(page, female["Active tag"])
    page.keyboard.type(female["Fish"])
    type_into(page.get_by_label("Egg mass").first, "a handful")
    press(page.get_by_role("button", name="Enter the spawning"))

    expect(page.locator(".objections")).to_be_focused()
    expect(page.get_by_label("Egg mass").first).to_have_value("a handful")
    expect(page.get_by_label("Female").first).to_have_value(female["Active tag"])


def test_a_code_typed_quickly_in_no_field_opens_its_fish_from_any_page(sign_in):
    page = sign_in("staff")
    fish = tagged(page, "M")
    for start in ("/batches/", "/enter/check/", "/kinship/"):
        page.goto(start)
        page.evaluate("document.activeElement.blur()")
        read_tag(page, fish["Active tag"])
        page.wait_for_url(f"**/fish/{fish['Fish']}/")


def test_a_code_that_no_fish_bears_says_so_and_what_to_do(sign_in):
    page = sign_in("staff")
    page.get_by_label("Scan or search").focus()
    read_tag(page, "900215000000001")

    page.wait_for_url("**/scan/**")
    expect(page.get_by_role("main")).to_contain_text("900215000000001")
