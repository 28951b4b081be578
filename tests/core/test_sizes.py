"""SQLite knows the sizes of its tables after each migrate; PostgreSQL looks after itself."""

from django.db import connection

from workshop.core import sizes


def test_sqlite_knows_its_sizes_and_postgresql_is_left_alone(db):
    sizes.learn()

    with connection.cursor() as cursor:
        known = connection.introspection.table_names(cursor)
        if connection.vendor == "sqlite":
            cursor.execute("SELECT count(*) FROM sqlite_master WHERE name = 'sqlite_stat1'")
            assert cursor.fetchone() == (1,)
    assert "core_job" in known
