"""The app every other one stands on: people, the workshop, machines, jobs, the journal, readings."""

from django.apps import AppConfig
from django.db.models.signals import post_migrate, pre_migrate

from workshop.core import appendonly


class CoreConfig(AppConfig):
    """Lays the append-only triggers after each migrate and lifts them before."""

    name = "workshop.core"
    label = "core"

    def ready(self) -> None:
        """Connect the trigger keepers (a later migration would rebuild a table and lose them)."""
        pre_migrate.connect(appendonly.lift, dispatch_uid="appendonly.lift")
        post_migrate.connect(appendonly.lay, dispatch_uid="appendonly.lay")
