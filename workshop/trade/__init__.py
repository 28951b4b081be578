"""Pure calculation for the trade: standard library only, no Django, no clock, no files written, no float money."""
