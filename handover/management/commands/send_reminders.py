"""Send the care reminders that are queued and due for a try. Run it every few minutes."""

from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from handover import mail, reminders


class Command(BaseCommand):
    """Sends what waits; safe at any time, also twice at once."""

    help = "Send the care reminders that wait in the queue."

    def handle(self, *args: Any, **options: Any) -> None:
        """Send, and say what became of each."""
        if not mail.is_set():
            self.stdout.write(reminders.NO_SERVER)
        for entry in reminders.send_queued(timezone.now()):
            self.stdout.write(f"{entry.machine}: {entry.sentence}.")
