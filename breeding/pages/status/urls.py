"""/status/"""

from django.urls import path

from breeding.pages.status.fish import living_fish
from breeding.pages.status.kinship import kinship_map
from breeding.pages.status.views import status

urlpatterns = [
    path("status/", status, name="status"),
    path("status/kinship/", kinship_map, name="status_kinship"),
    path("status/fish/", living_fish, name="status_fish"),
]
