"""Asking for quotes: what to ask, the form that is answered, and letters about what is open."""
