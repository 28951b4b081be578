"""What stands in the buyer's kitchen, as far as the reservation says: the sheet speaks to it and to nothing else."""

from dataclasses import dataclass

from handover.models import Reservation
from handover.words import BuyerHas, CoffeeKind


@dataclass(frozen=True, slots=True)
class Kitchen:
    """A scale, a grinder, and the coffee they will use; each may not have been asked yet."""

    scale: str = BuyerHas.UNKNOWN
    grinder: str = BuyerHas.UNKNOWN
    coffee: str = CoffeeKind.UNKNOWN

    @property
    def ready_ground(self) -> bool:
        """Whether they buy coffee that is ground already."""
        return self.coffee == CoffeeKind.READY_GROUND

    @property
    def no_scale(self) -> bool:
        """Whether they said that they have no kitchen scale."""
        return self.scale == BuyerHas.NO


def of(reservation: Reservation | None) -> Kitchen:
    """Return the kitchen of a reservation; of nobody, everything is unasked."""
    if reservation is None:
        return Kitchen()
    return Kitchen(reservation.has_scale, reservation.has_grinder, reservation.coffee_kind)
