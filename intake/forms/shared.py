"""Fields that several forms of intake share."""

OFF = {"autocomplete": "off"}  # a seller's data, not the typist's own
NO_DRAFT = {"data-no-draft": True}  # too private to be kept before it is recorded
