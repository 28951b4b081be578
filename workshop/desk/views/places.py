"""Places, what stands there, and the short addresses that tags carry."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from workshop.core import http, services
from workshop.core.forms import ActForm
from workshop.core.models import Machine, Place
from workshop.desk import places as rows
from workshop.desk.forms import PlaceForm


@require_GET
def scanned(request: HttpRequest, name: str) -> HttpResponse:
    """Lead from the short address on a machine's tag to its page."""
    return redirect(get_object_or_404(Machine, slug=name))


@require_GET
def place_scanned(request: HttpRequest, pk: int) -> HttpResponse:
    """Lead from the short address on a place's tag to its page."""
    return redirect("place", pk=get_object_or_404(Place, pk=pk).pk)


@require_GET
def places(request: HttpRequest) -> HttpResponse:
    """Every place and what stands there."""
    return _places_page(request, PlaceForm(initial={"holds_several": True}), 200)


def _places_page(request: HttpRequest, form: ActForm, status: int) -> HttpResponse:
    spots, nowhere = rows.places()
    context = {
        "spots": spots,
        "nowhere": nowhere,
        "form": form,
        "retired": Place.objects.filter(retired=True).order_by("name", "pk"),
        "nav": "places",
    }
    return render(request, "desk/places.html", context, status=status)


@require_POST
def place_add(request: HttpRequest) -> HttpResponse:
    """Add a place."""
    form = PlaceForm(request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: services.add_place(act, **form.values),
        to=reverse("places"),
        page=lambda f, status: _places_page(request, f, status),
    )


def place(request: HttpRequest, pk: int) -> HttpResponse:
    """Show one place and what stands there; rename it."""
    row = get_object_or_404(Place, pk=pk)
    if request.method != "POST":
        return _place_page(request, row, _place_form(row), 200)
    form = PlaceForm(request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: services.change_place(act, row, form.seen_version, **form.values),
        to=reverse("place", args=[pk]),
        page=lambda f, status: _place_page(request, row, f, status),
    )


def _place_form(row: Place) -> PlaceForm:
    return PlaceForm(initial={"name": row.name, "holds_several": row.holds_several, "version": row.version})


def _place_page(
    request: HttpRequest, row: Place, form: ActForm, status: int, pressed: ActForm | None = None
) -> HttpResponse:
    context = {"row": row, "spot": rows.place(row), "form": form, "pressed": pressed, "nav": "places"}
    return render(request, "desk/place.html", context, status=status)


@require_POST
def place_retire(request: HttpRequest, pk: int) -> HttpResponse:
    """Retire a place where nothing stands."""
    row = get_object_or_404(Place, pk=pk)
    return http.answer(
        request,
        ActForm(request.POST),
        do=lambda act: services.retire_place(act, row),
        to=reverse("places"),
        page=lambda f, status: _place_page(request, row, _place_form(row), status, pressed=f),
    )


@require_POST
def place_use(request: HttpRequest, pk: int) -> HttpResponse:
    """Use a retired place again."""
    row = get_object_or_404(Place, pk=pk)
    return http.answer(
        request,
        ActForm(request.POST),
        do=lambda act: services.use_place_again(act, row),
        to=reverse("place", args=[pk]),
        page=lambda f, status: _place_page(request, row, _place_form(row), status, pressed=f),
    )
