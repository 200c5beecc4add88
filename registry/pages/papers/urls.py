"""/permits/ …"""

from django.urls import path

from registry.pages.papers.entries import Paper, TakeBack
from registry.pages.papers.lists import PermitList
from registry.pages.papers.views import permit

urlpatterns = [
    path("permits/", PermitList.as_view(), name="permit_list"),
    path("permits/<path:number>/correct/", Paper.as_view(), name="permit_correct"),
    path("permits/<path:number>/take-back/", TakeBack.as_view(), name="permit_take_back"),
    path("permits/<path:number>/", permit, name="permit"),
    path("enter/permit/", Paper.as_view(), name="permit_enter"),
]
