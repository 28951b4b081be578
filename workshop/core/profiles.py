"""Places a workshop can stand in, as its forms offer them; the rules themselves live in the trade."""

COUNTRIES: tuple[tuple[str, str], ...] = (
    ("GB", "United Kingdom"),
    ("IE", "Ireland"),
    ("DE", "Germany"),
    ("AT", "Austria"),
    ("FR", "France"),
    ("IT", "Italy"),
    ("ES", "Spain"),
    ("NL", "Netherlands"),
    ("AU-NSW", "Australia, New South Wales"),
    ("AU-VIC", "Australia, Victoria"),
    ("AU-QLD", "Australia, Queensland"),
    ("AU-NT", "Australia, Northern Territory"),
    ("AU-ACT", "Australia, Capital Territory"),
    ("AU", "Australia, elsewhere"),
    ("NZ", "New Zealand"),
    ("US-FL", "United States, Florida"),
    ("US", "United States, elsewhere"),
    ("CA", "Canada"),
    ("ZZ", "Somewhere else"),
)
CURRENCIES = ("GBP", "EUR", "USD", "AUD", "NZD", "CAD", "CHF", "DKK", "NOK", "SEK", "JPY")
