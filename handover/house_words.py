"""Words of ours that the lower floors say in English, listed so that the catalogues hold them.

The trade knows no Django, and the bench writes a reading's words into its row: both stay English. A phrase with holes
stands for every sentence of its shape; `handover.retold` finds the shape again and says it in the buyer's language.
What fits a hole is narrow where what people typed could fit too: figures (FIGURES), or words of ours (HOLES).
"""

from django.utils.translation import gettext_noop as _

KINDS = (
    _("Single boiler"),
    _("Heat exchanger"),
    _("Dual boiler"),
    _("Thermoblock"),
    _("Lever"),
    _("Grinder alone"),
)
SEALS = (
    _("Group seal"),
    _("Steam tap seal"),
    _("Tank seal"),
    _("Boiler joints"),
    _("Piston seals"),
)
TITLES = (
    _("Cut-outs and safety valves"),
    _("Plate volts for this place"),
    _("Plug and fuse for this place"),
    _("Plug, fuse, cord and case"),
    _("Case shut, all screws in"),
    _("Earth path, plug to metal"),
    _("Earth path"),
    _("Insulation"),
    _("Insulation at %(count)s V"),
    _("Insulation at %(count)s V, hot"),
    _("Leakage current"),
    _("Touch current"),
    _("Pressure in a shot"),
    _("The machine's gauge in a shot"),
    _("Seconds until the group stops dripping"),
    _("Three cups from one button"),
    _("Two spouts, two cups"),
    _("Sound of the grinder"),
    _("Five doses, weighed"),
    _("Watts while heating"),
    _("Minutes to ready"),
    _("Brewing water, five shots"),
    _("Hot water at the tap"),
    _("Seconds to first dry steam"),
    _("Seconds back to coffee after steam"),
    _("Steam power into the jug"),
    _("First heat cycle, dry paper under"),
    _("Second heat cycle, from fully cold"),
    _("Leak after 30 minutes hot"),
    _("Drip when it stands cold"),
    _("Relief valve lets go into the tray"),
    _("Pressure at the group"),
    _("Watts when pumping"),
    _("Water through the empty group"),
    _("Two coffees in a row"),
    _("%(count)s coffees in a row"),
)
SEEN = (
    _("none"),
    _("none seen"),
    _("drips"),
    _("right, all present, none bridged"),
    _("right, present, not bridged"),
    _("wrong, missing or bridged"),
    _("right for this place"),
    _("wrong for this place"),
    _("right, both fit"),
    _("wrong, do not fit"),
    _("right, undamaged"),
    _("not right"),
    _("shut, all screws in"),
    _("not shut"),
    _("outside its zone"),
    _("even, no scraping"),
    _("rough, scrapes or labours"),
    _("dry, paper dry"),
    _("wet, paper wet"),
    _("let go, shut again"),
    _("did not let go"),
)
LIMITS = (
    _("recorded, no limit"),
    _("not known yet"),
    _("%(low)s or more"),
    _("%(high)s or less"),
    _("%(low)s to %(high)s"),
    _("%(low)s and %(high)s"),
    _("%(numbers)s and %(high)s"),
    _("over %(low)s"),
    _("under %(high)s"),
    _("within %(high)s"),
    _("each within %(high)s of their mean"),
    _("within %(high)s of each other"),
    _("%(limit)s, no more than %(high)s apart"),
    _("%(limit)s, on metal that is not earthed"),
    _("%(limit)s, heating elements connected"),
    _("%(limit)s (older-equipment rule, chosen by the tester)"),
    _("not possible: %(why)s"),
)
UNITS = (_("ohm"), _("megohm"), _("min"))
NOT_POSSIBLE = (
    _("this model has no place to measure it"),
    _("it would mean opening a sealed part"),
    _("the instrument is away"),
    _("this unit does not have the part"),
    _("out of its limit, left as it is"),
    _("something else"),
    _("%(what)s (%(why)s)"),
    _("nothing on it was measured yet"),
)
EDITIONS = (
    _("United Kingdom, IET Code of Practice"),
    _("United Kingdom, IET Code of Practice, earlier edition"),
    _("Germany and the European Union, after repair"),
    _("Germany and the European Union, periodic test"),
    _("Australia and New Zealand, second-hand before sale"),
    _("United States, record only"),
    _("Canada, record only"),
    _("Record only"),
)
NOTES = (
    _("Electrical limits: %(editions)s. The other limits are our own."),
    _("Our own electrical limits were compared with: %(editions)s."),
    _("%(what)s: calibration of %(instrument)s was due %(day)s."),
    _("%(what)s: report %(report)s by %(who)s."),
    _("%(what)s: our own limit, stricter than %(limit)s."),
    _("%(what)s: our own limit, wider than %(limit)s, because %(why)s."),
)
DONE = (
    _("Descaled once, rinsed clean, flushed"),
    _("Descaled twice, rinsed clean, flushed"),
    _("Descaled %(count)s times, rinsed clean, flushed"),
    _("Not descaled: %(why)s"),
    _("New %(seal)s"),
    _("Mended: %(what)s"),
    _("Not seen again: %(what)s"),
    _("%(seals)s: not disturbed"),
    _("%(seals)s: kept"),
)
FACES = (_("front"), _("back"), _("left"), _("right"), _("top"), _("underneath"))
ZONES = (*FACES[:4], _("high"), _("low"), _("middle"))
MARK_KINDS = (_("scratch"), _("dent"), _("stain"), _("rust"), _("crack"), _("missing piece"))
SHOWS = (_("seen only close up"), _("seen at arm's length"), _("felt with a finger"))
MARKS = (*FACES, *ZONES, *MARK_KINDS, *SHOWS, _("%(face)s, %(zone)s"), _("%(where)s: %(kind)s %(low)s, %(shows)s"))
BUTTONS = (
    _("%(grams)s, %(low)s to %(high)s, timed"),
    _("%(grams)s, %(low)s to %(high)s, metered"),
)
CHART = (_("seconds"), _("grinder"), _("aim here"), _("spoilt"))
SPANS = (
    _("after use"),
    _("every day"),
    _("every week"),
    _("every month"),
    _("every year"),
    _("every %(count)s days"),
    _("every %(count)s weeks"),
    _("every %(count)s months"),
    _("every %(count)s years"),
    _("day %(count)s"),
    _("week %(count)s"),
    _("month %(count)s"),
)
TASKS = (
    _("Run a little water through the group. Wipe the basket and the shower screen."),
    _("Let steam out of the wand, wipe it with a clean damp cloth, let steam out again."),
    _("Unused for 7 days or more: empty the tank, fill it fresh, heat up, and flush before you drink."),
    _("Rinse the filter handle (portafilter). Empty and rinse the tray."),
    _("Backflush with the blind basket and water only."),
    _("Backflush with espresso detergent, then rinse with water only until no foam comes."),
    _("Take off the shower screen and soak it with the basket in espresso detergent. Rinse well."),
    _("Draw fresh water through the group and the hot-water tap to renew the boiler's water."),
    _("Change the water filter."),
    _("Change the group gasket. Look at the shower screen and change it when it is worn."),
    _("Unplug the grinder, take out the upper burr and brush out old coffee. No water."),
    _("Descale with a food acid made for it, then flush every path and pour that water away."),
)
REASONS = (
    _("Old coffee turns rancid and sticks."),
    _("Milk dries on within minutes, and steamed milk is not sterile."),
    _("Germs grow in standing water."),
    _("Coffee oil and wet grounds go off in a day."),
    _("It rinses the coffee out of the three-way valve."),
    _("Coffee oil hardens in the three-way valve."),
    _("Coffee oil clogs the small holes."),
    _("Minerals gather in a boiler as steam leaves it."),
    _("A spent filter softens nothing and can grow germs."),
    _("Heat hardens the rubber until it leaks."),
    _("Old grounds taste stale and shift the dose."),
    _("The maker's manual says %(every)s."),
    _("%(reason)s Reckoned for 1 drink a day."),
    _("%(reason)s Reckoned for %(count)s drinks a day."),
    _("%(reason)s That is too often: use softer water."),
    _("Water of %(hardness)s leaves little scale: this is the longest we would wait."),
    _("Water of %(hardness)s and 1 drink a day: about %(litres)s L until scale counts."),
    _("Water of %(hardness)s and %(count)s drinks a day: about %(litres)s L until scale counts."),
)
FIGURES = ("low", "high", "count", "hardness", "litres", "grams", "numbers")
HOLES = {
    "seal": tuple(words[0].lower() + words[1:] for words in SEALS),
    "face": tuple(words.capitalize() for words in FACES),
    "zone": ZONES,
    "kind": MARK_KINDS,
    "shows": SHOWS,
}
EVERY = (
    *KINDS,
    *SEALS,
    *TITLES,
    *SEEN,
    *LIMITS,
    *UNITS,
    *NOT_POSSIBLE,
    *EDITIONS,
    *NOTES,
    *DONE,
    *MARKS,
    *BUTTONS,
    *CHART,
    *SPANS,
    *TASKS,
    *REASONS,
)
