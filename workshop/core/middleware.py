"""Every page needs sign-in; typing that met an expired session is kept, not dropped."""

from typing import Any

from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.http import HttpRequest, HttpResponseRedirect
from django.shortcuts import redirect
from django.urls import reverse

from workshop.core import kept
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
