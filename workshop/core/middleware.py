"""Every page needs sign-in; typing that met an expired session is kept; a draft ends when its form is taken.

A page that is only looked at reads each fact once; an address that takes a press only leads to its page.
"""

from collections.abc import Callable
from http import HTTPStatus
from typing import Any

from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import redirect, render
from django.urls import Resolver404, resolve, reverse

from workshop.core import http, kept, reads, services
from workshop.core.models import Shop, User


class SignInMiddleware(LoginRequiredMiddleware):
    """Lead strangers to sign-in (or to the first-run page), and keep what they typed."""

    def process_view(self, request: HttpRequest, view_func: Any, view_args: Any, view_kwargs: Any) -> Any:
        """Let signed-in people through; lead an owner without a workshop to set it up first."""
        if not getattr(view_func, "login_required", True):
            return None
        if request.user.is_authenticated:
            wants = getattr(view_func, "needs_shop", True)
            return redirect("core:shop_edit") if wants and not Shop.objects.exists() else None
        return super().process_view(request, view_func, view_args, view_kwargs)

    def handle_no_permission(self, request: HttpRequest, view_func: Any) -> HttpResponseRedirect:
        """Keep the typed fields for after sign-in, then lead there."""
        if request.method == "POST":
            kept.keep(request)
        if not User.objects.exists():
            return HttpResponseRedirect(reverse("first_run"))
        return super().handle_no_permission(request, view_func)


class DraftMiddleware:
    """Drop the draft of a form that was taken. The page names the draft in `draft`: its page and form, with a space.

    Every form that is taken answers with a redirect; a page in answer to a press still holds what was typed.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer the request, then drop the draft."""
        response = self.get_response(request)
        if request.method == "POST" and 300 <= response.status_code < 400 and request.user.is_authenticated:
            page, _, form = request.POST.get("draft", "").replace("\x00", "").partition(" ")
            if form:
                services.drop_draft(http.person(request), page, form)
        return response


class PressOnlyMiddleware:
    """Lead whoever opens an address that only takes a press to the page it belongs to.

    A refused form leaves such an address in the browser, and a restored tab opens it. The page lies further up the
    path; where that takes a press only as well, the next answer leads on, up to This morning.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer the request; a press where none is taken gets a page that says so."""
        response = self.get_response(request)
        if response.status_code != HTTPStatus.METHOD_NOT_ALLOWED:
            return response
        if request.method in ("GET", "HEAD"):
            return redirect(_above(request.path_info))
        page = render(request, "405.html", status=response.status_code)
        page["Allow"] = response["Allow"]
        return page


def _above(path: str) -> str:
    """Return the nearest address further up a path that is one of ours."""
    parts = path.strip("/").split("/")
    for count in range(len(parts) - 1, 0, -1):
        above = f"/{'/'.join(parts[:count])}/"
        try:
            resolve(above)
        except Resolver404:
            continue
        return above
    return reverse("home")


class LookingMiddleware:
    """Read each fact once for a page that is only looked at. A press writes: it reads anew each time."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer the request; what it read is forgotten with it."""
        if request.method not in ("GET", "HEAD"):
            return self.get_response(request)
        with reads.looking():
            return self.get_response(request)
