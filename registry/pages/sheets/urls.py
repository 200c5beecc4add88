"""/sheets/ …"""

from django.urls import path

from registry.pages.sheets import views
from registry.pages.sheets.headings import headings
from registry.sheets.cells import MAX_BYTES
from registry.web.entry.upload import takes_files

urlpatterns = [
    path("sheets/", takes_files(views.start, MAX_BYTES), name="sheets"),
    path("sheets/<slug:token>/", headings, name="sheet"),
    path("sheets/<slug:token>/rows/", views.rows, name="sheet_rows"),
    path("sheets/<slug:token>/taken/", views.taken, name="sheet_taken"),
    path("sheets/<slug:token>/to-mend/", views.to_mend, name="sheet_to_mend"),
    path("sheets/<slug:token>/leave/", views.leave, name="sheet_leave"),
]
