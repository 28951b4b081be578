"""A demo machine whose sheet is issued and whose buyer's page stands; the PDF is not drawn."""

from handover import pdf, services
from handover.models import BuyerLink


def issue(monkeypatch, demo, job, days_ago=0):
    """Issue the next sheet without drawing it, and return the buyer's page."""
    drawn = pdf.Rendered(html="", pdf=b"%PDF-", pages=2, sha256="0" * 64)
    monkeypatch.setattr(services, "_draw", lambda *_: drawn)
    services.issue(demo.act(days_ago, demo.owner), job, photo=lambda sha: b"")
    return BuyerLink.objects.select_related("sheet", "job__machine").get(job=job, withdrawn_at__isnull=True)
