"""The commands of `baysweep`; nothing here or below needs a display."""
