"""The bench that hand over rests on, and the invented house with a machine that may go."""

import pytest

from demo_fixtures import scenario
from tests.bench.conftest import bench, instruments
from tests.house import NOW
from workshop.core.models import Job

__all__ = ["bench", "instruments"]


@pytest.fixture
def demo(db):
    """The invented house, opened."""
    return scenario.open_house(NOW)


@pytest.fixture
def ready(demo):
    """A job of that house that is ready to hand over."""
    return Job.objects.for_page().get(pk=scenario.ready_to_hand_over(demo).pk)
