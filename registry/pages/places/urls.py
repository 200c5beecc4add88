"""/units/ …"""

from django.urls import path

from registry.pages.places.entries import LogTemperature, OpenUnit
from registry.pages.places.lists import UnitList
from registry.pages.places.views import unit

urlpatterns = [
    path("units/", UnitList.as_view(), name="unit_list"),
    path("units/<path:name>/", unit, name="unit"),
    path("enter/unit/", OpenUnit.as_view(), name="unit_open"),
    path("enter/temperature/", LogTemperature.as_view(), name="temperature_log"),
]
