"""The bench that hand over rests on, and the invented house with a machine that may go."""

import pytest
from django.test import Client

from demo_fixtures import scenario
from tests.bench.conftest import bench, instruments
from tests.handover.buyers import issue
from tests.handover.distances import at_noon, reserved
from tests.house import NOW
from workshop.core import http
from workshop.core.acts import Act
from workshop.core.models import Job

__all__ = ["bench", "instruments"]


@pytest.fixture
def demo(db):
    """The invented house, opened."""
    return scenario.open_house(NOW)


@pytest.fixture
def today(monkeypatch):
    """The pages' today is the demo's own day."""
    monkeypatch.setattr(http, "today", lambda: NOW.date())


@pytest.fixture
def ready(demo):
    """A machine done, told, reserved and counted: only the sheet is missing."""
    return Job.objects.for_page().get(pk=scenario.ready_to_hand_over(demo).pk)


@pytest.fixture
def link(monkeypatch, demo, ready):
    """Its buyer's page, made by issuing the sheet."""
    return issue(monkeypatch, demo, ready)


@pytest.fixture
def ana(demo):
    """The owner, signed in."""
    client = Client()
    client.force_login(demo.owner)
    return client


@pytest.fixture
def stranger():
    """Somebody who is not signed in."""
    return Client()


@pytest.fixture
def acting(owner):
    """The owner's act on a day."""
    return lambda day: Act(by=owner, at=at_noon(day))


@pytest.fixture
def row(owner, shop):
    """A reservation at a distance, delivered."""
    return reserved(owner)
