"""Small bays for the checker's own tests."""


def disc(x, y, r):
    return {"kind": "disc", "centre": [x, y], "radius": r}


def bar(a, b, r):
    return {"kind": "bar", "from": list(a), "to": list(b), "radius": r}


def box(x, y, w, h, turn=0, corner_radius=0):
    return {"kind": "box", "centre": [x, y], "size": [w, h], "turn": turn, "corner_radius": corner_radius}


def polygon(points, holes=(), corner_radius=0):
    return {"kind": "polygon", "points": points, "holes": list(holes), "corner_radius": corner_radius}


def body(name, *shapes, depth=(0, 1)):
    return {"name": name, "fixed": False, "depth": list(depth), "shapes": list(shapes)}


def two_bodies(a, b, *, depth_a=(0, 5), depth_b=(0, 5), **more):
    """A fixed body and one that a drive shifts along x."""
    rail = {"kind": "slide", "name": "rail", "between": ["bay", "sled"], "at": [500, 500], "along": 0}
    push = {"name": "push", "unit": "mm", "from": -1, "to": 1, "home": 0, "speed": 1, "moves": [{"section": "S", "joint": "rail"}]}
    bodies = [{**body("bay", a, depth=depth_a), "fixed": True}, body("sled", b, depth=depth_b)]
    return _project(bodies, rail, push, **more)


def pivoted(fixed, moving, *, travel, **more):
    """A fixed shape and an arm that turns about the origin."""
    pin = {"kind": "pivot", "name": "pin", "between": ["bay", "arm"], "at": [0, 0]}
    turn = {
        "name": "turn",
        "unit": "deg",
        "from": travel[0],
        "to": travel[1],
        "home": 0,
        "speed": 1,
        "moves": [{"section": "S", "joint": "pin"}],
    }
    return _project([{**body("bay", fixed), "fixed": True}, body("arm", moving)], pin, turn, **more)


def _project(bodies, joint, drive, **more):
    section = {"name": "S", "bodies": bodies, "joints": [joint]}
    return {"baysweep": 1, "name": "small", "required_gap": 1, "sections": [section], "drives": [drive], **more}
