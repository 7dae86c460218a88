"""Brings the quotes for a workshop's parts to one footing and recommends a route."""

__version__ = "0.1.0"
