"""Make every entry of Find anew, from the rows it is derived from."""

from typing import Any

from django.core.management.base import BaseCommand
from django.db import transaction

from workshop.desk import find


class Command(BaseCommand):
    """Rebuilds the search entries; safe at any time."""

    help = "Make every entry of Find anew."

    def handle(self, *args: Any, **options: Any) -> None:
        """Rebuild, and say how many entries there are."""
        with transaction.atomic():
            entries = find.rebuild()
        self.stdout.write(f"{entries} entries made anew.")
