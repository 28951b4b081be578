"""The machine record to take along: beside each issued sheet, and on the buyer's page."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_GET, require_safe

from handover import record_file
from handover.buyer_views import for_buyers
from handover.models import BuyerLink, Sheet
from handover.sheet import SheetContent


@require_GET
def sheet_record(request: HttpRequest, name: str, number: int) -> HttpResponse:
    """Serve the record issued with a sheet, byte for byte as its PDF carries it."""
    sheet = get_object_or_404(Sheet, job__machine__slug=name, number=number)
    return _file(record_file.of_sheet(sheet), f"{name}-{number}-{record_file.NAME}")


@for_buyers
@require_safe
def buyer_record(request: HttpRequest, link: BuyerLink, content: SheetContent) -> HttpResponse:
    """Serve the record of the sheet that the page shows."""
    return _file(record_file.of_sheet(link.sheet), record_file.NAME)


def _file(text: str, name: str) -> HttpResponse:
    if not text:
        raise Http404("This sheet was issued before there were machine records.")
    response = HttpResponse(text.encode(), content_type=record_file.KIND)
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    response["X-Content-Type-Options"] = "nosniff"
    return response
