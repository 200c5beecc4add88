"""Every address of the site: the frame's own, then a folder for each subject."""

from importlib.util import find_spec

from django.contrib.auth.views import LoginView, LogoutView
from django.urls import URLPattern, URLResolver, include, path

from registry.web.favicon import favicon
from registry.web.scan import scan
from registry.web.theme import change_theme

SUBJECTS = (
    "registry.pages.fish",
    "registry.pages.intake",
    "registry.pages.spawning",
    "registry.pages.families",
    "registry.pages.milt",
    "registry.pages.batches",
    "registry.pages.releases",
    "registry.pages.papers",
    "registry.pages.plans",
    "registry.pages.trace",
    "registry.pages.journal",
    "registry.pages.sheets",
    "registry.pages.places",
    "registry.pages.catalogue",
    "registry.pages.people",
    "breeding.pages.status",
    "breeding.pages.review",
    "breeding.pages.crosses",
)

SIGN_IN = {"template_name": "registry/people/sign_in.html", "redirect_authenticated_user": True}


def _there(folder: str) -> bool:
    try:
        return find_spec(f"{folder}.urls") is not None
    except ModuleNotFoundError:
        return False


FRAME: list[URLPattern | URLResolver] = [
    path("sign-in/", LoginView.as_view(**SIGN_IN), name="sign_in"),
    path("sign-out/", LogoutView.as_view(), name="sign_out"),
    path("theme/", change_theme, name="theme"),
    path("scan/", scan, name="scan"),
    path("favicon.ico", favicon),
    path("", include("registry.pages.home.urls")),
]
urlpatterns = [*FRAME, *(path("", include(f"{folder}.urls")) for folder in SUBJECTS if _there(folder))]
