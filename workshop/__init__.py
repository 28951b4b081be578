"""Second Pull: mend a used espresso machine, prove it, and hand it over with its own measured settings."""
