"""Delete the locked names of erased people that the book needs no longer."""

from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from workshop.core.acts import Act, Refused
from workshop.core.models import User
from workshop.core.words import Role
from workshop.desk import erasing


class Command(BaseCommand):
    """Safe at any time, once a day is enough; it acts in the owner's name."""

    help = "Delete the locked names of erased people that the book needs no longer."

    def handle(self, *args: Any, **options: Any) -> None:
        """Delete them, and say how many there were."""
        owner = User.objects.filter(role=Role.OWNER, is_active=True).order_by("pk").first()
        if owner is None:
            self.stderr.write("This workshop has no owner yet.")
            return
        try:
            entry = erasing.forget_due(Act(by=owner, at=timezone.now()), timezone.localdate())
        except Refused as refused:
            self.stdout.write(str(refused))
        else:
            self.stdout.write(f"{entry.sentence}.")
