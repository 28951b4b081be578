"""The bench's three stations."""

from workshop.bench.facts import clean, mend, prove
from workshop.core.stations import Station

CLEAN = Station("CLEAN", "Clean and descale", "bench:clean", clean.facts, clean.unmet)
MEND = Station("MEND", "Mend and reseal", "bench:mend", mend.facts, mend.unmet)
PROVE = Station("PROVE", "Prove", "bench:prove", prove.facts, prove.unmet)
