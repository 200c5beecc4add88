"""/spawnings/"""

from django.urls import path

from registry.pages.spawning.enter import RecordSpawning
from registry.pages.spawning.off_plan import AcknowledgeOffPlan
from registry.pages.spawning.views import RecordInduction, SpawningList, spawning

urlpatterns = [
    path("spawnings/", SpawningList.as_view(), name="spawning_list"),
    path("spawnings/record/", RecordSpawning.as_view(), name="spawning_enter"),
    path("spawnings/off-plan/<path:family>/", AcknowledgeOffPlan.as_view(), name="off_plan_seen"),
    path("spawnings/<path:number>/hormone/", RecordInduction.as_view(), name="induction_enter"),
    path("spawnings/<path:number>/", spawning, name="spawning"),
]
