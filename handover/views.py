"""Hand over: what still blocks, the reservation, the sheet in preview and issued, the act itself."""

from typing import Any

from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import translation
from django.views.decorators.http import require_GET, require_POST

from handover import (
    buyer_links,
    buyer_section,
    compose,
    counter_section,
    distance_rows,
    layout,
    services,
    stations,
    store,
    timeline,
    told_links,
    told_rows,
)
from handover.distance_forms import DistanceForm
from handover.forms import (
    AnsweredForm,
    HandOverForm,
    IssueForm,
    NewSinceForm,
    ReceivedForm,
    RenewLinkForm,
    ReservationChangeForm,
    ReservationForm,
    TellForm,
    ToldLinkForm,
    WithdrawLinkForm,
)
from handover.models import BuyerLink, HandedOver, Reservation, Sheet
from handover.outdated import outdated
from handover.sheet import PrintSize, SheetContent
from handover.tellings import tellings
from handover.words import DistanceFact, Language
from intake.photos import open_photo
from workshop.core import http
from workshop.core import stations as core_stations
from workshop.core.forms import ActForm
from workshop.core.models import Job, Shop
from workshop.pricing import asking, balances
from workshop.pricing import pages as pricing_pages


@require_GET
def handover(request: HttpRequest, name: str) -> HttpResponse:
    """Show the station."""
    return page(request, name)


def page(
    request: HttpRequest, name: str, form: ActForm | None = None, status: int = 200, message_pk: int | None = None
) -> HttpResponse:
    """Show the station, with the refused form in its place; `message_pk` is the message a refused answer is to."""
    job, shop = http.job_of(name), http.the_shop()
    standing = core_stations.one(stations.STATION, job.pk)
    facts: stations.HandoverFacts = standing.facts  # type: ignore[assignment]  # this station's own kind
    buyer = buyer_section.of(job)
    old = outdated(job, facts.sheet) if facts.sheet and job.closed_at is None else ""
    handed_over = HandedOver.objects.filter(job=job, withdrawn_at__isnull=True).select_related("by").first()
    context: dict[str, Any] = {
        "job": job,
        "facts": facts,
        "unmet": standing.unmet,
        "outdated": old,
        "blocks": stations.blocks(job, standing, http.today(), owed_words="", outdated=old),
        "recall_due": stations.recall_due(job, http.today()),
        "ended": stations.ended(job),
        "tellings": tellings(job, facts.reservation),
        "telling": compose.to_tell(job),
        "sold_apart": distance_rows.section(facts.reservation, http.today()),
        "distance_forms": _distance_forms(form),
        "told_days": told_links.OPEN_DAYS,
        "told_addresses": told_rows.addresses(job, http.today()),
        "balance": pricing_pages.balance([job.pk]).get(job.pk),
        "yours_again": balances.yours_again(job),
        "sheets": Sheet.objects.filter(job=job).select_related("by", "record").order_by("-number"),
        "buyer": buyer,
        "contact": timeline.of(job),
        "handed_over": handed_over,
        "undo_entry": counter_section.undo_entry(handed_over, http.today()),
        "wrote": _wrote(job, form, message_pk),
        "form": form,
        "sign_off_form": http.fresh_sign_off(stations.STATION, facts),
        **_forms(job, shop, facts, form, buyer.link),
        **counter_section.of(job, form, http.today()),
    }
    return render(request, "handover/handover.html", context, status=status)


def _wrote(job: Job, pressed: ActForm | None, message_pk: int | None) -> list[tuple[buyer_section.Written, ActForm]]:
    rows = buyer_section.messages(job)
    fresh = {row.pk: AnsweredForm(auto_id=f"id_{row.pk}_%s") for row in rows}
    return [(row, pressed if pressed is not None and row.pk == message_pk else fresh[row.pk]) for row in rows]


def _forms(
    job: Job, shop: Shop, facts: stations.HandoverFacts, pressed: ActForm | None, link: BuyerLink | None
) -> dict[str, ActForm]:
    price = asking.prices([job.pk]).get(job.pk)
    lines = _to_count(facts)
    fresh: dict[str, ActForm] = {
        "tell_form": TellForm(),
        "told_link_form": ToldLinkForm(),
        "reservation_form": ReservationForm(currency=shop.currency, initial={"price_minor": price}),
        "new_form": NewSinceForm(),
        "received_form": ReceivedForm(initial={"lines": "\n".join(lines)}),
        "issue_form": IssueForm(initial={"paper": shop.paper}),
        "hand_over_form": HandOverForm(),
        "renew_form": RenewLinkForm(initial={"version": link.pk if link else 0}),
        "withdraw_form": WithdrawLinkForm(),
    }
    return {name: pressed if pressed is not None and type(pressed) is type(f) else f for name, f in fresh.items()}


def _to_count(facts: stations.HandoverFacts) -> list[str]:
    """Return the list to count by: what there is, or the last count with what came since."""
    counted = facts.received.lines if facts.received else facts.offered
    return [*counted, *facts.added]


def _distance_forms(pressed: ActForm | None) -> dict[str, ActForm]:
    today = http.today()
    fresh: dict[str, ActForm] = {fact.value: DistanceForm(fact=fact, initial={"on": today}) for fact in DistanceFact}
    return fresh | ({pressed.fact.value: pressed} if isinstance(pressed, DistanceForm) else {})


