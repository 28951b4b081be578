"""Where one looks up whether a model is recalled, by the workshop's place. Source: S-29 of the safety room.

The names are those under which the registers were known when this was written; look for the current address.
"""

from dataclasses import dataclass

from workshop.trade.safety import sources
from workshop.trade.sources import Source


@dataclass(frozen=True, slots=True)
class Register:
    """A public list of recalled products."""

    name: str
    keeper: str
    source: Source = sources.RECALLS

    @property
    def label(self) -> str:
        """Name and keeper, as the record keeps them."""
        return f"{self.name} ({self.keeper})"


_GLOBAL = Register("GlobalRecalls portal", "OECD")
_EU = Register("Safety Gate", "European Commission")
_EU_PLACES = ("IE", "DE", "AT", "FR", "IT", "ES", "NL")

REGISTERS: dict[str, tuple[Register, ...]] = {
    "GB": (
        Register("Product safety alerts, reports and recalls", "GOV.UK"),
        Register("Product recalls", "Electrical Safety First"),
    ),
    "AU": (
        Register("Product safety recalls", "ACCC"),
        Register("Recalls of electrical equipment", "EESS"),
    ),
    "NZ": (Register("Product safety recalls", "New Zealand ministry of business"),),
    "US": (Register("Recalls", "CPSC"), Register("Reports of unsafe products", "SaferProducts.gov")),
    "CA": (Register("Recalls and safety alerts", "Government of Canada"),),
    **dict.fromkeys(_EU_PLACES, (_EU,)),
}


def registers_for(country: str) -> tuple[Register, ...]:
    """Return the registers of a place ("GB", "AU-NSW"); the OECD's portal where none is known to us."""
    code = country.strip().upper()
    return REGISTERS.get(code) or REGISTERS.get(code.split("-")[0]) or (_GLOBAL,)
