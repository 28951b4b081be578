"""Card lists: what each item caught and missed, and which of them this workshop still asks."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from workshop.bench import card_lists as lists_of
from workshop.bench.services import removals
from workshop.core import http
from workshop.core.acts import Act
from workshop.core.forms import ActForm
from workshop.core.models import JournalEntry


@require_GET
def card_lists(request: HttpRequest) -> HttpResponse:
    """Every item by card, with why it is there and what it has shown."""
    return _page(request)


def _page(request: HttpRequest, form: ActForm | None = None, status: int = 200) -> HttpResponse:
    context = {"page": lists_of.lists(), "may_remove": http.person(request).is_owner, "form": form}
    return render(request, "desk/card_lists.html", context, status=status)


@require_POST
def item_remove(request: HttpRequest, item: str) -> HttpResponse:
    """Ask an item no longer in this workshop."""
    return _answer(request, lambda act: removals.ask_no_longer(act, item))


@require_POST
def item_ask_again(request: HttpRequest, item: str) -> HttpResponse:
    """Ask an item again."""
    return _answer(request, lambda act: removals.ask_again(act, item))


def _answer(request: HttpRequest, do: Callable[[Act], JournalEntry]) -> HttpResponse:
    http.owner_only(request)
    return http.answer(
        request,
        ActForm(request.POST),
        do=do,
        to=reverse("card_lists"),
        page=lambda form, status: _page(request, form, status),
    )
