"""/pairs/, /plans/, /kinship/"""

from django.urls import path

from breeding.pages.crosses.compare import compare
from breeding.pages.crosses.entries import PlanEntry
from breeding.pages.crosses.kinship import two_fish
from breeding.pages.crosses.pairs import Pairs, fish_left_out, refused_pairs
from breeding.pages.crosses.plan_entries import DraftPlan, TakePairOut
from breeding.pages.crosses.plans import PlanList, night_sheet, plan
from breeding.pages.crosses.wishes.limits import limits

urlpatterns = [
    path("pairs/", Pairs.as_view(), name="pairs"),
    path("pairs/refused/", refused_pairs, name="pairs_refused"),
    path("pairs/left-out/", fish_left_out, name="pairs_left_out"),
    path("plans/", PlanList.as_view(), name="plan_list"),
    path("plans/draft/", DraftPlan.as_view(), name="plan_draft"),
    path("plans/<path:number>/take-out/", TakePairOut.as_view(), name="plan_take_out"),
    path("plans/<path:number>/sheet/", night_sheet, name="plan_sheet"),
    path("plans/<path:number>/limits/", limits, name="plan_limits"),
    path("plans/<path:number>/limits/terms/", PlanEntry.as_view(kind="terms"), name="plan_terms"),
    path("plans/<path:number>/limits/<slug:key>/", PlanEntry.as_view(kind="limit"), name="plan_limit"),
    path("plans/<path:number>/limits/<slug:key>/default/", PlanEntry.as_view(kind="restore"), name="plan_restore"),
    path("plans/<path:number>/compare/", compare, name="plan_compare"),
    path("plans/<path:number>/", plan, name="plan"),
    path("kinship/", two_fish, name="kinship"),
]
