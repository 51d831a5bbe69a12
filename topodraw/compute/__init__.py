"""Derived facts: pure functions from a site."""