def answer(request: HttpRequest, name: str, form: ActForm, do: Any, anchor: str) -> HttpResponse:
    """Answer a form of the Hand over page, refused or not, at its own section."""
    return http.answer(
        request,
        form,
        do=do,
        to=reverse("handover:handover", args=[name]) + f"#{anchor}",
        page=lambda f, status: page(request, name, f, status),
    )


@require_POST
def told_add(request: HttpRequest, name: str) -> HttpResponse:
    """Record that the buyer was told."""
    job = http.job_of(name)
    form = TellForm(request.POST)
    return answer(request, name, form, lambda act: services.tell(act, job, how=form.values["how"]), "told")


@require_POST
def reservation_add(request: HttpRequest, name: str) -> HttpResponse:
    """Reserve the machine for a buyer."""
    job = http.job_of(name)
    form = ReservationForm(request.POST, currency=http.the_shop().currency)
    return answer(request, name, form, lambda act: services.reserve(act, job, form.new), "reservation")


def reservation_edit(request: HttpRequest, name: str) -> HttpResponse:
    """Change the day, the words or the use of a reservation."""
    job = http.job_of(name)
    row = get_object_or_404(Reservation.objects.select_related("job__machine"), job=job, cancelled_at__isnull=True)

    def editing(form: ActForm, status: int) -> HttpResponse:
        return render(request, "handover/reservation_edit.html", {"job": job, "form": form, "row": row}, status=status)

    if request.method != "POST":
        shown = {n: getattr(row, n) for n in ReservationChangeForm.base_fields if hasattr(row, n)}
        return editing(ReservationChangeForm(initial=shown), 200)
    form = ReservationChangeForm(request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: services.change_reservation(act, row, form.seen_version, form.values),
        to=reverse("handover:handover", args=[name]) + "#reservation",
        page=editing,
    )


@require_POST
def reservation_cancel(request: HttpRequest, name: str) -> HttpResponse:
    """Cancel a reservation."""
    job = http.job_of(name)
    rows = Reservation.objects.select_related("job__machine", "sale")
    row = get_object_or_404(rows, job=job, cancelled_at__isnull=True)
    return answer(
        request, name, ActForm(request.POST), lambda act: services.cancel_reservation(act, row), "reservation"
    )


@require_POST
def new_since_add(request: HttpRequest, name: str) -> HttpResponse:
    """Answer "anything new since?" """
    job = http.job_of(name)
    form = NewSinceForm(request.POST)
    return answer(request, name, form, lambda act: services.answer_new_since(act, job, **form.values), "new")


@require_POST
def received_add(request: HttpRequest, name: str) -> HttpResponse:
    """Keep the list of what goes with the machine."""
    job = http.job_of(name)
    form = ReceivedForm(request.POST)
    return answer(request, name, form, lambda act: services.receive(act, job, lines=form.values["lines"]), "received")


@require_GET
def sheet_preview(request: HttpRequest, name: str) -> HttpResponse:
    """Show the sheet as it would be printed now, with what is missing on top."""
    job = http.job_of(name)
    token = buyer_links.standing_token(job)
    asked = request.GET.get("language", "")
    language = asked if asked in Language.values else ""
    size = PrintSize.LARGE if request.GET.get("print") == "large" else PrintSize.USUAL
    number = compose.next_number()
    content = compose.sheet(job, number=number, issued_on=http.today(), token=token, language=language, size=size)
    made = buyer_section.is_made_by_issuing(job)
    context = {
        "job": job,
        "missing": stations.unissuable(job),
        "address_made": made,
        "languages": Language.choices,
        "language": content.language,
        "large": content.size is PrintSize.LARGE,
        "body": _on_screen(content),
    }
    return render(request, "handover/sheet_preview.html", context)


def _on_screen(content: SheetContent) -> str:
    """Return the sheet's own part of the page, in its own language."""
    with translation.override(content.language):
        shown = layout.prepare(content, lambda sha: reverse("intake:photo", args=[sha]))
        return render_to_string("handover/_sheet_body.html", shown)


@require_POST
def sheet_issue(request: HttpRequest, name: str) -> HttpResponse:
    """Issue the next sheet."""
    job = http.job_of(name)
    form = IssueForm(request.POST)
    return answer(request, name, form, lambda act: services.issue(act, job, photo=open_photo, **form.values), "sheet")


@require_GET
def sheet_pdf(request: HttpRequest, name: str, number: int) -> FileResponse:
    """Serve an issued sheet from the private store, byte for byte as issued."""
    row = get_object_or_404(Sheet, job__machine__slug=name, number=number)
    path = store.path_of(row.sha256)
    if not path.exists():
        raise Http404("This sheet's file is missing from the store.")
    response = FileResponse(path.open("rb"), content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{name}-sheet-{number}.pdf"'
    response["Cache-Control"] = "private, max-age=31536000, immutable"
    response["X-Content-Type-Options"] = "nosniff"
    return response


@require_POST
def hand_over(request: HttpRequest, name: str) -> HttpResponse:
    """Hand the machine over; pressed too early, it lists what blocks."""
    job = http.job_of(name)
    form = HandOverForm(request.POST)
    return answer(request, name, form, lambda act: services.hand_over(act, job, **form.values), "hand-over")


@require_POST
def handover_sign_off(request: HttpRequest, name: str) -> HttpResponse:
    """Sign Hand over off."""
    return http.sign_off(request, name, stations.STATION, page)
