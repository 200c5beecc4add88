"""The auditor: trace a released fish by its tag, verify the journal, and find nothing to enter."""

import re

from playwright.sync_api import expect

from tests.journeys.hands import fish_on_list, follow, heading, press, read_tag, tab_to, type_into


def test_the_auditor_traces_a_released_fish_by_its_tag_and_verifies_the_journal(sign_in):
    page = sign_in("auditor")
    released = next(row for row in fish_on_list(page, left="released") if row["Active tag"] and row["Family"])

    follow(page, "Trace")
    heading(page, "Trace")
    tab_to(page.get_by_label("Tag code or number"))
    page.keyboard.type(released["Active tag"])
    press(page.get_by_role("button", name="Trace", exact=True))

    heading(page, f"Where fish {released['Fish']} comes from")
    main = page.get_by_role("main")
    expect(main).to_contain_text("founder")
    expect(main.locator("svg title").first).not_to_be_empty()
    expect(main.get_by_role("link", name=re.compile(f"family {released['Family']}")).first).to_be_visible()
    entry = main.get_by_role("link", name=re.compile(r"^entry \d+$")).first
    number = entry.inner_text().split()[1]
    press(entry)
    heading(page, f"Entry {number}")
    expect(page.get_by_role("main")).to_contain_text("Hash before")

    follow(page, "Journal")
    press(page.get_by_role("link", name="Verify now"))
    press(page.get_by_role("button", name="Verify now"))
    expect(page.get_by_role("main")).to_contain_text("Everything fits", timeout=60_000)
    anchor = page.locator("dl").last.locator("dd").last.inner_text()
    assert re.fullmatch(r"\d+:[0-9a-f]{64}", anchor)

    follow(page, "Journal")
    press(page.get_by_role("link", name="Verify now"))
    type_into(page.get_by_role("main").locator("input[type=text]").first, anchor)
    press(page.get_by_role("button", name="Verify now"))
    expect(page.get_by_role("main")).to_contain_text(
        f"The anchor of entry {anchor.split(':')[0]} fits.", timeout=60_000
    )


def test_a_scan_on_the_page_of_traces_goes_into_its_field(sign_in):
    page = sign_in("auditor")
    released = next(row for row in fish_on_list(page, left="released") if row["Active tag"])
    page.goto("/trace/")
    tab_to(page.get_by_label("Tag code or number"))
    read_tag(page, released["Active tag"])

    expect(page.get_by_label("Tag code or number")).to_have_value(released["Active tag"])


def test_the_auditor_is_offered_nothing_to_enter(sign_in):
    page = sign_in("auditor")
    for start in ("/", "/fish/", "/batches/", "/spawnings/"):
        page.goto(start)
        offered = page.get_by_role("main").get_by_role("link", name=re.compile("^(Enter|Admit|Open a|Record|Correct)"))
        expect(offered).to_have_count(0)
    answer = page.request.get("/enter/fish/")
    assert answer.status == 403
