"""The test report of one machine, on screen and as PDF."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from handover import test_report as paper
from handover.tag_views import pdf_answer
from workshop.core import http


@require_GET
def test_report(request: HttpRequest, name: str) -> HttpResponse:
    """Show the report as it would print now."""
    job = http.job_of(name)
    context = {"job": job, "report": paper.compose(job, timezone.now())}
    return render(request, "handover/test_report.html", context)


@require_GET
def test_report_pdf(request: HttpRequest, name: str) -> HttpResponse:
    """The report as PDF."""
    job = http.job_of(name)
    content = paper.compose(job, timezone.now())
    back = reverse("handover:test_report", args=[name])
    return pdf_answer(request, f"{name}-test-report", lambda: paper.draw(content), back, "Print it from the page")
