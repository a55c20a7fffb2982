"""Lengths and areas of paths, exact on arcs, for tests."""

import math

from core.drawing.path import Segment


def length(path):
    return sum(edge.length for run in path for edge in run.edges)


def area(path):
    """Signed: the shoelace formula over chords, and the circular segment of each arc."""
    total = 0.0
    for run in path:
        for edge in run.edges:
            (ax, ay), (bx, by) = edge.start, edge.end
            total += (ax * by - bx * ay) / 2
            if not isinstance(edge, Segment):
                total += edge.radius**2 * (edge.sweep - math.sin(edge.sweep)) / 2
    return total


def is_joined(path):
    """Whether every edge starts where the one before it ends, closed runs all round."""
    for run in path:
        pairs = zip(run.edges, (*run.edges[1:], run.edges[0]), strict=True)
        for number, (edge, after) in enumerate(pairs):
            if math.dist(edge.end, after.start) > 1e-9 and (run.closed or number < len(run.edges) - 1):
                return False
    return True
