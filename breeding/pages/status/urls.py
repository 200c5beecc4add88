"""/status/"""

from django.urls import path

from breeding.pages.status.fish import living_fish
from breeding.pages.status.kinship import kinship_map
from breeding.pages.status.projection import projection, projection_cancel, projection_run
from breeding.pages.status.selection import selection
from breeding.pages.status.views import status

urlpatterns = [
    path("status/", status, name="status"),
    path("status/kinship/", kinship_map, name="status_kinship"),
    path("status/fish/", living_fish, name="status_fish"),
    path("status/selection/", selection, name="status_selection"),
    path("status/projection/", projection, name="status_projection"),
    path("status/projection/<slug:token>/", projection_run, name="status_projection_run"),
    path("status/projection/<slug:token>/cancel/", projection_cancel, name="status_projection_cancel"),
]
