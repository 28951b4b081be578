"""What another workshop wrote: the records read in, and reading one."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse

from intake import earlier, services
from intake.forms.earlier import RecordFileForm
from workshop.core import http
from workshop.core.forms import ActForm


def earlier_records(request: HttpRequest, name: str) -> HttpResponse:
    """Show what other workshops wrote of a machine, and read one more record."""
    job = http.job_of(name)

    def page(form: ActForm, status: int) -> HttpResponse:
        context = {"job": job, "form": form, "records": earlier.wrote(job.machine)}
        return render(request, "intake/earlier_records.html", context, status=status)

    if request.method != "POST":
        return page(RecordFileForm(), 200)
    form = RecordFileForm(request.POST, request.FILES)
    return http.answer(
        request,
        form,
        do=lambda act: services.read_record(act, job, form.found, sure=form.cleaned_data.get("sure", "")),
        to=reverse("intake:earlier_records", args=[name]),
        page=page,
    )
