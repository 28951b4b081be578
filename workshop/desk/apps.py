"""The desk: This morning, the Machine page, our workshop."""

from typing import Any

from django.apps import AppConfig, apps
from django.db import connections
from django.db.migrations.executor import MigrationExecutor
from django.db.models.signals import post_migrate


class DeskConfig(AppConfig):
    """Fills in what Find reads for jobs that were there before it."""

    name = "workshop.desk"
    label = "desk"

    def ready(self) -> None:
        """Connect the filling. Django signals apps with models only, in order: Hand over is the last of them."""
        last = apps.get_app_config("handover")
        post_migrate.connect(fill_search, sender=last, dispatch_uid="desk.fill_search")


def fill_search(using: str = "default", **_: Any) -> None:
    """Answer Django's post_migrate: index the jobs that are not yet, once every table is up to date."""
    from workshop.core.models import Job  # noqa: PLC0415  # models are there once the apps are
    from workshop.desk import find  # noqa: PLC0415

    executor = MigrationExecutor(connections[using])
    if not executor.migration_plan(executor.loader.graph.leaf_nodes()):
        find.rebuild(Job.objects.using(using).filter(search_text__isnull=True))
