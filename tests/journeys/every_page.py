"""Walks the links of the site to one page of every kind, and says what is wrong with a page for eyes and hands."""

from collections.abc import Iterator
from html.parser import HTMLParser
from urllib.parse import urljoin, urlsplit

from django.urls import Resolver404, resolve
from playwright.sync_api import Page

# What these pages lead to depends on the state of their plan: they are opened for each plan, by the plan's number.
OF_A_STATE = {"plan", "plan_limits", "plan_candidates", "plan_pairs", "plan_pair", "plan_outcome"}
# Asked only by forms, or shown to nobody who is signed in.
NO_PAGES = {"sign_in", "sign_out", "theme", None}

PHONE, TABLET, DESK = 360, 800, 1280
WIDER = """() => document.documentElement.scrollWidth > document.documentElement.clientWidth"""
# All that a hand can use, and whether it shows that it has the focus: by a line round it, or by what it turns into.
UNSEEN_FOCUS = """() => {
  const usable = "a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex='0']";
  const look = (node) => { const s = getComputedStyle(node); return [s.outlineStyle, s.outlineWidth, s.boxShadow,
    s.borderColor, s.backgroundColor, s.textDecorationThickness].join(" "); };
  return [...document.querySelectorAll(usable)].filter((node) => node.checkVisibility() && !node.disabled
      && node.tabIndex >= 0).filter((node) => {
    document.activeElement.blur();
    const before = look(node);
    node.focus();
    return document.activeElement !== node || look(node) === before;
  }).map((node) => node.outerHTML.slice(0, 90));
}"""
NAMELESS = """() => [...document.querySelectorAll("main :is(input:not([type=hidden]), select, textarea)")]
  .filter((node) => node.checkVisibility() && !node.labels?.length && !node.ariaLabel
    && !node.getAttribute("aria-labelledby")).map((node) => node.outerHTML.slice(0, 90))"""


def kind_of(address: str) -> str | None:
    """Return the name of the site's pattern for an address."""
    try:
        return resolve(urlsplit(address).path).url_name
    except Resolver404:
        return None


def plan_of(address: str) -> str:
    """Return the number of the plan that an address is about."""
    return str(resolve(urlsplit(address).path).kwargs["number"])


def walk(page: Page, known: set[str]) -> Iterator[str]:
    """Ask for one page of every kind that this person can reach by links; open and yield the kinds not known yet."""
    coming, reached = [("/", "the start")], set[tuple[str, str]]()
    while coming:
        address, before = coming.pop(0)
        kind = kind_of(address)
        page_of = (str(kind), plan_of(address) if kind in OF_A_STATE else "")
        if kind in NO_PAGES or page_of in reached:
            continue
        reached.add(page_of)
        # A browser takes long over a page: of a kind looked at before, only the links that this person has are asked.
        answer = page.request.get(address) if kind in known else page.goto(address)
        assert answer is not None
        assert answer.status == 200, f"{before} leads to {address}, which answered {answer.status}"
        if "html" not in answer.headers["content-type"]:  # a photograph or a paper is a file, laid out by the browser
            known.add(str(kind))
            continue
        links = Links()
        links.feed(answer.text())
        coming += [(urljoin(address, link), address) for link in links.found if not link.startswith("#")]
        if kind not in known:
            known.add(str(kind))
            yield str(kind)


class Links(HTMLParser):
    """Collects where the links of a page lead; files to be saved apart."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        held = dict(attrs)
        if tag == "a" and held.get("href") and "download" not in held:
            self.found.append(str(held["href"]))


def faults_of(page: Page) -> list[str]:
    """Return what is wrong with the page that is open."""
    found = []
    for width in (PHONE, TABLET, DESK):
        page.set_viewport_size({"width": width, "height": 900})
        if page.evaluate(WIDER):
            found.append(f"it is wider than {width}")
    page.set_viewport_size({"width": TABLET, "height": 1100})
    page.keyboard.press("Tab")  # from here on the browser shows the focus as it does to a hand on the keyboard
    found += [f"the focus is not seen on {node}" for node in page.evaluate(UNSEEN_FOCUS)]
    found += [f"no name for {node}" for node in page.evaluate(NAMELESS)]
    if page.locator("h1").count() != 1:
        found.append("it has not just one heading")
    return found
