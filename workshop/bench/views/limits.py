"""The limits: of this place with our own beside them; of one machine under way; an outside tester's report."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from workshop.bench import pages_card, pages_limits
from workshop.bench.facts import prove as prove_facts
from workshop.bench.forms.limits import FullSetForm, OutsideReportForm, OwnLimitForm
from workshop.bench.models import LimitRow
from workshop.bench.services import basis, outside, own_limits
from workshop.bench.views import prove
from workshop.bench.words import OwnMeasure
from workshop.core import http
from workshop.core.forms import ActForm
from workshop.trade.safety.electrical import PROFILES, Profile


def _used() -> Profile:
    return PROFILES.get(http.the_shop().profile, PROFILES["record_only"])


@require_GET
def limits(request: HttpRequest) -> HttpResponse:
    """Show the limits of this place, or those of another profile to compare."""
    return _page(request, None, 200, request.GET.get("profile", ""))


def _page(request: HttpRequest, form: ActForm | None, status: int, code: str = "") -> HttpResponse:
    used = _used()
    profile = PROFILES.get(code, used)
    context = {
        "page": pages_limits.limits_page(profile, used),
        "form": form,
        "own_form": form if isinstance(form, OwnLimitForm) else OwnLimitForm(),
        "owner": http.person(request).is_owner,
        "nav": "shop",
    }
    return render(request, "bench/limits.html", context, status=status)


@require_POST
def own_limit_add(request: HttpRequest) -> HttpResponse:
    """Set a limit of our own."""
    http.owner_only(request)
    profile = _used()
    form = OwnLimitForm(request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: own_limits.set_limit(
            act, profile, **form.values | {"measure": OwnMeasure(form.values["measure"])}
        ),
        to=reverse("limits"),
        page=lambda f, status: _page(request, f, status),
    )


@require_POST
def own_limit_strike(request: HttpRequest, pk: int) -> HttpResponse:
    """Take a limit of our own back."""
    http.owner_only(request)
    row = get_object_or_404(LimitRow, pk=pk, struck=False)
    return http.answer(
        request,
        ActForm(request.POST),
        do=lambda act: own_limits.strike_limit(act, row),
        to=reverse("limits"),
        page=lambda f, status: _page(request, f, status),
    )


@require_POST
def todays_limits(request: HttpRequest, name: str) -> HttpResponse:
    """Hold one machine under way against today's limits."""
    job = http.job_of(name)
    return http.answer(
        request,
        ActForm(request.POST),
        do=lambda act: basis.use_todays(act, job),
        to=reverse("bench:prove", args=[name]),
        page=lambda f, status: prove.page(request, name, f, status),
    )


@require_POST
def full_set_ask(request: HttpRequest, name: str) -> HttpResponse:
    """Ask for the full set on one machine."""
    job = http.job_of(name)
    form = FullSetForm(request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: basis.ask_full_set(act, job, because=form.values["because"]),
        to=reverse("bench:prove", args=[name]),
        page=lambda f, status: prove.page(request, name, f, status),
    )


@require_POST
def full_set_drop(request: HttpRequest, name: str) -> HttpResponse:
    """Take back that the full set was asked for."""
    job = http.job_of(name)
    return http.answer(
        request,
        ActForm(request.POST),
        do=lambda act: basis.short_set(act, job),
        to=reverse("bench:prove", args=[name]),
        page=lambda f, status: prove.page(request, name, f, status),
    )


def outside_report(request: HttpRequest, name: str) -> HttpResponse:
    """Ask for an outside tester's report, and keep it."""
    job = http.job_of(name)
    facts = prove_facts.facts([job.pk])[job.pk]
    items = [standing.item for standing in facts.electrical()]

    def asking(form: ActForm, status: int) -> HttpResponse:
        back = pages_card.card_url(name, prove_facts.SAFE_CARD)
        context = {"job": job, "form": form, "back": back, "case_open": facts.case_open}
        return render(request, "bench/outside_report.html", context, status=status)

    if request.method != "POST":
        return asking(OutsideReportForm(items=items), 200)
    form = OutsideReportForm(request.POST, items=items)
    return http.answer(
        request,
        form,
        do=lambda act: outside.outside_report(act, job, form.typed),
        to=pages_card.card_url(name, prove_facts.SAFE_CARD),
        page=asking,
    )
