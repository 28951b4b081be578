"""Told before agreed: the page a buyer opens by its address, the one shown on the workshop's phone, the paper."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST, require_safe

from handover import buyer_rows, buyer_views, compose, services, told_links, told_paper, told_rows, views
from handover.forms import ToldLinkForm, WithdrawLinkForm
from handover.models import ToldLink
from handover.tag_views import pdf_answer
from handover.words import ToldBy
from workshop.core import http
from workshop.core.forms import ActForm


def for_readers(view: buyer_views.View) -> buyer_views.View:
    """Serve a view of (request, link) to whoever has the address of what a buyer reads before agreeing."""
    return buyer_views.behind_address(view, _opened)


def _opened(token: str) -> buyer_views.Opened:
    link = told_links.opened(token, http.today())
    if link is None:
        raise Http404("This address opens nothing.")
    return buyer_views.Opened(f"told-{link.pk}", link.language, (link,))


@for_readers
@require_safe
def told_page(request: HttpRequest, link: ToldLink) -> HttpResponse:
    """Show what is not as new, and the press that says it was read."""
    return _page(request, link)


@for_readers
@require_safe
def told_page_typed(request: HttpRequest, link: ToldLink) -> HttpResponse:
    """Show the page to one who typed its address without the slash at its end."""
    return _page(request, link)


def _page(request: HttpRequest, link: ToldLink) -> HttpResponse:
    large = request.GET.get("large") == "1"
    context = told_rows.of_link(link, large=large) | {"workshop": buyer_rows.workshop(), "large": large}
    return render(request, "handover/told_page.html", context)


@for_readers
@require_http_methods(["POST"])
def told_read(request: HttpRequest, link: ToldLink) -> HttpResponse:
    """Date that it was read."""
    told_links.read(link, timezone.now())
    return redirect(reverse("handover:told_page", args=[link.token]) + ("?large=1" if "large" in request.POST else ""))


@for_readers
@require_safe
def told_photo(request: HttpRequest, link: ToldLink, number: int) -> HttpResponse:
    """Serve the photo of one mark, by its number; no other photo can be asked for."""
    return buyer_views.photo(next((mark["photo"] for mark in link.marks if mark["number"] == number), None))


@for_readers
def told_nothing(request: HttpRequest, link: ToldLink) -> HttpResponse:
    """Answer every other address below as one that opens nothing."""
    raise Http404("No such page.")


# --- the workshop's side ---------------------------------------------------------------------------------


@require_POST
def told_link_make(request: HttpRequest, name: str) -> HttpResponse:
    """Make an address for a buyer."""
    job = http.job_of(name)
    form = ToldLinkForm(request.POST)
    return views.answer(request, name, form, lambda act: told_links.make(act, job, **form.values), "told")


@require_POST
def told_link_withdraw(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Withdraw one."""
    link = get_object_or_404(ToldLink.objects.select_related("job__machine"), pk=pk, job=http.job_of(name))
    form = WithdrawLinkForm(request.POST)
    return views.answer(request, name, form, lambda act: told_links.withdraw(act, link), "told")


def told_show(request: HttpRequest, name: str) -> HttpResponse:
    """Show it to a buyer on the workshop's own phone, in large print, with no way on into the app; keep the press."""
    job = http.job_of(name)

    def shown(form: ActForm, status: int) -> HttpResponse:
        context = told_rows.of_job(job) | {"form": form, "large": True}
        return render(request, "handover/told_show.html", context, status=status)

    if request.method != "POST":
        return shown(ActForm(), 200)
    form = ActForm(request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: services.tell(act, job, how=ToldBy.SCREEN),
        to=reverse("handover:told_shown", args=[name]),
        page=shown,
    )


@require_GET
def told_shown(request: HttpRequest, name: str) -> HttpResponse:
    """Thank the buyer and ask for the phone back."""
    return render(request, "handover/told_shown.html", {"job": http.job_of(name), "large": True})


@require_GET
def told_pdf(request: HttpRequest, name: str) -> HttpResponse:
    """What is told before agreeing, on paper, with a line to sign and date."""
    job = http.job_of(name)
    back = reverse("handover:handover", args=[name]) + "#told"
    if compose.to_tell(job).nothing_known:
        return redirect(back)
    return pdf_answer(
        request, f"{name}-told", lambda: told_paper.draw(job, http.today()), back, "Show it on the screen"
    )
