"""Tools that are taken in hand and draw on the board: by clicks, by numbers typed on the way, or both."""
