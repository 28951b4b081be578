"""Our workshop: its facts, its instruments, the people who sign in."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from workshop.core import http, services
from workshop.core.forms import ActForm
from workshop.core.forms.shop import InstrumentChangeForm, InstrumentForm, ShopForm, UserForm
from workshop.core.models import Instrument, Shop, User


def shop_edit(request: HttpRequest) -> HttpResponse:
    """Show and change the workshop; the first time, set it up."""
    http.owner_only(request)
    shop = Shop.objects.filter(pk=1).first()
    currency = request.POST.get("currency") or (shop.currency if shop else "GBP")
    if request.method != "POST":
        return _shop_page(request, ShopForm(initial=ShopForm.initial_of(shop), currency=currency), 200)
    form = ShopForm(request.POST, currency=currency)
    return http.answer(
        request,
        form,
        do=lambda act: services.save_shop(act, shop, form.seen_version, form.values),
        to=reverse("core:shop_edit") if shop else reverse("home"),
        page=lambda f, status: _shop_page(request, f, status),
    )


shop_edit.needs_shop = False  # type: ignore[attr-defined]


def _shop_page(
    request: HttpRequest,
    form: ActForm,
    status: int,
    instrument_form: ActForm | None = None,
    user_form: ActForm | None = None,
) -> HttpResponse:
    context = {
        "form": form,
        "instrument_form": instrument_form or InstrumentForm(prefix="instrument"),
        "user_form": user_form or UserForm(prefix="user"),
        "instruments": Instrument.objects.filter(retired=False).order_by("kind", "pk"),
        "people": User.objects.filter(is_active=True).order_by("first_name", "pk"),
        "set_up": Shop.objects.filter(pk=1).exists(),
        "nav": "shop",
    }
    return render(request, "core/shop_edit.html", context, status=status)


def _with_shop_form(
    request: HttpRequest,
    status: int,
    *,
    instrument_form: ActForm | None = None,
    user_form: ActForm | None = None,
) -> HttpResponse:
    shop = http.the_shop()
    form = ShopForm(initial=ShopForm.initial_of(shop), currency=shop.currency)
    return _shop_page(request, form, status, instrument_form, user_form)


@require_POST
def instrument_add(request: HttpRequest) -> HttpResponse:
    """Add an instrument."""
    http.owner_only(request)
    form = InstrumentForm(request.POST, prefix="instrument")
    return http.answer(
        request,
        form,
        do=lambda act: services.add_instrument(act, form.values),
        to=reverse("core:shop_edit") + "#instruments",
        page=lambda f, status: _with_shop_form(request, status, instrument_form=f),
    )


def instrument_change(request: HttpRequest, pk: int) -> HttpResponse:
    """Show one instrument and change it: a new calibration, another serial."""
    http.owner_only(request)
    instrument = get_object_or_404(Instrument, pk=pk)
    tester, shown = instrument.pass_fail_only, InstrumentChangeForm.initial_of(instrument)

    def page(form: ActForm, status: int) -> HttpResponse:
        context = {"form": form, "instrument": instrument, "nav": "shop"}
        return render(request, "core/instrument_change.html", context, status=status)

    if request.method != "POST":
        return page(InstrumentChangeForm(initial=shown, tester=tester), 200)
    form = InstrumentChangeForm(request.POST, tester=tester)
    return http.answer(
        request,
        form,
        do=lambda act: services.change_instrument(act, instrument, form.seen_version, form.values),
        to=reverse("core:shop_edit") + "#instruments",
        page=page,
    )


@require_POST
def instrument_retire(request: HttpRequest, pk: int) -> HttpResponse:
    """Retire an instrument."""
    http.owner_only(request)
    instrument = get_object_or_404(Instrument, pk=pk, retired=False)
    return http.answer(
        request,
        ActForm(request.POST),
        do=lambda act: services.retire_instrument(act, instrument),
        to=reverse("core:shop_edit") + "#instruments",
        page=lambda f, status: _with_shop_form(request, status),
    )


@require_POST
def user_add(request: HttpRequest) -> HttpResponse:
    """Let somebody else sign in."""
    http.owner_only(request)
    form = UserForm(request.POST, prefix="user")
    return http.answer(
        request,
        form,
        do=lambda act: services.add_user(act, **form.values),
        to=reverse("core:shop_edit") + "#people",
        page=lambda f, status: _with_shop_form(request, status, user_form=f),
    )
