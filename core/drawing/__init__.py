"""Drawings as lists of paths, hatches and texts in millimetres, for the board and for hand-over."""
