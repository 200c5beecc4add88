"""/families/ …"""

from django.urls import path

from registry.pages.families.entries import CorrectParents
from registry.pages.families.views import FamilyList, family

urlpatterns = [
    path("families/", FamilyList.as_view(), name="family_list"),
    path("families/<path:number>/", family, name="family"),
    path("correct/family/<path:number>/", CorrectParents.as_view(), name="family_correct"),
]
