"""Every kind of page: on a phone, by keyboard, by day and by night."""

from django.urls import URLPattern, URLResolver

from registry import urls
from tests.journeys.every_page import NO_PAGES, faults_of, walk

# Shown once a file was chosen: tests/journeys/test_sheets.py.
OF_A_SHEET = {"sheet", "sheet_rows", "sheet_taken", "sheet_to_mend", "sheet_leave"}
# A projection has pages once someone has started one (tests/breeding/pages/status/test_projection.py does).
OF_A_PROJECTION = {"status_projection_run", "status_projection_cancel"}
# So has a search for the best plan (tests/journeys/test_geneticist.py goes through them).
OF_A_SEARCH = {"plan_best_run", "plan_best_progress", "plan_best_cancel", "plan_take"}
# On the page of a fish that has a sample, a treatment or a ploidy (tests/registry/pages/intake/test_taking_back.py).
OF_A_FISH = {"sample_take_back", "treatment_take_back", "sending_take_back", "ploidy_take_back"}
# Saved as a file, not opened (tests/registry/pages/papers).
SAVED = {"document_file"}
ROLES = ("administrator", "manager", "geneticist", "staff", "auditor", "viewer")


def test_every_kind_of_page_is_reached_by_links_fits_a_phone_and_shows_where_the_keyboard_is(sign_in):
    known: set[str] = set()
    faults: list[str] = []
    for role in ROLES:
        page = sign_in(role)
        for kind in walk(page, known):
            faults += [f"{kind}: {fault}" for fault in faults_of(page)]

    assert faults == []
    elsewhere = OF_A_SHEET | OF_A_PROJECTION | OF_A_SEARCH | OF_A_FISH | SAVED
    assert kinds() - known - elsewhere == set(), "no link leads there"


def kinds() -> set[str]:
    """Return the names of all addresses that the site's patterns give."""

    def names(patterns: list[URLPattern | URLResolver]) -> set[str | None]:
        found: set[str | None] = set()
        for one in patterns:
            found |= names(one.url_patterns) if isinstance(one, URLResolver) else {one.name}
        return found

    return {str(name) for name in names(urls.urlpatterns) - NO_PAGES}
