"""A log of a boat's haul-outs: what was found, done and measured, and the history printed."""

__version__ = "0.1.0"
