"""The interference timeline and its gap curve."""
