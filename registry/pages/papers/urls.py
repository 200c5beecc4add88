"""/permits/ … and /documents/ …"""

from django.urls import path

from registry.pages.papers import documents
from registry.pages.papers.document_entries import Attach, AttachAlso, Withdraw
from registry.pages.papers.entries import Paper, TakeBack
from registry.pages.papers.lists import PermitList
from registry.pages.papers.views import permit
from registry.web.entry.upload import takes_files

urlpatterns = [
    path("permits/", PermitList.as_view(), name="permit_list"),
    path("permits/<path:number>/correct/", Paper.as_view(), name="permit_correct"),
    path("permits/<path:number>/take-back/", TakeBack.as_view(), name="permit_take_back"),
    path("permits/<path:number>/", permit, name="permit"),
    path("enter/permit/", Paper.as_view(), name="permit_enter"),
    path("documents/", documents.DocumentList.as_view(), name="document_list"),
    path("documents/<slug:number>/", documents.document, name="document"),
    path("documents/<slug:number>/file/", documents.file, name="document_file"),
    path("documents/<slug:number>/also/", AttachAlso.as_view(), name="document_also"),
    path("documents/<slug:number>/withdraw/", Withdraw.as_view(), name="document_withdraw"),
    path("enter/document/", takes_files(Attach.as_view()), name="document_attach"),
]
