"""Pages on which something is entered of a batch."""

from collections.abc import Mapping
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from registry.errors import Refused
from registry.models import BatchMark, Fish, Transfer
from registry.operations.corrections import Correction, correct
from registry.operations.registration import register_individuals
from registry.operations.young.batches import (
    mark_batch,
    merge_batches,
    move_batch,
    open_batch,
    record_census,
    record_loss,
    split_batch,
)
from registry.pages.batches import forms, line_forms
from registry.permissions import CORRECT, ENTER, Actor
from registry.rules.fixed.cautions import ANAESTHETICS
from registry.web.entry.lines import MORE, apart, at_its_line, line_count, lines_of
from registry.web.entry_view import EntryView
from registry.web.links import address


class OpenBatch(EntryView):
    """Young of one or several families taken together; `?family=` names the first."""

    form_class = line_forms.OpeningForm
    operation = open_batch
    permission = ENTER
    title = "Open a batch"
    button = "Open the batch"
    template_name = "registry/web/entry_lines.html"

    def form_kwargs(self) -> dict[str, Any]:
        return {"lines": line_count(self.request.POST, "family", 3)}

    def initial(self) -> dict[str, Any]:
        return super().initial() | {"family_0": self.request.GET.get("family", "")}

    def page(self, form: Any, *args: Any, **options: Any) -> HttpResponse:
        help_text = "One family: only its number. Several: a share for each in per cent, or none for equal parts."
        self.lines = shown_lines(form, line_forms.FAMILIES, "Whose young they are", help_text)
        return super().page(form, *args, **options)

    def context(self) -> dict[str, Any]:
        return self.lines

    def post(self, request: HttpRequest, *args: Any, **options: Any) -> HttpResponse:
        if MORE in request.POST:
            return self.page(self.form_class(initial=request.POST.dict(), **self.form_kwargs()))
        return super().post(request, *args, **options)

    def write(self, entry: Any) -> Any:
        return at_lines(super().write, entry, self.request.POST, {"families": "family"})


class RegisterIndividuals(EntryView):
    """Several fish of a batch at once: number, tag, sex, a line each."""

    form_class = line_forms.RegistrationForm
    operation = register_individuals
    permission = ENTER
    title = "Register fish out of a batch"
    button = "Register these fish"
    template_name = "registry/web/entry_lines.html"

    def form_kwargs(self) -> dict[str, Any]:
        return {"lines": line_count(self.request.POST, "number", 6)}

    def page(self, form: Any, *args: Any, **options: Any) -> HttpResponse:
        help_text = "Each fish inherits the families of the batch on that day as its possible parents."
        self.lines = shown_lines(form, line_forms.FISH, "The fish", help_text)
        return super().page(form, *args, **options)

    def context(self) -> dict[str, Any]:
        return self.lines

    def post(self, request: HttpRequest, *args: Any, **options: Any) -> HttpResponse:
        if MORE in request.POST:
            return self.page(self.form_class(initial=request.POST.dict(), **self.form_kwargs()))
        return super().post(request, *args, **options)

    def write(self, entry: Any) -> Any:
        return at_lines(super().write, entry, self.request.POST, {"number": "number", "tag": "tag", "code": "tag"})

    def after(self, record: list[Fish]) -> str:
        return address("batch", self.request.POST["batch"].strip()) if len(record) > 1 else address("fish", record[0])


class TakeOut(EntryView):
    """Losses, samples, culls, fish transferred out."""

    form_class = forms.TakingForm
    operation = record_loss
    permission = ENTER
    title = "Take fish out of a batch"


class Count(EntryView):
    """A census."""

    form_class = forms.CensusForm
    operation = record_census
    permission = ENTER
    title = "Count a batch"
    button = "Enter the count"


class SplitBatch(EntryView):
    """Part of a batch into a new one."""

    form_class = forms.SplitForm
    operation = split_batch
    permission = ENTER
    title = "Split a batch"
    button = "Split it"


class MergeBatches(EntryView):
    """Fish of one batch into another."""

    form_class = forms.MergeForm
    operation = merge_batches
    permission = ENTER
    title = "Merge batches"
    button = "Merge them"
    caution = (
        "Merging cannot be told apart afterwards without genotyping: fish tagged later inherit every family of the "
        "merged batch as possible parents. Keep families apart until each can be marked."
    )


class MoveBatch(EntryView):
    """A batch to another unit."""

    form_class = forms.MoveForm
    operation = move_batch
    permission = ENTER
    title = "Move a batch"
    button = "Move it"


class MarkBatch(EntryView):
    """A mark that fish of a batch share from now on."""

    form_class = forms.MarkingForm
    operation = mark_batch
    permission = ENTER
    title = "Mark a batch"
    button = "Enter the mark"
    caution = ANAESTHETICS

    def after(self, _record: BatchMark) -> str:
        return address("batch", self.request.POST["batch"].strip())


def correct_movement(by: Actor, entry: Correction, *, confirmed: bool) -> Transfer:  # noqa: ARG001  (it has no warnings)
    """Correct a movement; a correction has no warnings to confirm."""
    return correct(by, entry)


class CorrectMovement(EntryView):
    """The right number of one movement; the one entered stays readable, struck through."""

    form_class = forms.TransferCorrectionForm
    operation = correct_movement
    permission = CORRECT
    title = "Correct a movement"
    button = "Correct it"
    template_name = "registry/batches/correct.html"

    def dispatch(self, request: HttpRequest, *args: Any, **options: Any) -> HttpResponse:
        ends = ("from_account__batch", "from_account__family", "to_account__batch", "to_account__family", "entry")
        self.record = get_object_or_404(Transfer.objects.select_related(*ends), pk=options["pk"])
        return super().dispatch(request, *args, **options)

    def form_kwargs(self) -> dict[str, Any]:
        return {"record": self.record}

    def initial(self) -> dict[str, Any]:
        return {"count": self.record.count, "notes": self.record.notes}

    def context(self) -> dict[str, Any]:
        return {"record": self.record}

    def after(self, record: Transfer) -> str:
        batch = record.from_account.batch or record.to_account.batch
        return address("batch", batch.number) if batch else address("batch_list")


def shown_lines(form: Any, names: tuple[str, ...], title: str, help_text: str) -> dict[str, Any]:
    """Return what the template of a form with lines shows."""
    group = {"title": title, "help": help_text, "lines": lines_of(form, names)}
    return {"groups": [group], "apart": apart(form, names)}


def at_lines(write: Any, entry: Any, data: Mapping[str, Any], names: Mapping[str, str]) -> Any:
    """Write an entry; objections to one of its lines are hung on that line."""
    try:
        return write(entry)
    except Refused as refused:
        raise type(refused)([at_its_line(one, data, names) for one in refused.objections]) from refused
