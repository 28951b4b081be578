"""The Intake page, and each small form on it."""

from collections.abc import Callable
from typing import Any

from django.forms import BoundField
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST

from intake import intake_page, purchase_change, services
from intake.forms import (
    FacesForm,
    FindingForm,
    LoosePartForm,
    NothingForm,
    PhotoForm,
    PurchaseForm,
    RecallForm,
    SaidForm,
    SerialForm,
)
from intake.forms.photos import face_name
from intake.models import Finding, LoosePart, Purchase
from intake.pages_photos import PhotoRow
from intake.registers import registers_for
from intake.stations import STATION
from intake.words import NothingOf
from workshop.core import http
from workshop.core import services as core_services
from workshop.core.acts import Act
from workshop.core.forms import ActForm
from workshop.core.models import Job, JournalEntry, Shop


def intake(request: HttpRequest, name: str) -> HttpResponse:
    """How a machine came in: what is missing, and where to put it right."""
    return page(request, name)


def page(request: HttpRequest, name: str, form: ActForm | None = None, status: int = 200) -> HttpResponse:
    """Return the Intake page; a refused form stands in its own place, with what was typed."""
    job, shop = http.job_of(name), http.the_shop()
    rows = intake_page.intake_page(job, shop, http.person(request))
    forms = _forms(job, shop, rows)
    if back := way_back(job, request.GET.get("back", "")):
        forms[PhotoForm] = PhotoForm(initial={"purpose": "OTHER", "back": back}, auto_id="photos_%s")
    if form is not None:
        forms[type(form)] = form
    context = {
        "job": job,
        "page": rows,
        "form": form,
        "serial_form": forms[SerialForm],
        "said_form": forms[SaidForm],
        "finding_form": forms[FindingForm],
        "loose_form": forms[LoosePartForm],
        "recall_form": forms[RecallForm],
        "photo_form": forms[PhotoForm],
        "back_to_card": back,
        "faces_form": forms[FacesForm],
        "photos": _with_boxes(rows, forms[FacesForm]),
        "sign_off_form": forms[http.SignOffForm],
    }
    return render(request, "intake/intake.html", context, status=status)


def _forms(job: Job, shop: Shop, rows: intake_page.IntakePage) -> dict[type[ActForm], ActForm]:
    machine, purchase = job.machine, rows.purchase
    serial = {name: getattr(machine, name) for name in ("serial", "serial_unreadable", "version")}
    said = {"said": purchase.said, "version": purchase.version} if purchase else {}
    purpose = "PLATE" if machine.serial_unreadable and not rows.facts.plate_photos else "ARRIVAL"
    return {
        SerialForm: SerialForm(initial=serial, auto_id="serial_%s"),
        SaidForm: SaidForm(initial=said, auto_id="said_%s"),
        FindingForm: FindingForm(auto_id="finding_%s"),
        LoosePartForm: LoosePartForm(initial={"counted": 1}, auto_id="loose_%s"),
        RecallForm: _recall_form(shop, initial={"looked_on": timezone.localdate()}),
        PhotoForm: PhotoForm(initial={"purpose": purpose}, auto_id="photos_%s"),
        FacesForm: FacesForm(photos=[row for row in rows.photos if row.asks_face]),
        http.SignOffForm: http.fresh_sign_off(STATION, rows.facts),
    }


def _with_boxes(rows: intake_page.IntakePage, form: ActForm) -> list[tuple[PhotoRow, BoundField | None]]:
    """Return each photo with its box of the form of faces, where it has one."""
    named = [(row, face_name(row.pk)) for row in rows.photos]
    return [(row, form[name] if name in form.fields else None) for row, name in named]


def _recall_form(shop: Shop, *args: Any, **kwargs: Any) -> RecallForm:
    return RecallForm(*args, registers=registers_for(shop.country), auto_id="recall_%s", **kwargs)


def way_back(job: Job, typed: str) -> str:
    """Return the page of this machine that sent somebody here for a photo; empty for any other address."""
    of_machine = typed.startswith(job.machine.get_absolute_url())
    return typed if of_machine and url_has_allowed_host_and_scheme(typed, allowed_hosts=None) else ""


def page_url(name: str, anchor: str = "") -> str:
    """Return the address of the Intake page, at one of its sections."""
    return reverse("intake:intake", args=[name]) + (f"#{anchor}" if anchor else "")


def _answer(
    request: HttpRequest, name: str, form: ActForm, anchor: str, do: Callable[[Act], JournalEntry]
) -> HttpResponse:
    return http.answer(
        request,
        form,
        do=do,
        to=page_url(name, anchor),
        page=lambda f, status: page(request, name, f, status),
    )


@require_POST
def intake_sign_off(request: HttpRequest, name: str) -> HttpResponse:
    """Finish the station."""
    return http.sign_off(request, name, STATION, page)


@require_POST
def serial_set(request: HttpRequest, name: str) -> HttpResponse:
    """Note the serial number, or that it cannot be read."""
    machine, form = http.job_of(name).machine, SerialForm(request.POST, auto_id="serial_%s")
    return _answer(
        request,
        name,
        form,
        "serial",
        lambda act: core_services.change_machine(act, machine, form.seen_version, form.values),
    )


