"""Fixtures for the whole house."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from typing import Any

import pytest
from django.core.cache import cache
from django.db import connection
from django.test import Client

from tests import factories
from workshop.bench.services import spot
from workshop.core import appendonly
from workshop.core.acts import Act
from workshop.core.templatetags import measures

NOON = datetime(2026, 5, 12, 12, 0, tzinfo=UTC)


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup: None, django_db_blocker: Any) -> Iterator[None]:
    """Lift the append-only triggers before a flush: SQLite's flush is a DELETE and would trip them.

    The flush ends in post_migrate, which lays them again.
    """
    original = type(connection.ops).execute_sql_flush

    def flush(self: Any, sql_list: Any) -> None:
        appendonly.lift_on(self.connection)
        original(self, sql_list)

    type(connection.ops).execute_sql_flush = flush
    yield
    type(connection.ops).execute_sql_flush = original


@pytest.fixture(autouse=True)
def _own_media(settings: Any, tmp_path: Any) -> None:
    settings.MEDIA_ROOT = tmp_path / "media"
    cache.clear()  # how often pages were asked for is counted there, whoever tests
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture(autouse=True)
def _nobody_is_drawn(monkeypatch: Any) -> None:
    """One unit in ten is drawn by chance: a test that wants one draws it itself."""
    monkeypatch.setattr(spot, "roll", lambda: False)


@pytest.fixture(autouse=True)
def _it_is_2026(monkeypatch: Any) -> None:
    """Short dates leave out this year: the tests' own is the year of their days."""
    monkeypatch.setattr(measures, "this_year", lambda: NOON.year)


@pytest.fixture
def owner(db: None) -> Any:
    return factories.UserFactory(username="ana", first_name="Ana", role="OWNER")


@pytest.fixture
def technician(db: None) -> Any:
    return factories.UserFactory(username="sam", first_name="Sam", role="TECHNICIAN")


@pytest.fixture
def shop(db: None) -> Any:
    return factories.ShopFactory()


@pytest.fixture
def job(shop: Any) -> Any:
    return factories.JobFactory()


@pytest.fixture
def act(owner: Any) -> Callable[..., Act]:
    """Return an Act maker: act(key="k1") at a fixed noon by the owner."""

    def make(key: str | None = None, by: Any = None, at: datetime = NOON) -> Act:
        return Act(by=by or owner, at=at, key=key)

    return make


@pytest.fixture
def client_in(owner: Any, shop: Any) -> Client:
    """Return a client signed in as the owner of a workshop that is set up."""
    client = Client()
    client.force_login(owner)
    return client


@pytest.fixture
def technician_in(technician: Any, shop: Any) -> Client:
    """Return a client signed in as the technician."""
    client = Client()
    client.force_login(technician)
    return client
