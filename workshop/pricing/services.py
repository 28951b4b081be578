"""Writers of money. (Frame only; the room fills it.)"""
