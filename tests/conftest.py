"""For all tests: examples that hypothesis finds may take their time, for a busy machine is not a fault of the code."""

from hypothesis import settings

settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")
