"""Day or night: the theme that this tablet shows, kept in a cookie so that the server writes it into the page."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import resolve_url
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST

COOKIE = "theme"
THEMES = ("day", "night")
A_YEAR = 365 * 24 * 3600


def theme_of(request: HttpRequest) -> str:
    """Return "day" or "night", or "" when this device follows its own setting."""
    chosen = request.COOKIES.get(COOKIE, "")
    return chosen if chosen in THEMES else ""


@login_not_required
@require_POST
def change_theme(request: HttpRequest) -> HttpResponse:
    """Keep the theme chosen and go back to the page the person was on."""
    back = request.POST.get("next", "")
    if not url_has_allowed_host_and_scheme(back, allowed_hosts={request.get_host()}):
        back = resolve_url("home")
    response = HttpResponseRedirect(back)
    chosen = request.POST.get("theme", "")
    if chosen in THEMES:
        response.set_cookie(COOKIE, chosen, max_age=A_YEAR, samesite="Lax", httponly=True, secure=request.is_secure())
    else:
        response.delete_cookie(COOKIE)
    return response
