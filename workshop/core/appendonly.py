"""Rows that may never change: triggers refuse UPDATE and DELETE on models marked `append_only = True`.

Laid after every migrate, lifted before: SQLite drops triggers whenever a migration rebuilds the table.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.apps import apps
from django.db import connections, models, router
from django.db.backends.base.base import BaseDatabaseWrapper

_SQLITE = """CREATE TRIGGER IF NOT EXISTS {name}_{verb} BEFORE {verb} ON "{table}"
BEGIN SELECT RAISE(ABORT, '{table} is append-only'); END"""

_POSTGRES_FUNCTION = """CREATE OR REPLACE FUNCTION second_pull_append_only() RETURNS trigger AS $$
BEGIN RAISE integrity_constraint_violation USING MESSAGE = TG_TABLE_NAME || ' is append-only'; END
$$ LANGUAGE plpgsql"""
_POSTGRES = """CREATE OR REPLACE TRIGGER {name}_{verb} BEFORE {verb} ON "{table}"
FOR EACH ROW EXECUTE FUNCTION second_pull_append_only()"""


def tables() -> list[str]:
    """Return the tables of every append-only model, sorted."""
    return sorted(model._meta.db_table for model in apps.get_models() if getattr(model, "append_only", False))


def lay_on(connection: BaseDatabaseWrapper) -> None:
    """Lay both triggers on each append-only table that exists on this connection."""
    present = set(connection.introspection.table_names())
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute(_POSTGRES_FUNCTION)
        for table in tables():
            if table in present:
                _lay(connection, cursor, table)


def _lay(connection: BaseDatabaseWrapper, cursor: Any, table: str) -> None:
    statement = _POSTGRES if connection.vendor == "postgresql" else _SQLITE
    for verb in ("UPDATE", "DELETE"):
        cursor.execute(statement.format(name=f"keep_{table}", verb=verb, table=table))


def lift_on(connection: BaseDatabaseWrapper) -> None:
    """Drop the triggers, so that a migration or a test's flush may touch the rows."""
    present = set(connection.introspection.table_names())
    with connection.cursor() as cursor:
        for table in tables():
            if table in present:
                _lift(connection, cursor, table)


def _lift(connection: BaseDatabaseWrapper, cursor: Any, table: str) -> None:
    on = f' ON "{table}"' if connection.vendor == "postgresql" else ""
    for verb in ("UPDATE", "DELETE"):
        cursor.execute(f"DROP TRIGGER IF EXISTS keep_{table}_{verb}{on}")


@contextmanager
def redacting(model: type[models.Model]) -> Iterator[None]:
    """Let the words of a person who is erased be taken out of a model's rows: the only way, for that alone.

    Inside a transaction: what fails brings the triggers back with everything else.
    """
    connection = connections[router.db_for_write(model)]
    if not getattr(model, "append_only", False):
        yield
        return
    if not connection.in_atomic_block:
        raise RuntimeError("Words are taken out inside a transaction only.")
    table = model._meta.db_table
    if connection.vendor == "postgresql":
        connection.check_constraints()  # it drops no trigger of a table whose new rows still wait for their checks
    with connection.cursor() as cursor:
        _lift(connection, cursor, table)
        yield
        _lay(connection, cursor, table)


def lay(using: str = "default", **_: Any) -> None:
    """Answer Django's post_migrate."""
    lay_on(connections[using])


def lift(using: str = "default", **_: Any) -> None:
    """Answer Django's pre_migrate."""
    lift_on(connections[using])
