"""The buyer's page: the only pages that open without sign-in but with an address nobody can guess."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from typing import Any

from csp.constants import NONE
from csp.decorators import csp_replace
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone, translation
from django.utils.translation.trans_real import parse_accept_lang_header
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_http_methods, require_safe

from handover import buyer_links, buyer_rows, care_file, visits
from handover.buyer_forms import TroubleForm
from handover.models import BuyerLink
from handover.sheet import SheetContent
from handover.words import DANGERS, Language
from intake.photos import open_photo
from workshop.core import http
from workshop.core.acts import Refused
from workshop.core.forms import new_key

View = Callable[..., HttpResponseBase]


@dataclass(frozen=True, slots=True)
class Opened:
    """What an address opens: its name where visits are counted, its language, and what its views are given."""

    name: int | str
    language: str
    given: tuple[Any, ...]


HEADERS = {
    "X-Robots-Tag": "noindex, nofollow, noarchive",
    "Referrer-Policy": "no-referrer",  # the address is the key: no other site hears of it
    "X-Content-Type-Options": "nosniff",
}


def for_buyers(view: View) -> View:
    """Serve a view of (request, link, content) to whoever has the address; everybody else gets one plain page."""
    return behind_address(view, _opened)


def _opened(token: str) -> Opened:
    link = buyer_links.opened(token, http.today())
    if link is None:
        raise Http404("This address opens nothing.")
    content = buyer_rows.content_of(link)
    return Opened(link.pk, content.language, (link, content))


def behind_address(view: View, opened: Callable[[str], Opened]) -> View:
    """Serve a view without sign-in to whoever has an address; `opened` says what a token opens, or raises Http404.

    No cookie is read or set: who knows the address may press, so there is nobody to forge a press for.
    """

    @login_not_required
    @csrf_exempt
    @csp_replace({"script-src": [NONE], "connect-src": [NONE]})
    @wraps(view)
    def answered(request: HttpRequest, token: str = "", **more: Any) -> HttpResponseBase:
        response = _answer(request, view, more, lambda: opened(token))
        for name, value in HEADERS.items():
            response[name] = value
        response.headers.setdefault("Cache-Control", "private, no-cache")
        return response

    return answered


def _answer(request: HttpRequest, view: View, more: dict[str, Any], opened: Callable[[], Opened]) -> HttpResponseBase:
    if visits.too_many_from(request):
        return _busy(request)
    try:
        found = opened()
        if visits.too_many_of(found.name):
            return _busy(request)
        with translation.override(found.language):
            return view(request, *found.given, **more)
    except Http404:  # also a photo that is not shown
        return _gone(request)


def _gone(request: HttpRequest) -> HttpResponse:
    """Return the one plain page of an address that opens nothing."""
    return _unopened(request, "handover/buyer_gone.html", 404)


def _busy(request: HttpRequest) -> HttpResponse:
    """Return the page that asks to wait a minute."""
    response = _unopened(request, "handover/buyer_busy.html", 429)
    response["Retry-After"] = str(visits.WINDOW_S)
    return response


def _unopened(request: HttpRequest, template: str, status: int) -> HttpResponse:
    """Answer without a sheet: in the language the browser asks for, where it is one of ours."""
    asked = (code.partition("-")[0] for code, _ in parse_accept_lang_header(request.headers.get("Accept-Language", "")))
    with translation.override(next((code for code in asked if code in Language.values), Language.EN.value)):
        response = render(request, template, status=status)
    response["Vary"] = "Accept-Language"
    return response


def _shown(request: HttpRequest, link: BuyerLink, template: str, status: int = 200, **more: Any) -> HttpResponse:
    large = request.GET.get("large") == "1"
    frame = {"large": large, "again": buyer_rows.again(link, large=large), "workshop": buyer_rows.workshop()}
    return render(request, template, {**frame, "machine": link.job.machine, **more}, status=status)


@for_buyers
@require_safe
def buyer_page(request: HttpRequest, link: BuyerLink, content: SheetContent) -> HttpResponse:
    """Show the page itself."""
    return _page(request, link, content)


@for_buyers
@require_safe
def buyer_page_typed(request: HttpRequest, link: BuyerLink, content: SheetContent) -> HttpResponse:
    """Show the page to one who typed its address without the slash at its end, as the paper prints it."""
    return _page(request, link, content)


def _page(request: HttpRequest, link: BuyerLink, content: SheetContent) -> HttpResponse:
    file = request.build_absolute_uri(reverse("handover:buyer_calendar", args=[link.token]))
    shown = buyer_rows.page(link, content, http.today())
    shown |= {"file_address": file, "subscribe": "webcal:" + file.split(":", 1)[1]}
    return _shown(request, link, "handover/buyer_page.html", **shown)


@for_buyers
@require_safe
def buyer_calendar(request: HttpRequest, link: BuyerLink, content: SheetContent) -> HttpResponse:
    """Serve the care dates, to be taken in once or subscribed to."""
    data = care_file.of(content, buyer_rows.counts_from(link, content))
    if data is None:
        raise Http404("No day to count from is agreed yet.")
    response = HttpResponse(data, content_type=care_file.KIND)
    response["Content-Disposition"] = f'attachment; filename="{care_file.NAME}"'
    return response


@for_buyers
@require_safe
def buyer_photo(request: HttpRequest, link: BuyerLink, content: SheetContent, number: int) -> HttpResponse:
    """Serve the photo of one mark, by its number on the sheet; no other photo can be asked for."""
    return photo(buyer_rows.photo_of(content, number))


def photo(sha: str | None) -> HttpResponse:
    """Serve a photo that a buyer may see. :raises Http404: without one, or when its file is missing"""
    try:
        data = open_photo(sha) if sha else b""
    except FileNotFoundError:
        data = b""
    if not data:
        raise Http404("No such photo is shown.")
    response = HttpResponse(data, content_type="image/jpeg")
    response["Cache-Control"] = "private, max-age=86400"
    return response


@for_buyers
@require_http_methods(["GET", "HEAD", "POST"])
def buyer_trouble(request: HttpRequest, link: BuyerLink, content: SheetContent) -> HttpResponse:
    """Ask the three questions, the phone first; keep the answers."""
    if request.method != "POST":
        return _shown(request, link, "handover/buyer_trouble.html", form=TroubleForm())
    form = TroubleForm(request.POST)
    if form.is_valid():
        try:
            row = buyer_links.write_to_us(
                link, timezone.now(), key=form.cleaned_data.get("key") or new_key(), **form.values
            )
        except Refused as refused:
            if form.values["trouble"] in DANGERS:  # told what to do whether or not it is kept
                return _shown(request, link, "handover/buyer_kept.html", status=429, danger=True, not_kept=str(refused))
            form.add_error(None, str(refused))
        else:
            danger = row.trouble in DANGERS
            kept = reverse("handover:buyer_unplug" if danger else "handover:buyer_kept", args=[link.token])
            return redirect(kept + ("?large=1" if request.GET.get("large") == "1" else ""))
    return _shown(request, link, "handover/buyer_trouble.html", status=422, form=form)


@for_buyers
@require_safe
def buyer_kept(request: HttpRequest, link: BuyerLink, content: SheetContent) -> HttpResponse:
    """Say that the answers are kept."""
    return _shown(request, link, "handover/buyer_kept.html", danger=False)


@for_buyers
@require_safe
def buyer_unplug(request: HttpRequest, link: BuyerLink, content: SheetContent) -> HttpResponse:
    """Say to unplug and call: what was written is a danger."""
    return _shown(request, link, "handover/buyer_kept.html", danger=True)


@for_buyers
def buyer_nothing(request: HttpRequest, link: BuyerLink, content: SheetContent) -> HttpResponse:
    """Answer every other address below a buyer's page as one that opens nothing."""
    raise Http404("No such page.")
