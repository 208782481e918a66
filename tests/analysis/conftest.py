"""Settings of the property tests."""

from hypothesis import settings

# A busy machine must not turn a slow example into a failure.
settings.register_profile("patient", deadline=None)
settings.load_profile("patient")
