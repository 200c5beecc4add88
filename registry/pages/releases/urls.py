"""/releases/ … and /recaptures/ …"""

from django.urls import path

from registry.pages.releases import entries
from registry.pages.releases.views import RecaptureList, ReleaseList, recapture, release

urlpatterns = [
    path("releases/", ReleaseList.as_view(), name="release_list"),
    path("releases/enter/", entries.EnterRelease.as_view(), name="release_enter"),
    path("releases/<path:number>/correct/", entries.CorrectRelease.as_view(), name="release_correct"),
    path("releases/<path:number>/", release, name="release"),
    path("recaptures/", RecaptureList.as_view(), name="recapture_list"),
    path("recaptures/enter/", entries.EnterRecapture.as_view(), name="recapture_enter"),
    path("recaptures/<path:number>/", recapture, name="recapture"),
]
