"""The project at hand: its file, its history, what is proved of it, and the pose, pair and drive the user works with."""
