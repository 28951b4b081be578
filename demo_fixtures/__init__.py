"""The invented scenario: a two-person workshop in an old tram shed. No maker, shop or person here exists."""
