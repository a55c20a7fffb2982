"""An independent checker: poses, gaps and breaches of a project file, found by sampling full outlines.

It shares nothing with the program but the file format and its stated meaning, so that the program's proofs can be held
against it. It reads the JSON itself, poses bodies by plain trigonometry (closed loops by least squares, continued from the
drawn pose), builds the whole outline of every shape with straight chords and asks shapely for distances.

What it covers of the meaning of a project:

- six shapes with corner radii and holes; bore and frame as rooms when a shape is drawn inside, filled when it is drawn
  outside, as a wall when it is drawn across; depth bands by shape, passing over;
- signed gaps: overlap depth as the shortest translation that separates two shapes, convex or not;
- required gaps by rule and rank, outline tolerances, pairs left out and why, knuckles and relief, running fits;
- still pairs as drawn; combinations that `allowed_together` leaves out;
- pivots, slides, bolted bodies, pins in slots, ratios, carried drives, closed loops.

What it does not: play, stops and pulses, mobility, and proof: what it finds is there, what it does not find may be there all
the same. Where a rule is silent it decides as told in the docstrings of `bay.py`.
"""

from tests.checker.bay import Bay, Gap, Interval, Pair, Seen, Unchecked, load

__all__ = ["Bay", "Gap", "Interval", "Pair", "Seen", "Unchecked", "load"]
