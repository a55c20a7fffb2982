"""The plain page that `baysweep check` prints."""
