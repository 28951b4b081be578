"""The items of each card, for one machine: what is asked, how it is done, what is seen or measured."""

from workshop.bench.card_items.before_lid import before_lid_items
from workshop.bench.card_items.electrical import insulation_hot, safe_to_power_items
from workshop.bench.card_items.flow import flow_items
from workshop.bench.card_items.grinder import grinder_items
from workshop.bench.card_items.heat import heat_items
from workshop.bench.card_items.steam import steam_items
from workshop.bench.card_items.water import water_items
from workshop.bench.cards import Card, Unit, Way
from workshop.core.words import Kind


def cards_for(unit: Unit) -> tuple[Card, ...]:
    """Return every card of this machine with every item it can have, short set and full set.

    A card is one place of the hand: under the lid, at the plug, at the pump, at the heat, at the coffee.
    """
    alone = unit.kind == Kind.GRINDER
    coffee = "Grinder" if alone else "Coffee path and grinder" if unit.has_grinder else "Coffee path"
    hot = () if alone else (insulation_hot(unit),)  # last on its card: the plug is drawn for it
    heat = heat_items(unit) + steam_items(unit) + hot
    cards = [
        Card("before-lid", "Before the lid", Way.DO_CONFIRM, before_lid_items(unit)),
        Card("safe-to-power", "Safe to power", Way.READ_DO, safe_to_power_items(unit)),
        Card("water", "Water and pressure", Way.READ_DO, water_items(unit)),
        Card("heat", "Heat and steam" if unit.has_steam else "Heat", Way.READ_DO, heat),
        Card("coffee", coffee, Way.READ_DO, flow_items(unit) + grinder_items(unit)),
    ]
    return tuple(card for card in cards if card.items)
