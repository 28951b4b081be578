"""Money as whole minor units (pence, cents), and the one rounding function of the house.

A currency's minor digits are ISO 4217's, not those of the language tables, which differ for a dozen.
"""

import re
from decimal import ROUND_HALF_UP, Decimal, InvalidOperation, localcontext

_NONE = ("JPY", "KRW", "ISK", "CLP", "UGX", "VND")
_TWO = (
    *("GBP", "EUR", "USD", "AUD", "NZD", "CAD", "CHF", "DKK", "NOK", "SEK", "PLN", "CZK", "HUF", "RON", "TRY"),
    *("SGD", "HKD", "TWD", "CNY", "THB", "MYR", "IDR", "PHP", "INR", "ILS", "AED", "ZAR", "MXN", "BRL"),
)
_THREE = ("KWD", "BHD", "TND")

# Source M-02. How many decimals each currency's amounts have.
MINOR_DIGITS: dict[str, int] = dict.fromkeys(_NONE, 0) | dict.fromkeys(_TWO, 2) | dict.fromkeys(_THREE, 3)

# What is printed before an amount; any other currency is printed by its code. A shop has one currency, so a
# bare dollar sign cannot be mistaken for another country's.
SYMBOL: dict[str, str] = {
    "GBP": "£",
    "EUR": "€",
    "USD": "$",
    "AUD": "$",
    "NZD": "$",
    "CAD": "$",
    "DKK": "kr",
    "NOK": "kr",
    "SEK": "kr",
    "JPY": "¥",
    "KRW": "₩",
    "INR": "₹",
    "ILS": "₪",
}

NBSP = "\u00a0"
_PLAIN = re.compile(r"[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)")


def round_half_up(value: Decimal) -> int:
    """Round to a whole unit, a half going away from zero: 2.5 to 3, -2.5 to -3.

    The only rounding of money in the house, used once for each legal amount. As HMRC and the ATO round.
    Raises ValueError when the value is not a finite number. Source M-01.
    """
    if not value.is_finite():
        raise ValueError("Only a finite number can be rounded to money.")
    return int(value.to_integral_value(ROUND_HALF_UP))


def minor_digits(currency: str) -> int:
    """Return how many decimals a currency has; ValueError for one the house does not know. Source M-02."""
    try:
        return MINOR_DIGITS[currency]
    except KeyError:
        raise ValueError(f"The currency {currency} is not known here; use its ISO 4217 code, like GBP.") from None


def to_minor(amount: str | Decimal | int, currency: str) -> int:
    """Return an amount in main units ("520", Decimal("19.99")) as minor units, half up past the last digit.

    Text is plain digits with a dot; forms tidy signs and commas before. Raises ValueError for anything else.
    """
    digits = minor_digits(currency)
    if isinstance(amount, str) and not _PLAIN.fullmatch(amount.strip()):
        raise ValueError(f'"{amount}" is not an amount; write one like 520.00.')
    with localcontext() as exact:
        exact.prec = 60
        try:
            return round_half_up(Decimal(amount).scaleb(digits))
        except InvalidOperation:
            raise ValueError(f'"{amount}" is not an amount; write one like 520.00.') from None


def from_minor(minor: int, currency: str) -> Decimal:
    """Return minor units as main units with the currency's decimals: 52000 pence is Decimal("520.00")."""
    with localcontext() as exact:
        exact.prec = 60
        return Decimal(minor).scaleb(-minor_digits(currency))


def say(minor: int, currency: str) -> str:
    """Return an amount as it is printed: "£520.00", "-£1,250.00", "CHF 520.00", "¥900"."""
    sign = "-" if minor < 0 else ""
    symbol = SYMBOL.get(currency, currency)
    gap = NBSP if symbol[-1].isalpha() else ""
    return f"{sign}{symbol}{gap}{from_minor(abs(minor), currency):,f}"
