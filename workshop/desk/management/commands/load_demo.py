"""Load the invented scenario into an empty database and issue one handover sheet."""

from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.db import transaction
from django.utils import timezone

from demo_fixtures import house, scenario
from handover import services, store
from handover.models import Sheet
from intake.photos import open_photo
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, User


class Command(BaseCommand):
    """Lays the demo once; a second call with --once does nothing but say where the sheet is."""

    help = "Load the invented scenario and issue one handover sheet."

    def add_arguments(self, parser: CommandParser) -> None:
        """Take --once."""
        parser.add_argument("--once", action="store_true", help="do nothing when the database holds people already")

    def handle(self, *args: Any, **options: Any) -> None:
        """Lay the scenario, issue the sheet, print its path and the demo's sign-in."""
        if User.objects.exists():
            if not options["once"]:
                self.stderr.write("This database holds people already. The demo wants an empty one.")
                return
        else:
            with transaction.atomic():
                job = scenario.lay(timezone.now())
            self._issue(job)
        sheet = Sheet.objects.order_by("-number").first()
        if sheet is not None:
            self.stdout.write(f"Handover sheet {sheet.number}: {store.path_of(sheet.sha256)}")
        self.stdout.write(f"Sign in as {house.OWNER['username']} with the password: {house.OWNER['password']}")

    def _issue(self, job: Job) -> None:
        act = Act(by=User.objects.get(role="OWNER"), at=timezone.now())
        try:
            services.issue(act, job, photo=open_photo)
        except Refused as refused:
            self.stderr.write(f"No sheet was issued: {refused}")
