"""/plans/, /kinship/"""

from django.urls import path

from breeding.pages.crosses.compare import compare
from breeding.pages.crosses.draft import DraftPlan
from breeding.pages.crosses.entries import PlanEntry
from breeding.pages.crosses.optimum.take import TakePlan
from breeding.pages.crosses.optimum.views import BestPlan, search_cancel, search_progress, search_run
from breeding.pages.crosses.pair.entries import PairEntry
from breeding.pages.crosses.pair.possible import possible_pairs
from breeding.pages.crosses.pair.two_fish import two_fish
from breeding.pages.crosses.pair.views import pair
from breeding.pages.crosses.plan_page import night_sheet, plan
from breeding.pages.crosses.plans import PlanList
from breeding.pages.crosses.wishes.candidates import candidates
from breeding.pages.crosses.wishes.choose import ChooseFish
from breeding.pages.crosses.wishes.limits import limits

urlpatterns = [
    path("plans/", PlanList.as_view(), name="plan_list"),
    path("plans/draft/", DraftPlan.as_view(), name="plan_draft"),
    path("plans/<path:number>/pairs/", possible_pairs, name="plan_pairs"),
    path("plans/<path:number>/pair/", pair, name="plan_pair"),
    path("plans/<path:number>/pair/add/", PairEntry.as_view(kind="add"), name="plan_add"),
    path("plans/<path:number>/pair/take-out/", PairEntry.as_view(kind="take_out"), name="plan_take_out"),
    path("plans/<path:number>/pair/swap/", PairEntry.as_view(kind="swap"), name="plan_swap"),
    path("plans/<path:number>/pair/size/", PairEntry.as_view(kind="size"), name="plan_size"),
    path("plans/<path:number>/pair/stand/", PairEntry.as_view(kind="stand"), name="plan_stand"),
    path("plans/<path:number>/sheet/", night_sheet, name="plan_sheet"),
    path("plans/<path:number>/limits/", limits, name="plan_limits"),
    path("plans/<path:number>/limits/terms/", PlanEntry.as_view(kind="terms"), name="plan_terms"),
    path("plans/<path:number>/limits/<slug:key>/", PlanEntry.as_view(kind="limit"), name="plan_limit"),
    path("plans/<path:number>/limits/<slug:key>/default/", PlanEntry.as_view(kind="restore"), name="plan_restore"),
    path("plans/<path:number>/fish/", candidates, name="plan_candidates"),
    path("plans/<path:number>/fish/choose/", ChooseFish.as_view(), name="plan_choose"),
    path("plans/<path:number>/fish/stand/", PlanEntry.as_view(kind="fish"), name="plan_fish"),
    path("plans/<path:number>/best/", BestPlan.as_view(), name="plan_best"),
    path("plans/<path:number>/best/<slug:token>/", search_run, name="plan_best_run"),
    path("plans/<path:number>/best/<slug:token>/progress/", search_progress, name="plan_best_progress"),
    path("plans/<path:number>/best/<slug:token>/cancel/", search_cancel, name="plan_best_cancel"),
    path("plans/<path:number>/best/<slug:token>/take/<int:place>/", TakePlan.as_view(), name="plan_take"),
    path("plans/<path:number>/compare/", compare, name="plan_compare"),
    path("plans/<path:number>/", plan, name="plan"),
    path("kinship/", two_fish, name="kinship"),
]
