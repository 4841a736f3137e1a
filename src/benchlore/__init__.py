"""Offline search over a workshop's own case notes and symptom articles."""

__version__ = "0.1.0"
