"""/fish/ …, and what is entered of a fish: /enter/ …, /correct/ …"""

from django.db.models import QuerySet
from django.urls import path

from registry.models import Check, FishDetails, Record, Stay, Tag
from registry.pages.fish.detail import fish, fish_pedigree
from registry.pages.fish.entries.admit import Admit
from registry.pages.fish.entries.checks import EnterCheck
from registry.pages.fish.entries.corrections import (
    CheckCorrectionForm,
    DetailsForm,
    StayCorrectionForm,
    TagCorrectionForm,
)
from registry.pages.fish.entries.moves import Depart, Move
from registry.pages.fish.entries.parentage import Determine
from registry.pages.fish.entries.tags import Attach, End, Replace
from registry.pages.fish.identity.aside import Aside, Resolve
from registry.pages.fish.identity.codes import codes
from registry.pages.fish.identity.joined import Join, Part
from registry.pages.fish.identity.returning import Return
from registry.pages.fish.views import FishList
from registry.web.entry.correcting import Correct


def correctable(model: type[Record], *related: str) -> QuerySet:
    """Return the rows of a fish that stand, with what the page of a correction names."""
    return model.objects.current().select_related("fish", "entry", *related)


correct_fish = Correct.as_view(title="Correct", form_class=DetailsForm, rows=correctable(FishDetails))
correct_check = Correct.as_view(title="Correct a check of", form_class=CheckCorrectionForm, rows=correctable(Check))
correct_tag = Correct.as_view(title="Correct a tag of", form_class=TagCorrectionForm, rows=correctable(Tag))
correct_stay = Correct.as_view(
    title="Correct a stay of", form_class=StayCorrectionForm, rows=correctable(Stay, "batch", "unit")
)

urlpatterns = [
    path("fish/", FishList.as_view(), name="fish_list"),
    path("fish/<path:number>/pedigree/", fish_pedigree, name="fish_pedigree"),
    path("fish/<path:number>/", fish, name="fish"),
    path("enter/fish/", Admit.as_view(), name="fish_admit"),
    path("enter/tag/", Attach.as_view(), name="tag_attach"),
    path("enter/tag-end/", End.as_view(), name="tag_end"),
    path("enter/tag-replacement/", Replace.as_view(), name="tag_replace"),
    path("enter/code-aside/", Aside.as_view(), name="code_aside"),
    path("enter/code-settled/", Resolve.as_view(), name="aside_resolve"),
    path("enter/return/", Return.as_view(), name="fish_return"),
    path("codes/", codes, name="codes"),
    path("enter/check/", EnterCheck.as_view(), name="check_enter"),
    path("enter/move/", Move.as_view(), name="fish_move"),
    path("enter/departure/", Depart.as_view(), name="fish_departure"),
    path("enter/parentage/", Determine.as_view(), name="parentage_determine"),
    path("correct/numbers/", Join.as_view(), name="numbers_join"),
    path("correct/numbers/<path:number>/", Part.as_view(), name="numbers_part"),
    path("correct/fish/<path:number>/", correct_fish, name="fish_correct"),
    path("correct/check/<int:pk>/", correct_check, name="check_correct"),
    path("correct/tag/<int:pk>/", correct_tag, name="tag_correct"),
    path("correct/stay/<int:pk>/", correct_stay, name="stay_correct"),
]
