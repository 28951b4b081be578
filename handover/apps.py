"""Hand over: what was told, the sheet, the care calendar."""

from django.apps import AppConfig


class HandoverConfig(AppConfig):
    """Registers the app."""

    name = "handover"
    label = "handover"

    def ready(self) -> None:
        """Ask, before the first money of a sale is noted, whether the buyer was told."""
        from handover import stations  # noqa: PLC0415  # models are there once the apps are
        from workshop.pricing.services import payments  # noqa: PLC0415

        payments.BEFORE_A_DEPOSIT.append(stations.not_told_for_money)
