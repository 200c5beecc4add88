"""The geneticist: look at pairs, put some into a draft, sign the plan."""

import re

import pytest
from playwright.sync_api import expect

from tests.journeys.hands import follow, heading, press, tab_to, told, type_into

pytestmark = pytest.mark.xdist_group("journeys")


def test_the_geneticist_looks_at_pairs_puts_two_into_a_draft_and_signs_the_plan(sign_in):
    page = sign_in("geneticist")
    follow(page, "Pairs")
    heading(page, "Pairs")
    tab_to(page.get_by_label("Stock"))
    page.get_by_label("Stock").select_option("Lower Isendre")
    press(page.get_by_role("button", name="Show"))
    expect(page.get_by_role("main")).to_contain_text("Which ready females of Lower Isendre go with which males")

    boxes = page.locator("main table [type=checkbox]")
    pairs = []
    for n in (0, 3):
        row = page.locator("main table tbody tr").filter(has=page.locator("[type=checkbox]")).nth(n)
        pairs.append([row.get_by_role("link").nth(k).inner_text() for k in (0, 1)])
        tab_to(boxes.nth(n))
        page.keyboard.press("Space")
    page.get_by_label("Into the draft").select_option(label="a new plan")
    type_into(page.get_by_label("Number of the new plan"), "LI-night")
    press(page.get_by_role("button", name="Put the ticked pairs into the plan"))

    told(page, "Written: 2 pairs put into plan LI-night.")
    heading(page, "LI-night")
    for female, male in pairs:
        expect(page.locator("main tbody tr").filter(has_text=female).filter(has_text=male)).to_have_count(1)

    press(page.get_by_role("link", name="Hand in for review"))
    heading(page, "Hand in plan LI-night for review")
    press(page.get_by_role("button", name="Hand it in"))
    expect(page.get_by_role("main")).to_contain_text("Handed in by geneticist")

    press(page.get_by_role("link", name="Sign this plan"))
    heading(page, "Sign cross plan LI-night")
    press(page.get_by_role("button", name="Sign", exact=True))

    told(page, "Written: cross plan signed, plan LI-night")
    expect(page.get_by_role("main")).to_contain_text("Signed; it is not changed any more.")
    expect(page.get_by_role("link", name=re.compile("^Sign"))).to_have_count(0)
