"""Learn from this machine: what one unit teaches the notes of its model."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from workshop.core import http, services
from workshop.core.acts import Act, Stale
from workshop.core.forms import ActForm
from workshop.core.models import Job, JournalEntry
from workshop.desk import learn as lessons_of
from workshop.desk.forms import LearnForm


def learn(request: HttpRequest, name: str) -> HttpResponse:
    """Choose what this unit teaches; one press writes it into the model notes."""
    http.owner_only(request)
    job = http.job_of(name)
    found = lessons_of.lessons(job)

    def page(form: ActForm, status: int) -> HttpResponse:
        context = {"form": form, "job": job, "known": [each for each in found if each.same]}
        return render(request, "desk/learn.html", context, status=status)

    if request.method != "POST":
        return page(LearnForm(lessons=found, initial=LearnForm.first(job.machine.notes, found)), 200)
    form = LearnForm(request.POST, lessons=found)
    return http.answer(
        request, form, do=lambda act: _write(act, job, form, found), to=job.machine.get_absolute_url(), page=page
    )


def _write(act: Act, job: Job, form: LearnForm, found: list[lessons_of.Lesson]) -> JournalEntry:
    if form.cleaned_data["seen"] != lessons_of.fingerprint(found):
        raise Stale({"This machine": "it says something else now. Read the lines again."}, job.machine.notes.version)
    chosen = [each for each in found if each.code in form.cleaned_data["chosen"]]
    values = {code: value for each in chosen for code, value in each.values.items()}
    sizes = {pk: size for each in chosen for pk, size in each.seal_sizes.items()}
    return services.learn_notes(act, job.machine, form.seen_version, values, sizes)
