"""/milt/ …"""

from django.urls import path

from registry.pages.milt.entries import Collect, Discard, correct_lot
from registry.pages.milt.lists import LotList
from registry.pages.milt.views import milt_lot

urlpatterns = [
    path("milt/", LotList.as_view(), name="milt_list"),
    path("milt/<path:number>/", milt_lot, name="milt_lot"),
    path("enter/milt/", Collect.as_view(), name="milt_collect"),
    path("enter/milt-out/", Discard.as_view(), name="milt_discard"),
    path("correct/milt/<int:pk>/", correct_lot, name="milt_correct"),
]
