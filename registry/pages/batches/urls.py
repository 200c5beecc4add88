"""/batches/ …"""

from django.urls import path

from registry.models import BatchMark
from registry.pages.batches import entries
from registry.pages.batches.forms import MarkCorrectionForm
from registry.pages.batches.views import BatchList, batch
from registry.web.entry.correcting import Correct, TakeBack

MARKS = BatchMark.objects.select_related("batch", "entry")
correct_mark = Correct.as_view(title="Correct a mark of", form_class=MarkCorrectionForm, rows=MARKS.current())

urlpatterns = [
    path("batches/", BatchList.as_view(), name="batch_list"),
    path("batches/enter/opening/", entries.OpenBatch.as_view(), name="batch_open"),
    path("batches/enter/taking/", entries.TakeOut.as_view(), name="batch_take"),
    path("batches/enter/count/", entries.Count.as_view(), name="batch_count"),
    path("batches/enter/split/", entries.SplitBatch.as_view(), name="batch_split"),
    path("batches/enter/merge/", entries.MergeBatches.as_view(), name="batch_merge"),
    path("batches/enter/move/", entries.MoveBatch.as_view(), name="batch_move"),
    path("batches/enter/marking/", entries.MarkBatch.as_view(), name="batch_mark"),
    path("batches/enter/registration/", entries.RegisterIndividuals.as_view(), name="batch_register"),
    path("batches/enter/correction/<int:pk>/", entries.CorrectMovement.as_view(), name="batch_correct"),
    path("batches/enter/mark-correction/<int:pk>/", correct_mark, name="batch_mark_correct"),
    path("batches/enter/mark-back/<int:pk>/", TakeBack.as_view(rows=MARKS), name="batch_mark_take_back"),
    path("batches/<path:number>/", batch, name="batch"),
]
