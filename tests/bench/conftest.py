"""A bench with every instrument, and one machine on it."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from tests.bench import factories
from tests.conftest import NOON
from workshop.bench import stations
from workshop.bench.facts.prove import LID_CARD, ItemState, ProveFacts
from workshop.bench.services import prove, shots, work
from workshop.bench.services.measured import Typed
from workshop.bench.services.shots import Pulled
from workshop.core.acts import Act
from workshop.core.models import Job, JournalEntry, Reading
from workshop.core.words import InstrumentKind


@dataclass
class Bench:
    """A person at the bench: each act is a minute after the one before."""

    job: Job
    act: Callable[..., Act]
    minutes: int = field(default=0)

    def now(self) -> datetime:
        self.minutes += 1
        return NOON + timedelta(minutes=self.minutes)

    def read(self, code: str, value: str | None = None, *, answer: str = "good", **more: Any) -> Reading:
        """Record a reading, or see something; return its row."""
        number = Decimal(value) if value is not None else None
        typed = Typed(value=number, answer=answer, **more)
        entry = prove.read(self.act(at=self.now()), self.job, code, typed)
        return Reading.objects.get(pk=int(entry.subject.rsplit(":", 1)[1]))

    @staticmethod
    def draws(*values: str) -> tuple[Decimal, ...]:
        """Return a series as typed."""
        return tuple(Decimal(value) for value in values)

    def make_safe(self) -> None:
        """Do what stands before the first act that needs mains."""
        self.look_under_lid()
        self.read("case_shut")
        self.read("visual")
        self.read("earth", "0.09")
        self.read("insulation", "99.9", sign=">", test_volts=500)

    def look_under_lid(self) -> None:
        """See what is under the lid and on the plate; what was seen before is not looked at again."""
        for standing in self.facts.before_power():
            if standing.card == LID_CARD and standing.state is ItemState.OPEN:
                self.read(standing.item.code)

    def open_case(self, why: str = "look inside") -> JournalEntry:
        return work.open_case(self.act(at=self.now()), self.job, why=why)

    def shut_case(self) -> JournalEntry:
        return work.shut_case(self.act(at=self.now()), self.job)

    def pull(self, setting: str, time_s: str, *, dose: str = "17.5", out: str = "35", **more: Any) -> JournalEntry:
        pulled = Pulled(setting=setting, dose_g=Decimal(dose), yield_g=Decimal(out), time_s=Decimal(time_s), **more)
        return shots.add_shot(self.act(at=self.now()), self.job, pulled)

    @property
    def facts(self) -> ProveFacts:
        return stations.PROVE.facts([self.job.pk])[self.job.pk]

    def state(self, code: str) -> ItemState:
        return self.facts.states[code].state

    @property
    def missing(self) -> list[str]:
        return [unmet.code for unmet in stations.PROVE.unmet(self.facts)]


@pytest.fixture
def instruments(db: None) -> list[Any]:
    return [factories.InstrumentFactory(kind=kind.value) for kind in InstrumentKind]


@pytest.fixture
def bench(shop: Any, instruments: Any, act: Callable[..., Act]) -> Bench:
    return Bench(factories.KettleJobFactory(), act)


@pytest.fixture
def kettle(bench: Bench) -> str:
    """The name in the address of the machine on the bench."""
    return bench.job.machine.slug
