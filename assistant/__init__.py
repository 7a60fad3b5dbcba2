"""ligule: a local assistant for people who seed lawns."""

__version__ = "0.1.0"
