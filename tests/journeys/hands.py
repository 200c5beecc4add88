"""What hands do at a tablet: go on by the tabulator, type, press Enter, hold a tag to the reader."""

import csv
import io

from playwright.sync_api import Locator, Page, expect

from registry.web.menu import MENU

MOST_STOPS = 400


def tab_to(target: Locator) -> None:
    """Go from field to field by keyboard until this one has the focus."""
    page = target.page
    for _ in range(MOST_STOPS):
        if target.evaluate("(node) => node === document.activeElement"):
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"The keyboard does not reach {target}.")


def press(target: Locator) -> None:
    """Go to a link or button by keyboard and press Enter."""
    tab_to(target)
    target.page.keyboard.press("Enter")


def type_into(target: Locator, text: str) -> None:
    """Go to a field by keyboard and write into it, instead of what stands there."""
    tab_to(target)
    target.page.keyboard.press("Control+a")
    target.page.keyboard.type(text)


def read_tag(page: Page, code: str) -> None:
    """Type a code as a reader does: all at once, ended by Enter."""
    page.keyboard.type(code)
    page.keyboard.press("Enter")


def follow(page: Page, name: str) -> None:
    """Follow a line of the menu: first its group, then, where the group has more than one, the line itself."""
    group = next(group for group in MENU if name in [entry.label for entry in group.entries])
    press(page.get_by_role("navigation", name="Register").get_by_role("link", name=group.label, exact=True))
    if name != group.entries[0].label:
        press(page.get_by_role("navigation", name=group.label, exact=True).get_by_role("link", name=name, exact=True))


def heading(page: Page, text: str) -> None:
    """Expect the page to be headed so."""
    expect(page.get_by_role("heading", level=1)).to_contain_text(text)


def told(page: Page, text: str) -> None:
    """Expect the page to say so in its message."""
    expect(page.get_by_role("status").or_(page.locator(".message")).first).to_contain_text(text)


def fish_on_list(page: Page, **filters: str) -> list[dict[str, str]]:
    """Return the rows of the list of fish, filtered so, as the file that anyone may take away."""
    answer = page.request.get("/fish/", params={"export": "csv", **filters})
    assert answer.ok
    return list(csv.DictReader(io.StringIO(answer.body().decode("utf-8-sig"))))
