"""The loop one would write by hand with a general geometry library: pose every body, measure every pair, step by step."""

import math

import coal
import numpy as np
import shapely
from shapely import affinity

from core.model.outline import outline_of_box
from core.model.project import Project
from core.model.shapes import Bar, Bore, Box, Disc, Polygon, Shape
from core.motion.linkage import linkage_of
from core.motion.pose import poses
from tests.bench.ring_bay import SECTION


def outlines(project: Project) -> list[tuple[int, shapely.Geometry]]:
    """Each body's group and full outline; curves as the library's buffer makes them by itself (64 sides a circle)."""
    section, linkage = project.sections[0], linkage_of(project).section(SECTION)
    return [(linkage.group_of(body.name), shapely.union_all([_outline(shape) for shape in body.shapes])) for body in section.bodies]


def _outline(shape: Shape) -> shapely.Geometry:
    match shape:
        case Disc():
            return shapely.Point(shape.centre).buffer(shape.radius)
        case Bar():
            return shapely.LineString([shape.start, shape.end]).buffer(shape.radius)
        case Box():
            inner = (shape.size[0] - 2 * shape.corner_radius, shape.size[1] - 2 * shape.corner_radius)
            return shapely.Polygon(outline_of_box(centre=shape.centre, size=inner, turn=shape.turn)).buffer(shape.corner_radius)
        case Bore():
            centre = shapely.Point(shape.centre)
            return centre.buffer(shape.radius + shape.wall).difference(centre.buffer(shape.radius))
        case Polygon():
            return shapely.Polygon(shape.points)
    raise TypeError(shape)


def positions(project: Project, step: float) -> np.ndarray:
    """Every drive through its travel by itself, the others at home: (n, D)."""
    home = [drive.home for drive in project.drives]
    rows = [
        [*home[:index], float(value), *home[index + 1 :]]
        for index, drive in enumerate(project.drives)
        for value in np.arange(drive.start, drive.end + step / 2, step)
    ]
    return np.array(rows)


def scripted_loop(project: Project, values: np.ndarray) -> tuple[float, int]:
    """The least distance met, and how many pose-pairs were measured: shapely.affinity and .distance, pose by pose."""
    linkage = linkage_of(project)
    posed = poses(linkage.section(SECTION), linkage, values)
    bodies = outlines(project)
    least, measured = math.inf, 0
    for row in range(len(values)):
        placed = []
        for group, outline in bodies:
            turned = affinity.rotate(outline, float(posed.turn[row, group]), origin=(0, 0), use_radians=True)
            shift = posed.shift[row, group]
            placed.append((group, affinity.translate(turned, shift.real, shift.imag)))
        for first in range(len(placed)):
            for second in range(first):
                if placed[first][0] != placed[second][0]:
                    least = min(least, placed[first][1].distance(placed[second][1]))
                    measured += 1
    return least, measured


def coal_loop(boxes: list[tuple[float, float]], turns: np.ndarray) -> float:
    """Signed gaps of pairs of boxes (long prisms) 30 mm apart, turned pose by pose, with coal's own loop; the least one."""
    request, least = coal.DistanceRequest(), math.inf
    shapes = [coal.Box(width, height, 1000.0) for width, height in boxes]
    still = coal.Transform3s(np.eye(3), np.zeros(3))
    for turn in turns:
        spin = np.array([[math.cos(turn), -math.sin(turn), 0.0], [math.sin(turn), math.cos(turn), 0.0], [0.0, 0.0, 1.0]])
        placed = coal.Transform3s(spin, np.array([30.0, 0.0, 0.0]))
        for one in shapes:
            for other in shapes:
                result = coal.DistanceResult()
                least = min(least, coal.distance(one, still, other, placed, request, result))
    return least
