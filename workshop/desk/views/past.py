"""Bring the past: choose a file, match its columns, read the check, bring it in. For the owner."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from workshop.core import http
from workshop.core.forms import ActForm
from workshop.core.models import JournalEntry
from workshop.core.undo import subject_pk
from workshop.desk.models import PastFile
from workshop.desk.past import files, pages, services
from workshop.desk.past.forms import BringForm, ColumnsForm, FileForm
from workshop.desk.words import Past

_TEMPLATES = {
    "csv": (files.template_csv, "text/csv; charset=utf-8"),
    "xlsx": (files.template_xlsx, "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"),
}


def past(request: HttpRequest) -> HttpResponse:
    """Choose a file of machines we have now, or sold before."""
    http.owner_only(request)
    http.the_shop()

    def page(form: ActForm, status: int) -> HttpResponse:
        context = {"form": form, "files": pages.files(), "kinds": Past.choices, "nav": "shop"}
        return render(request, "desk/past.html", context, status=status)

    if request.method != "POST":
        return page(FileForm(initial={"kind": Past.STOCK}), 200)
    form = FileForm(request.POST, request.FILES)
    return http.answer(request, form, do=lambda act: services.keep_file(act, **form.kept), to=_columns_of, page=page)


def _columns_of(entry: JournalEntry) -> str:
    return reverse("past_columns", args=[subject_pk(entry)])


@require_GET
def past_template(request: HttpRequest, kind: str, form: str) -> HttpResponse:
    """Download headings and one invented row, as CSV or XLSX."""
    http.owner_only(request)
    if kind.upper() not in Past.values or form not in _TEMPLATES:
        raise Http404
    make, content_type = _TEMPLATES[form]
    name = f"second-pull-{kind.lower()}.{form}"
    disposition = {"Content-Disposition": f'attachment; filename="{name}"'}
    return HttpResponse(make(kind.upper()), content_type=content_type, headers=disposition)


def past_columns(request: HttpRequest, pk: int) -> HttpResponse:
    """Say which column of the file is which."""
    http.owner_only(request)
    file, shop = get_object_or_404(PastFile, pk=pk), http.the_shop()
    if not file.rows and request.method != "POST":
        return redirect("past_check", pk)

    def page(form: ActForm, status: int) -> HttpResponse:
        return render(request, "desk/past_columns.html", {"form": form, "file": file, "nav": "shop"}, status=status)

    if request.method != "POST":
        return page(ColumnsForm(file=file, shop=shop, initial={"version": file.version}), 200)
    form = ColumnsForm(request.POST, file=file, shop=shop)
    return http.answer(
        request,
        form,
        do=lambda act: services.match_columns(act, file, form.seen_version, form.values),
        to=reverse("past_check", args=[pk]),
        page=page,
    )


@require_GET
def past_check(request: HttpRequest, pk: int) -> HttpResponse:
    """Read what would come in, row by row; or what did."""
    http.owner_only(request)
    file = get_object_or_404(PastFile, pk=pk)
    return _check(request, file, BringForm(initial={"version": file.version}), 200)


def _check(request: HttpRequest, file: PastFile, form: ActForm, status: int) -> HttpResponse:
    shop = http.the_shop()
    context = {
        "file": file,
        "form": form,
        "kept_days": services.KEPT_DAYS,
        "check": pages.checked(file, shop, http.today()) if file.rows else None,
        "came_in": file.came_in.count() if file.brought_at else 0,
        "machines": pages.came_in(file) if file.brought_at else [],
        "nav": "shop",
    }
    return render(request, "desk/past_check.html", context, status=status)


@require_POST
def past_bring(request: HttpRequest, pk: int) -> HttpResponse:
    """Bring the file in, whole or not at all."""
    http.owner_only(request)
    file, shop = get_object_or_404(PastFile, pk=pk), http.the_shop()
    form = BringForm(request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: services.bring_in(act, shop, file, form.seen_version, form.values["sure"]),
        to=reverse("past_check", args=[pk]),
        page=lambda f, status: _check(request, file, f, status),
    )
