"""The demo being laid: who acts, what day it is, and signing off."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.utils import timezone

from workshop.core import services, stations
from workshop.core.acts import Act
from workshop.core.models import Job, User


@dataclass
class Demo:
    """The demo being laid: who acts, and what day it is."""

    now: datetime
    owner: User
    technician: User

    def act(self, days_ago: float, by: User | None = None) -> Act:
        """Return an act some days ago, by the technician unless said otherwise.

        A whole number is nine in the morning of that day, whenever the demo is laid; a tenth less is 2 h 24 min later.
        None at all is now, and a negative number lies ahead.
        """
        if days_ago <= 0:
            return Act(by=by or self.technician, at=self.now - timedelta(days=days_ago))
        nine = timezone.localtime(self.now).replace(hour=9, minute=0, second=0, microsecond=0)
        return Act(by=by or self.technician, at=min(nine - timedelta(days=days_ago), self.now))

    def day(self, days_ago: int) -> date:
        """Return the date some days ago (ahead when negative)."""
        return (self.now - timedelta(days=days_ago)).date()


def sign(demo: Demo, days_ago: float, job: Job, code: str) -> None:
    from workshop.desk.stations import STATIONS  # the roof's list: this script stands above every floor

    station = next(s for s in STATIONS if s.code == code)
    facts = station.facts([job.pk])[job.pk]
    signer = demo.owner if code == "PRICE" else demo.technician
    services.sign_off(demo.act(days_ago, signer), station, job, seen=stations.fingerprint(facts))
