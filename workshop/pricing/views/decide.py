"""Decide: the four ways side by side, the choice and its reason. Figures are the owner's to see."""

from collections.abc import Mapping
from dataclasses import fields
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from workshop.core import http
from workshop.core.forms import ActForm
from workshop.core.models import Job, Shop
from workshop.core.words import JobKind
from workshop.pricing import decide as deciding
from workshop.pricing import pages_decide, services
from workshop.pricing.forms_decide import DecideForm, ReturnForm, ThoughtsForm, as_hours
from workshop.trade.money.ways import Outlook, Way


@require_GET
def decide(request: HttpRequest, name: str) -> HttpResponse:
    """Show the ways as they were last thought of, or as the model notes begin them."""
    return page(request, name)


def page(request: HttpRequest, name: str, form: ActForm | None = None, status: int = 200) -> HttpResponse:
    """Show the page, with what was typed in its place."""
    job = http.job_of(name)
    if not http.person(request).is_owner:
        shown = pages_decide.decision_section(job, "", shows_money=False)
        return render(request, "pricing/decide.html", {"job": job, "decision": shown.lines}, status=status)
    of = deciding.known(job, http.today())
    thoughts = deciding.first_thoughts(of)
    shown_form = form or _first_form(job, of, thoughts)
    outlook = _outlook(shown_form, thoughts) if isinstance(shown_form, ThoughtsForm) else None
    shown_page = pages_decide.decide_page(job, of, outlook)
    context = {"job": job, "page": shown_page, "decision": shown_page.decision, "form": shown_form, "owner": True}
    return render(request, "pricing/decide.html", context, status=status)


def _first_form(job: Job, of: deciding.Known, thoughts: Mapping[str, Any]) -> ActForm:
    """Return the form as it begins. Nothing is chosen beforehand: a way is a choice, not a default."""
    hours = as_hours(thoughts.get("minutes"))
    if job.kind == JobKind.CAME_BACK:
        return ReturnForm(initial={"hours": hours})
    strip_hours = as_hours(thoughts.get("strip_minutes"))
    form = DecideForm(initial={**thoughts, "hours": hours, "strip_hours": strip_hours}, currency=of.shop.currency)
    form.fields["price_minor"].help_text = thoughts["price_words"]
    return form


def _outlook(form: ThoughtsForm, thoughts: Mapping[str, Any]) -> Outlook | None:
    """Return what the table weighs: what was typed where it can be read, else what the form begins with."""
    if form.is_bound:
        form.is_valid()
        names = ThoughtsForm.base_fields
        return None if any(name in form.errors for name in names) else form.outlook
    if any(thoughts.get(name) is None for name in ("minutes", "parts_minor", "price_minor", "in_ten")):
        return None
    known = {field.name: thoughts.get(field.name) for field in fields(Outlook)}
    return Outlook(**{name: value for name, value in known.items() if value is not None})


def _form(job: Job, shop: Shop, data: Any) -> ActForm:
    if job.kind == JobKind.CAME_BACK:
        return ReturnForm(data)
    return DecideForm(data, currency=shop.currency)


@require_POST
def decide_try(request: HttpRequest, name: str) -> HttpResponse:
    """Work the ways out from what was typed; nothing is kept."""
    http.owner_only(request)
    form = _form(http.job_of(name), http.the_shop(), request.POST)
    form.is_valid()
    for field in ("way", "because"):  # not asked of a trial
        form.errors.pop(field, None)
    return page(request, name, form, 422 if form.errors else 200)


@require_POST
def decide_choose(request: HttpRequest, name: str) -> HttpResponse:
    """Record the decision and its reason."""
    http.owner_only(request)
    job, shop = http.job_of(name), http.the_shop()
    form = _form(job, shop, request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: services.decide(
            act,
            job,
            way=Way(form.values["way"]),
            because=form.values["because"],
            minutes=form.minutes if isinstance(form, DecideForm | ReturnForm) else 0,
            outlook=form.outlook if isinstance(form, DecideForm) else None,
        ),
        to=reverse("pricing:decide", args=[name]),
        page=lambda f, status: page(request, name, f, status),
    )
