"""What stands around every page: menu by role, theme, sign, headers."""

import pytest
from django.test import Client

pytestmark = pytest.mark.django_db


def labels(answer):
    return [line["label"] for group in answer.context["menu"] for line in group["lines"]]


def test_the_menu_offers_only_what_the_role_covers(client_of):
    staff, auditor = labels(client_of("staff").get("/")), labels(client_of("auditor").get("/"))

    assert staff[0] == auditor[0] == "Today"
    assert "Journal" not in staff
    assert "Accounts" not in staff
    assert "Sheets" not in auditor


def test_the_menu_marks_the_page_one_is_on(client_of):
    menu = client_of("staff").get("/milt/").context["menu"]

    assert [group["label"] for group in menu if group["here"]] == ["Breeding"]
    assert [line["label"] for group in menu for line in group["lines"] if line["here"]] == ["Milt"]


def test_the_lines_of_a_group_are_shown_once_one_is_in_it(client_of):
    client = client_of("staff")

    assert ">Releases<" not in client.get("/fish/").content.decode()
    assert ">Releases<" in client.get("/batches/").content.decode()


def test_every_page_has_the_scan_field_and_nothing_from_another_host(client_of):
    answer = client_of("staff").get("/")
    policy = answer.headers["Content-Security-Policy"]

    assert 'id="scan"' in answer.content.decode()
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert answer.headers["Cache-Control"] == "no-store"


def test_someone_not_signed_in_sees_no_menu():
    text = Client().get("/sign-in/").content.decode()

    assert 'class="menu"' not in text
    assert 'id="scan"' not in text


def test_the_site_has_its_sign():
    answer = Client().get("/favicon.ico")

    assert answer.status_code == 200
    assert answer.headers["Content-Type"] == "image/svg+xml"
    assert answer.content.startswith(b"<svg")


def test_the_night_theme_is_written_into_the_page_by_the_server(client_of):
    client = client_of("staff")

    answer = client.post("/theme/", {"theme": "night", "next": "/scan/"})

    assert answer.url == "/scan/"
    assert 'data-theme="night"' in client.get("/").content.decode()


@pytest.mark.parametrize("back", ["https://else.example/", "//else.example/", "javascript:go()", ""])
def test_changing_the_theme_never_leads_to_another_site(back):
    assert Client().post("/theme/", {"theme": "day", "next": back}).url == "/"


def test_a_theme_that_does_not_exist_is_not_kept(client_of):
    client = client_of("staff")
    client.post("/theme/", {"theme": '"><script>', "next": "/"})
    client.cookies["theme"] = '"><script>'

    assert "data-theme" not in client.get("/").content.decode()


def test_a_link_cannot_change_the_theme():
    assert Client().get("/theme/").status_code == 405


@pytest.mark.parametrize("address", ["/scan/?q=%00", "/?page=%00"])
def test_a_nul_in_an_address_is_refused(client_of, address):
    assert client_of("staff").get(address).status_code == 400