@require_POST
def said_set(request: HttpRequest, name: str) -> HttpResponse:
    """Note what the seller said."""
    purchase = _purchase(http.job_of(name))
    form = SaidForm(request.POST, auto_id="said_%s")
    return _answer(
        request,
        name,
        form,
        "said",
        lambda act: services.change_said(act, purchase, form.seen_version, form.values["said"]),
    )


_ANCHORS = {NothingOf.SAID: "said", NothingOf.FOUND: "found", NothingOf.LOOSE: "loose-parts"}


@require_POST
def nothing_answer(request: HttpRequest, name: str) -> HttpResponse:
    """Answer a question with "nothing"."""
    job, form = http.job_of(name), NothingForm(request.POST)
    anchor = _ANCHORS.get(NothingOf(form.data["what"])) if form.is_valid() else None
    return _answer(
        request,
        name,
        form,
        anchor or "",
        lambda act: services.answer_nothing(act, job, NothingOf(form.values["what"])),
    )


@require_POST
def finding_add(request: HttpRequest, name: str) -> HttpResponse:
    """Note something that does not work."""
    job, form = http.job_of(name), FindingForm(request.POST, auto_id="finding_%s")
    return _answer(request, name, form, "found", lambda act: services.add_finding(act, job, form.values["words"]))


@require_POST
def loose_parts_usual(request: HttpRequest, name: str) -> HttpResponse:
    """Count in what the model notes name."""
    job = http.job_of(name)
    return _answer(
        request, name, ActForm(request.POST), "loose-parts", lambda act: services.loose_parts_as_usual(act, job)
    )


@require_POST
def loose_part_add(request: HttpRequest, name: str) -> HttpResponse:
    """Count in one loose part."""
    job, form = http.job_of(name), LoosePartForm(request.POST, auto_id="loose_%s")
    return _answer(
        request,
        name,
        form,
        "loose-parts",
        lambda act: services.add_loose_part(act, job, **form.values),
    )


@require_POST
def recall_record(request: HttpRequest, name: str) -> HttpResponse:
    """Keep a look into the recall registers."""
    job, form = http.job_of(name), _recall_form(http.the_shop(), request.POST)
    return _answer(request, name, form, "recall", lambda act: services.record_recall_check(act, job, **form.values))


def purchase_edit(request: HttpRequest, name: str) -> HttpResponse:
    """Change how a machine was bought."""
    job, shop = http.job_of(name), http.the_shop()
    purchase = _purchase(job)
    held = purchase_change.is_held(purchase, http.today())
    how: dict[str, Any] = {"currency": shop.currency, "is_owner": http.person(request).is_owner, "held": held}
    if request.method != "POST":
        return _edit(request, job, "purchase_edit", PurchaseForm(initial=_purchase_values(purchase), **how), 200)
    form = PurchaseForm(request.POST, **how)
    return http.answer(
        request,
        form,
        do=lambda act: services.change_purchase(act, shop, purchase, form.seen_version, form.values),
        to=page_url(name, "purchase"),
        page=lambda f, status: _edit(request, job, "purchase_edit", f, status),
    )


def _purchase(job: Job) -> Purchase:
    return get_object_or_404(Purchase.objects.select_related("seller", "job__machine"), job=job)


def _purchase_values(purchase: Purchase) -> dict[str, Any]:
    columns = ("price_minor", "acquired_on", "bought_at", "payment_method", "version")
    seller = purchase.seller
    return {
        "seller_name": seller.name if seller else "",
        "seller_phone": seller.phone if seller else "",
        **{name: getattr(purchase, name) for name in columns},
    }


def finding_edit(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Change the words of a finding."""
    job = http.job_of(name)
    row = get_object_or_404(Finding.objects.select_related("job__machine"), pk=pk, job=job)
    if request.method != "POST":
        form = FindingForm(initial={"words": row.words, "version": row.version})
        return _edit(request, job, "finding_edit", form, 200)
    form = FindingForm(request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: services.change_finding(act, row, form.seen_version, form.values["words"]),
        to=page_url(name, "found"),
        page=lambda f, status: _edit(request, job, "finding_edit", f, status),
    )


def loose_part_edit(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Change the count of a loose part."""
    job = http.job_of(name)
    row = get_object_or_404(LoosePart.objects.select_related("job__machine"), pk=pk, job=job)
    if request.method != "POST":
        form = LoosePartForm(initial={name: getattr(row, name) for name in LoosePartForm.base_fields if name != "key"})
        return _edit(request, job, "loose_part_edit", form, 200)
    form = LoosePartForm(request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: services.change_loose_part(act, row, form.seen_version, **form.values),
        to=page_url(name, "loose-parts"),
        page=lambda f, status: _edit(request, job, "loose_part_edit", f, status),
    )


_EDITS = {
    "purchase_edit": ("How it was bought", "purchase"),
    "finding_edit": ("What was found", "found"),
    "loose_part_edit": ("Loose part", "loose-parts"),
}


def _edit(request: HttpRequest, job: Job, what: str, form: ActForm, status: int) -> HttpResponse:
    title, anchor = _EDITS[what]
    context = {"job": job, "form": form, "title": title, "back": page_url(job.machine.slug, anchor)}
    return render(request, f"intake/{what}.html", context, status=status)
