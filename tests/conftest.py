"""Settings that hold for all tests."""

from hypothesis import settings

# How long one example takes says more about the machine than about the code.
settings.register_profile("suite", deadline=None, print_blob=True)
settings.load_profile("suite")
