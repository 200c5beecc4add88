"""/journal/ …"""

from django.urls import path

from registry.pages.journal.views import JournalList, journal_entry, journal_verify

urlpatterns = [
    path("journal/", JournalList.as_view(), name="journal"),
    path("journal/verify/", journal_verify, name="journal_verify"),
    path("journal/<int:seq>/", journal_entry, name="journal_entry"),
]
