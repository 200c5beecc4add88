"""/quarantine/ /samples/ /labels/ /photos/ … and what is entered of them."""

from django.urls import path

from registry.pages.intake.arrive.views import TakeIn
from registry.pages.intake.care import AddPhoto, LookAtHealth, MeasurePloidy, Sample, Treat
from registry.pages.intake.corrections import (
    TAKEN_BACK,
    CorrectSample,
    correct_capture,
    correct_health,
    correct_mark,
)
from registry.pages.intake.lists import QuarantineList, SampleList
from registry.pages.intake.quarantine import MarkUnit, Release, Start
from registry.pages.intake.sendings import SendSample
from registry.pages.intake.views import labels, photo
from registry.web.entry.correcting import TakeBack
from registry.web.entry.upload import takes_files

urlpatterns = [
    path("quarantine/", QuarantineList.as_view(), name="quarantine_list"),
    path("samples/", SampleList.as_view(), name="sample_list"),
    path("samples/labels/", labels, name="sample_labels"),
    path("photos/<int:pk>.jpg", photo, name="photo"),
    path("enter/intake/", takes_files(TakeIn.as_view()), name="fish_arrive"),
    path("enter/quarantine/", Start.as_view(), name="quarantine_start"),
    path("enter/quarantine-release/", Release.as_view(), name="quarantine_release"),
    path("enter/quarantine-unit/", MarkUnit.as_view(), name="quarantine_unit"),
    path("enter/treatment/", Treat.as_view(), name="treatment_enter"),
    path("enter/sample/", Sample.as_view(), name="sample_enter"),
    path("enter/sample-sent/", SendSample.as_view(), name="sample_send"),
    path("enter/photo/", takes_files(AddPhoto.as_view()), name="photo_enter"),
    path("enter/health/", LookAtHealth.as_view(), name="health_enter"),
    path("enter/ploidy/", MeasurePloidy.as_view(), name="ploidy_enter"),
    path("correct/capture/<int:pk>/", correct_capture, name="capture_correct"),
    path("correct/mark-looked-for/<int:pk>/", correct_mark, name="mark_correct"),
    path("correct/health/<int:pk>/", correct_health, name="health_correct"),
    path("correct/sample/<int:pk>/", CorrectSample.as_view(), name="sample_correct"),
    *(
        path(f"take-back/{what}/<int:pk>/", TakeBack.as_view(rows=rows), name=f"{what}_take_back")
        for what, rows in TAKEN_BACK.items()
    ),
]
