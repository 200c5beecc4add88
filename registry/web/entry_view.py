"""Form → entry → operation → done, or refused with everything typed kept."""

from collections.abc import Callable
from typing import Any, ClassVar

from django import forms
from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.views import View

from registry.errors import NotAllowed, Objection, Refused
from registry.models import JournalEntry
from registry.web.links import address
from registry.web.people import actor, require_on_page

TICKED, SEEN = "confirm_warnings", "warning_seen"


class _TakenBack(Exception):
    """Ends a trial of which nothing is kept."""


class EntryForm(forms.Form):
    """What the forms of entry pages share. A subclass adds fields and `entry()`: what the operation takes."""

    use_required_attribute = False  # the page says all that is missing at once, in its own words

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            field.widget.attrs.setdefault("autocomplete", "off")
            field.error_messages["required"] = _missing(name, field)


class EntryView(View):
    """A page that enters one thing. A subclass names form, operation, permission, title, and where to go after."""

    form_class: type[forms.Form]
    operation: Callable[..., Any]
    permission: str
    title: str
    button: str = "Enter"
    caution: str = ""
    # The page shown afterwards, by the name of its address; the record's own page where none is named.
    then: str = ""
    # False for an operation that knows no warnings and so cannot be asked to wait for a confirmation.
    warns: bool = True
    template_name: str = "registry/web/entry.html"
    # Where a field of the entry has another name in the form.
    form_names: ClassVar[dict[str, str]] = {}

    def after(self, record: Any) -> str:
        """Return the address to go to once the record is written: by default the record's own page, or its fish's."""
        if self.then:
            return address(self.then)
        owner = record if hasattr(record, "number") else getattr(record, "batch", None) or record.fish
        return address(owner._meta.model_name, owner.number) or self.request.path

    def done(self, _record: Any) -> str:
        """Return what the person is told: what the journal says was written, and under which number."""
        written = JournalEntry.objects.filter(user_id=actor(self.request).user_id).order_by("-seq").first()
        return f"Written: {written.what}, {written.subject} (entry {written.seq})." if written else "Written."

    def form_kwargs(self) -> dict[str, Any]:
        """Return what else the form's constructor takes."""
        return {}

    def initial(self) -> dict[str, Any]:
        """Return what the form holds at first; what is named in the address (?fish=…) by default."""
        return {name: value for name, value in self.request.GET.items() if name in self.form_class.base_fields}

    def context(self) -> dict[str, Any]:
        """Return what else the template shows."""
        return {}

    def dispatch(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        require_on_page(request, self.permission)
        return super().dispatch(request, *args, **kwargs)

    def get(self, _request: HttpRequest, *_: Any, **__: Any) -> HttpResponse:
        return self.page(self.form_class(initial=self.initial(), **self.form_kwargs()))

    def post(self, request: HttpRequest, *_: Any, **__: Any) -> HttpResponse:
        form = self.form_class(request.POST, request.FILES, **self.form_kwargs())
        if not form.is_valid():
            self.tell_rules_too(form)
            return self.page(form, status=422)
        try:
            record = self.write(form.entry())
        except NotAllowed:
            require_on_page(request, self.permission)
            raise
        except Refused as refused:
            return self.page(form, status=422, warnings=lay_on(form, refused.objections, self.form_names))
        messages.success(request, self.done(record))
        return HttpResponseRedirect(self.after(record))

    def write(self, entry: Any) -> Any:
        """Write the entry; its warnings stop it unless the person has seen those very ones and ticked the box."""
        operation, by = self.deed(), actor(self.request)
        if not self.warns:
            return operation(by, entry)
        try:
            return operation(by, entry, confirmed=False)
        except Refused as refused:
            seen = set(self.request.POST.getlist(SEEN)) if TICKED in self.request.POST else set()
            if not all(objection.warning and objection.message in seen for objection in refused.objections):
                raise
        return operation(by, entry, confirmed=True)

    def tell_rules_too(self, form: forms.Form) -> None:
        """Lay what the rules say of the rest beside what could not be read: one round for a doubly wrong form.

        Only where nothing needed is unreadable: without that there is no entry to judge. Nothing is written.
        """
        unread = set(form.errors)
        if form.is_multipart() or any(name not in form.fields or form.fields[name].required for name in unread):
            return
        form.cleaned_data |= {name: form.fields[name].clean("") for name in unread}
        try:
            with transaction.atomic():
                self.write(form.entry())
                raise _TakenBack
        except Refused as refused:
            named = [one.on(self.form_names.get(one.field, one.field)) for one in refused.objections]
            lay_on(form, tuple(one for one in named if one.field in form.fields and one.field not in unread))
        except (_TakenBack, KeyError, TypeError, AttributeError):
            return  # nothing against the rest, or too little is left of the form to be an entry

    def deed(self) -> Callable[..., Any]:
        """Return the operation; `operation` by default."""
        return type(self).operation

    def page(self, form: forms.Form, status: int = 200, warnings: tuple[Objection, ...] = ()) -> HttpResponse:
        """Return the page with the form as it stands."""
        shown = {"form": form, "warnings": warnings, "title": self.title, "button": self.button}
        return render(
            self.request, self.template_name, shown | {"caution": self.caution} | self.context(), status=status
        )


def lay_on(
    form: forms.Form, objections: tuple[Objection, ...], form_names: dict[str, str] | None = None
) -> tuple[Objection, ...]:
    """Put every objection at its field, or at the top when the form has no such field; return the warnings."""
    for objection in objections:
        if objection.warning:
            continue
        name = (form_names or {}).get(objection.field, objection.field)
        form.add_error(name if name in form.fields else None, forms.ValidationError(objection.message, objection.code))
    return tuple(objection for objection in objections if objection.warning)


def _missing(name: str, field: forms.Field) -> str:
    label = field.label or name.replace("_", " ")
    return f"{label[:1].upper()}{label[1:]} is missing. Fill it in."
