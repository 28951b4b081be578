"""Sign in, sign out, first run, health, and typing that was kept."""

from django.contrib.auth import login, logout
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_GET, require_POST

from workshop.core import kept, services
from workshop.core.acts import Refused
from workshop.core.forms import door
from workshop.core.models import User


@login_not_required
@require_GET
def health(request: HttpRequest) -> JsonResponse:
    """Say that the server and its database answer."""
    User.objects.exists()
    return JsonResponse({"status": "ok"})


@login_not_required
def sign_in(request: HttpRequest) -> HttpResponse:
    """Let a person in; paste and password managers work."""
    if not User.objects.exists():
        return redirect("first_run")
    form = door.SignInForm(request, data=request.POST or None)
    if request.method == "POST" and form.is_valid():
        login(request, form.get_user())
        if kept.waiting(request):
            return redirect("core:kept_typing")
        wanted = request.POST.get("next") or request.GET.get("next", "")
        safe = url_has_allowed_host_and_scheme(
            wanted, allowed_hosts={request.get_host()}, require_https=request.is_secure()
        )
        return redirect(wanted if safe else "home")
    status = 422 if request.method == "POST" else 200
    return render(request, "core/sign_in.html", {"form": form, "next": request.GET.get("next", "")}, status=status)


@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    """Let the person go."""
    logout(request)
    return redirect("sign_in")


@login_not_required
def first_run(request: HttpRequest) -> HttpResponse:
    """Make the first person, the owner, on an empty database; closed for ever after."""
    if User.objects.exists():
        return redirect("sign_in")
    form = door.FirstOwnerForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            owner = services.first_owner(**form.values)
        except Refused:
            return redirect("sign_in")
        login(request, owner, backend="django.contrib.auth.backends.ModelBackend")
        return redirect("core:shop_edit")
    return render(request, "core/first_run.html", {"form": form}, status=422 if request.method == "POST" else 200)


def kept_typing(request: HttpRequest) -> HttpResponse:
    """Offer what was typed before the session ended: send it now, or throw it away."""
    typing = kept.waiting(request)
    if request.method == "POST" or typing is None:
        kept.drop(request)
        return redirect("home")
    kept.drop(request)
    return render(request, "core/kept_typing.html", {"typing": typing})


kept_typing.needs_shop = False  # type: ignore[attr-defined]


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    """Show typing that came from a page too old, ready to be sent again; nothing was stored."""
    typing = kept.Typing(request.path, kept.fields_of(request.POST), bool(request.FILES))
    signing_in = request.path in (reverse("sign_in"), reverse("first_run"))
    return render(request, "core/page_too_old.html", {"typing": typing, "signing_in": signing_in}, status=403)
