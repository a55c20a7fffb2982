"""Poses to gaps: rounded cores, signed gaps, overlap depth, reach bounds, and who is checked."""
