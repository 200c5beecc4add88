"""The geneticist: from an empty draft over limits, best plan and a swap to the signature and the night sheet."""

import re

from playwright.sync_api import Locator, Page, expect

from tests.journeys.hands import follow, heading, press, tab_to, told, type_into

FOUND_WITHIN_MS = 60_000  # five seconds for the plan and as much for its curve, on cores that others use


def tab(page: Page, name: str) -> None:
    """Follow a tab of the plan."""
    press(page.get_by_role("navigation", name="Plan LI-night").get_by_role("link", name=name, exact=True))


def test_the_geneticist_goes_from_an_empty_draft_to_a_signed_plan(sign_in):
    page = sign_in("geneticist")
    draft(page)
    limits(page)
    search(page)
    take(page)
    change(page)
    sign(page)

    press(page.get_by_role("link", name="Night sheet to print"))
    expect(page.locator(".tick")).to_have_count(4)
    expect(page.get_by_role("main")).to_contain_text("If a fish drops out")


def draft(page: Page) -> None:
    """Draft a plan without crosses."""
    follow(page, "Cross plans")
    press(page.get_by_role("link", name="Draft a cross plan"))
    type_into(page.get_by_label("Plan number"), "LI-night")
    tab_to(page.get_by_label("Stock"))
    page.get_by_label("Stock").select_option("Lower Isendre")
    type_into(page.get_by_label("Season"), "2027")
    press(page.get_by_role("button", name="Draft it"))
    heading(page, "Cross plan LI-night")
    expect(page.get_by_role("main")).to_contain_text("No cross stands in the plan yet.")


def limits(page: Page) -> None:
    """Ask for four crosses, and lift what stands in the way of a plan made in winter."""
    tab(page, "Limits")
    press(page.get_by_role("link", name="Change the terms"))
    type_into(page.get_by_label("Crosses wanted"), "4")
    press(page.get_by_role("button", name="Set the terms"))
    row = page.get_by_role("region", name="Limits").locator("tbody tr").filter(has_text="ripe by the last check")
    press(row.get_by_role("link", name="Lift"))
    type_into(page.get_by_label("Reason"), "made in winter, before the spring checks")
    press(page.get_by_role("button", name="Set it"))
    expect(row).to_contain_text("relaxed")
    tab(page, "Fish")
    expect(page.get_by_role("region", name="females that may be used").locator("tbody tr").first).to_be_visible()


def search(page: Page) -> None:
    """Look for the best plan until it is there with its curve and prices."""
    tab(page, "Best plan")
    tab_to(page.get_by_label("Look for"))
    page.get_by_label("Look for").select_option("5 seconds")
    press(page.get_by_role("button", name="Look for the best plan"))
    expect(page.get_by_role("heading", name="What each limit costs")).to_be_visible(timeout=FOUND_WITHIN_MS)
    expect(page.locator(".proven")).to_contain_text("no plan", ignore_case=True)


def take(page: Page) -> None:
    """Take the best crosses into the draft."""
    press(page.get_by_role("link", name="Take these 4 crosses"))
    heading(page, "Take 4 crosses into plan LI-night")
    type_into(page.get_by_label("Reason"), "keeps most")
    press(page.get_by_role("button", name="Take these crosses"))
    told(page, "Written: crosses taken, plan LI-night")
    expect(crosses(page)).to_have_count(4)
    expect(page.get_by_role("main")).to_contain_text("as good")


def change(page: Page) -> None:
    """Lock one cross, and swap another for what could stand in its place."""
    rows = crosses(page)
    press(rows.first.get_by_role("link", name="Look"))
    expect(page.get_by_role("main")).to_contain_text("It stands in the plan.")
    press(page.get_by_role("button", name="Lock it"))
    told(page, "Written: pair locked, plan LI-night")
    expect(rows.filter(has_text="locked")).to_have_count(1)
    press(rows.filter(has_not_text="locked").last.get_by_role("link", name="Look"))
    press(page.get_by_role("region", name="Exchanges").get_by_role("button", name="Swap").first)
    told(page, "Written: pair swapped, plan LI-night")
    expect(rows).to_have_count(4)
    expect(page.get_by_role("region", name="If a fish drops out")).to_be_visible()


def sign(page: Page) -> None:
    """Hand the plan in and sign it."""
    press(page.get_by_role("link", name="Hand in for review"))
    press(page.get_by_role("button", name="Hand it in"))
    expect(page.get_by_role("main")).to_contain_text("Handed in by geneticist")
    press(page.get_by_role("link", name="Sign this plan"))
    press(page.get_by_role("button", name="Sign", exact=True))
    told(page, "Written: cross plan signed, plan LI-night")
    expect(page.get_by_role("link", name=re.compile("^Sign"))).to_have_count(0)


def crosses(page: Page) -> Locator:
    """Return the rows of the plan's crosses."""
    return page.get_by_role("region", name="Crosses of the plan").locator("tbody tr")
