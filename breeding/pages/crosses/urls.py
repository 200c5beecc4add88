"""/pairs/, /plans/, /kinship/"""

from django.urls import path

from breeding.pages.crosses.kinship import two_fish
from breeding.pages.crosses.pairs import Pairs, fish_left_out, refused_pairs
from breeding.pages.crosses.plan_entries import DraftPlan, TakePairOut
from breeding.pages.crosses.plans import PlanList, night_sheet, plan

urlpatterns = [
    path("pairs/", Pairs.as_view(), name="pairs"),
    path("pairs/refused/", refused_pairs, name="pairs_refused"),
    path("pairs/left-out/", fish_left_out, name="pairs_left_out"),
    path("plans/", PlanList.as_view(), name="plan_list"),
    path("plans/draft/", DraftPlan.as_view(), name="plan_draft"),
    path("plans/<path:number>/take-out/", TakePairOut.as_view(), name="plan_take_out"),
    path("plans/<path:number>/sheet/", night_sheet, name="plan_sheet"),
    path("plans/<path:number>/", plan, name="plan"),
    path("kinship/", two_fish, name="kinship"),
]
