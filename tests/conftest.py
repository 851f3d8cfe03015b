"""One profile for hypothesis: no deadline, since the machine's speed is nobody's fault."""

from hypothesis import settings

settings.register_profile("platewalk", deadline=None)
settings.load_profile("platewalk")
