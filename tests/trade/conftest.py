"""Property tests are judged by what they find, not by how busy the machine is: no time limit for an example."""

from hypothesis import settings

settings.register_profile("no_deadline", deadline=None)
settings.load_profile("no_deadline")
