"""What a buyer is told before agreeing, on paper: to read, date and sign before any deposit."""

from datetime import date

from django.template.loader import render_to_string
from django.utils import translation

from handover import compose, pdf, told_rows
from handover.sheet import say_date
from intake.photos import open_photo
from workshop.core.models import Job, Shop

STYLES = ("sheet-page.css", "sheet.css", "report.css", "told-paper.css")


def draw(job: Job, today: date) -> bytes:
    """Return the paper as a tagged PDF.

    :raises PdfUnavailable: the system libraries are missing. :raises AssetRefused: a photo is missing.
    """
    with translation.override(compose.language_of(compose.standing_reservation(job))):
        return _draw(job, today)


def _draw(job: Job, today: date) -> bytes:
    told = told_rows.as_it_stands(job, lambda sha: pdf.PHOTO + sha)
    context = told | {"shop": Shop.objects.get(pk=1), "printed": say_date(today)}
    html = render_to_string("handover/told_paper.html", context)
    return pdf.draw(html, STYLES, "", tagged=True, photo=open_photo)
