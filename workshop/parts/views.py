"""The drawer: what is in it, what came in."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from workshop.core import http
from workshop.core.forms import ActForm
from workshop.parts import services
from workshop.parts.forms import PartForm, ReceiveForm
from workshop.parts.models import Part


def parts(request: HttpRequest) -> HttpResponse:
    """List the drawer."""
    return _page(request, PartForm(currency=http.the_shop().currency), 200)


def _page(request: HttpRequest, form: ActForm, status: int) -> HttpResponse:
    context = {
        "rows": Part.objects.for_drawer(),
        "form": form,
        "shows_money": http.person(request).is_owner,
        "nav": "parts",
    }
    return render(request, "parts/parts.html", context, status=status)


@require_POST
def part_add(request: HttpRequest) -> HttpResponse:
    """Add a part."""
    form = PartForm(request.POST, currency=http.the_shop().currency)
    return http.answer(
        request,
        form,
        do=lambda act: services.add_part(act, **form.values),
        to=reverse("parts:parts"),
        page=lambda f, status: _page(request, f, status),
    )


def part_receive(request: HttpRequest, pk: int) -> HttpResponse:
    """Put pieces into the drawer."""
    part = get_object_or_404(Part, pk=pk)
    currency = http.the_shop().currency

    def page(form: ActForm, status: int) -> HttpResponse:
        return render(request, "parts/part_receive.html", {"form": form, "part": part, "nav": "parts"}, status=status)

    if request.method != "POST":
        return page(ReceiveForm(currency=currency), 200)
    form = ReceiveForm(request.POST, currency=currency)
    return http.answer(
        request, form, do=lambda act: services.receive(act, part, **form.values), to=reverse("parts:parts"), page=page
    )
