"""What do hubs, rods, screws and washers look like? Small bodies about the origin. Sizes: common practice, no source."""

from core.model.project import Body
from core.model.shapes import Bore, Disc, Shape
from core.stores.marked import FILAMENT, typical
from core.stores.push_pull import RodEnd, rod_body


def hub(*, radius: float, bore: float, thickness: float, name: str = "hub") -> Body:
    """A round hub that turns on a pin: free inside `bore` mm in radius, `radius` outside. ValueError where no wall is left."""
    if not 0 < bore < radius:
        raise ValueError("the bore of a hub must be smaller than the hub")
    return typical(name, (Bore(centre=(0.0, 0.0), radius=bore, wall=radius - bore),), (0.0, thickness), tolerance=FILAMENT)


def screw(*, thread: float, head: float, head_height: float, length: float, name: str = "screw") -> Body:
    """A screw seen along its axis, head up: diameters and lengths in mm, the thread from depth 0 to `length`."""
    shapes: tuple[Shape, ...] = (
        Disc(centre=(0.0, 0.0), radius=thread / 2, depth=(0.0, length)),
        Disc(centre=(0.0, 0.0), radius=head / 2, depth=(length, length + head_height)),
    )
    return typical(name, shapes, (0.0, length + head_height))


def washer(*, outside: float, inside: float, thickness: float, name: str = "washer") -> Body:
    """A washer: diameters in mm. ValueError where no material is left."""
    if not 0 < inside < outside:
        raise ValueError("the hole of a washer must be smaller than the washer")
    ring = Bore(centre=(0.0, 0.0), radius=inside / 2, wall=(outside - inside) / 2)
    return typical(name, (ring,), (0.0, thickness))


def rod(*, length: float, wire: float, ends: RodEnd = "plain", name: str = "rod") -> Body:
    """A rod to the right of the origin, `length` mm from pin to pin, of diameter `wire`."""
    return rod_body(name, (0.0, 0.0), (length, 0.0), radius=wire / 2, depth=(0.0, wire), ends=(ends, ends))
