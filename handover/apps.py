"""Hand over: what was told, the sheet, the care calendar."""

from django.apps import AppConfig


class HandoverConfig(AppConfig):
    """Registers the app."""

    name = "handover"
    label = "handover"

    def ready(self) -> None:
        """Ask before the first money of a sale and before a machine leaves; say on its paper what was not tested."""
        from handover import going_home, stations  # noqa: PLC0415  # models are there once the apps are
        from workshop.pricing import gates  # noqa: PLC0415
        from workshop.pricing.services import endings, payments  # noqa: PLC0415

        payments.BEFORE_A_DEPOSIT.append(stations.not_told_for_money)
        gates.BEFORE_IT_LEAVES.append(going_home.unanswered)
        endings.GOES_HOME.append(going_home.untested)
