"""The app every other one stands on: people, the workshop, machines, jobs, the journal, readings."""

from django.apps import AppConfig
from django.db.models.signals import post_migrate, pre_migrate

from workshop.core import appendonly, sizes


class CoreConfig(AppConfig):
    """Lays the append-only triggers after each migrate and lifts them before; lets SQLite learn its sizes."""

    name = "workshop.core"
    label = "core"

    def ready(self) -> None:
        """Connect the trigger keepers (a later migration would rebuild a table and lose them)."""
        pre_migrate.connect(appendonly.lift, dispatch_uid="appendonly.lift")
        post_migrate.connect(appendonly.lay, dispatch_uid="appendonly.lay")
        post_migrate.connect(sizes.learn, sender=self, dispatch_uid="sizes.learn")
