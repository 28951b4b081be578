"""Tags as PDF: of one machine, of one place, do-not-use, and sheets of labels for many."""

from collections.abc import Callable
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET

from handover import label_grid, pdf
from handover import tags as drawing
from handover.forms import TagsForm
from intake.tags import is_only_here
from workshop.bench import pages_prove
from workshop.bench import stations as bench_stations
from workshop.core import http
from workshop.core.models import Machine, Place, Shop
from workshop.core.words import Paper


@require_GET
def machine_tag_pdf(request: HttpRequest, name: str) -> HttpResponse:
    """The tag of one machine, one label."""
    machine, label = get_object_or_404(Machine.objects.select_related("place"), slug=name), _label()
    back = reverse("intake:machine_tag", args=[name])
    return pdf_answer(
        request,
        f"{name}-tag",
        lambda: drawing.one(drawing.machine_label(machine, label), label),
        back,
        "Print it from the page",
    )


@require_GET
def place_tag_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    """The tag of one place, one label."""
    place, label = get_object_or_404(Place, pk=pk), _label()
    back = reverse("place_scanned", args=[pk])
    return pdf_answer(
        request,
        f"place-{pk}-tag",
        lambda: drawing.one(drawing.place_label(place, label), label),
        back,
        "Back to the place",
    )


@require_GET
def do_not_use_pdf(request: HttpRequest, name: str) -> HttpResponse:
    """The tag of a machine with failed readings, one label; without any, back to the page that says so."""
    job, label = http.job_of(name), _label()
    failed = [row["label"] for row in pages_prove.failed(bench_stations.PROVE.facts([job.pk])[job.pk])]
    back = reverse("bench:do_not_use", args=[name])
    if not failed:
        return redirect(back)
    return pdf_answer(
        request,
        f"{name}-do-not-use",
        lambda: drawing.one(drawing.stop_label(job.machine, failed, label), label),
        back,
        "Print it from the page",
    )


@require_GET
def tags(request: HttpRequest) -> HttpResponse:
    """Choose machines and places, and where on the sheet to begin."""
    return _tags_page(request, _tags_form(None, http.the_shop()), 200)


@require_GET
def tags_pdf(request: HttpRequest) -> HttpResponse:
    """Sheets of labels for what was chosen; asked wrongly, the choice again with what to mend."""
    shop = http.the_shop()
    form = _tags_form(request.GET, shop)
    if not form.is_valid():
        return _tags_page(request, form, 422)
    values, label = form.cleaned_data, drawing.label_of(shop)
    machines = Machine.objects.filter(slug__in=values["machines"]).select_related("place").order_by("name", "pk")
    places = Place.objects.filter(pk__in=values["places"]).order_by("name", "pk")
    labels = [drawing.machine_label(m, label) for m in machines] + [drawing.place_label(p, label) for p in places]
    return pdf_answer(
        request,
        "tags",
        lambda: drawing.sheets(labels, _grid(shop), first=values["first"], lines=values["lines"]),
        reverse("handover:tags"),
        "Back to the choice",
    )


def _tags_form(data: Any, shop: Shop) -> TagsForm:
    standing = Machine.objects.filter(jobs__closed_at__isnull=True).select_related("place").order_by("name", "pk")
    machines = [(m.slug, f"{m}, {m.place or 'no place yet'}") for m in standing]
    places = [(str(p.pk), p.name) for p in Place.objects.filter(retired=False).order_by("name", "pk")]
    return TagsForm(data, machines=machines, places=places, grid=_grid(shop), initial={"first": 1, "lines": True})


def _tags_page(request: HttpRequest, form: TagsForm, status: int) -> HttpResponse:
    shop = http.the_shop()
    context = {"form": form, "label": drawing.label_of(shop), "paper": shop.get_paper_display(), "nav": "places"}
    context["only_here"] = is_only_here()
    return render(request, "handover/tags.html", context, status=status)


def _label() -> label_grid.Label:
    return drawing.label_of(http.the_shop())


def _grid(shop: Shop) -> label_grid.Grid:
    return label_grid.grid(Paper(shop.paper), drawing.label_of(shop))


def pdf_answer(
    request: HttpRequest, name: str, draw: Callable[[], bytes], instead: str, instead_words: str
) -> HttpResponse:
    """Answer with the PDF; where it cannot be drawn, say so in a sentence and offer another way."""
    try:
        data = draw()
    except (pdf.PdfUnavailable, pdf.AssetRefused) as missing:
        context = {"why": str(missing), "instead": instead, "instead_words": instead_words}
        return render(request, "handover/tag_unavailable.html", context, status=503)
    response = HttpResponse(data, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{name}.pdf"'
    response["Cache-Control"] = "private, no-store"
    response["X-Content-Type-Options"] = "nosniff"
    return response
