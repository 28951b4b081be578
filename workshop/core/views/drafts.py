"""Typing on its way: kept when it pauses, read again by its own writer only."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from workshop.core import http, services
from workshop.core.forms.drafts import DraftForm


# Not led to sign-in as other pages are: there, a draft that met an ended session would be kept as a press.
@login_not_required
@require_http_methods(["GET", "POST"])
def drafts(request: HttpRequest) -> HttpResponse:
    """Return one's own drafts of a page, or keep one (nothing typed: drop it) and say 204. Strangers get 403."""
    if not request.user.is_authenticated:
        return HttpResponse(status=403)
    if request.method == "POST":
        return _keep(request)
    page = request.GET.get("page", "").replace("\x00", "")
    rows = services.drafts_of(http.person(request), page, at=timezone.now())
    found = [{"form": row.form, "fields": row.fields, "at": row.at.isoformat()} for row in rows]
    return JsonResponse({"drafts": found}, headers={"Cache-Control": "no-store"})


def _keep(request: HttpRequest) -> HttpResponse:
    form = DraftForm(request.POST)
    if not form.is_valid():
        return HttpResponse(status=422)
    user, page, name = http.person(request), form.cleaned_data["page"], form.cleaned_data["form"]
    if typed := form.cleaned_data["typed"]:
        services.save_draft(user, page, name, typed, at=timezone.now())
    else:
        services.drop_draft(user, page, name)
    return HttpResponse(status=204)
