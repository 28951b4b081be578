"""The desk: This morning, the Machine page, our workshop."""

from typing import Any

from django.apps import AppConfig
from django.db import connections
from django.db.migrations.executor import MigrationExecutor
from django.db.models.signals import post_migrate


class DeskConfig(AppConfig):
    """Fills in what Find reads for jobs that were there before it."""

    name = "workshop.desk"
    label = "desk"

    def ready(self) -> None:
        """Connect the filling; the desk sees every room, and its turn comes after theirs."""
        post_migrate.connect(fill_search, sender=self, dispatch_uid="desk.fill_search")


def fill_search(using: str = "default", **_: Any) -> None:
    """Answer Django's post_migrate: index the jobs that have no entry yet, once every table is up to date."""
    from workshop.core.models import Job  # noqa: PLC0415  # models are there once the apps are
    from workshop.desk import find  # noqa: PLC0415

    executor = MigrationExecutor(connections[using])
    if not executor.migration_plan(executor.loader.graph.leaf_nodes()):
        find.rebuild(Job.objects.using(using).filter(search_entries__isnull=True))
