"""Draw the photographs of the example lot: python -m examples.draw_photographs [name ...].

No camera and no picture of anybody else's was used. The two machines, their plates and their
troubles are invented. The same program draws the same pictures again.
"""

from __future__ import annotations

import csv
import io
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from zlib import crc32

from examples.drawing import beside, cabinet, inside, work_space
from examples.drawing import machining_centre as mill
from examples.drawing import turning_centre as lathe
from examples.drawing.darkroom import Photograph, Point
from PIL import Image

HERE = Path(__file__).parent / "photographs"
LARGEST = 350_000  # bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """One photograph: its file, what it is filed under, and how it was taken."""

    file: str
    machine: str  # its name in the lot file; empty for the whole lot
    shot: str  # id of the shot or view
    shows: str
    paint: Callable[[Photograph], None]
    light: Point = (0.45, 0.35)
    falloff: float = 0.55
    cast: tuple[float, float, float] = (1.0, 1.0, 0.94)
    exposure: float = 1.0
    tilt: tuple[Point, ...] = ((12, 8), (1590, 14), (1584, 1192), (6, 1186))


SCENES = (
    Scene(
        file="a-01-front-W_outside.jpg",
        machine="mill",
        shot="W_outside",
        shows="the machining centre from the front: tank pulled out, oil on the floor",
        paint=mill.front,
        light=(0.3, 0.25),
        tilt=((70, 10), (1592, 46), (1570, 1150), (14, 1194)),
        cast=(1.0, 1.0, 0.9),
    ),
    Scene(
        file="a-02-cabinet-S03.jpg",
        machine="mill",
        shot="S03",
        shows="its cabinet open: grey dust on the ledges, an empty drive slot",
        paint=cabinet.cabinet,
        light=(0.5, 0.42),
        falloff=1.0,
        exposure=1.15,
        tilt=((40, 16), (1580, 4), (1596, 1188), (24, 1160)),
        cast=(1.0, 0.97, 0.88),
    ),
    Scene(
        file="a-03-ways-S06.jpg",
        machine="mill",
        shot="S06",
        shows="X ways with the cover pushed back: rust bloom, dry, a torn wiper",
        paint=inside.ways,
        light=(0.35, 0.3),
        falloff=0.9,
        exposure=1.05,
        tilt=((20, 60), (1590, 10), (1580, 1120), (30, 1190)),
        cast=(1.0, 0.98, 0.92),
    ),
    Scene(
        file="a-04-lube-S11.jpg",
        machine="mill",
        shot="S11",
        shows="way oil tank from above: milky, a can of hydraulic oil beside it",
        paint=inside.lube,
        light=(0.4, 0.4),
        falloff=0.9,
        tilt=((60, 30), (1590, 8), (1560, 1180), (10, 1150)),
        cast=(1.0, 0.97, 0.86),
    ),
    Scene(
        file="a-05-taper-S08.jpg",
        machine="mill",
        shot="S08",
        shows="spindle taper by torch light: a ring, a dark band, a bright smear",
        paint=inside.taper,
        light=(0.55, 0.6),
        falloff=1.25,
        exposure=1.2,
        tilt=((40, 40), (1560, 10), (1590, 1170), (10, 1190)),
        cast=(0.97, 1.0, 1.02),
    ),
    Scene(
        file="a-06-door-switch-S14.jpg",
        machine="mill",
        shot="S14",
        shows="door switch, door open: the key is left in and wired",
        paint=mill.door_switch,
        light=(0.6, 0.4),
        falloff=0.9,
        tilt=((10, 40), (1580, 6), (1592, 1160), (40, 1192)),
    ),
    Scene(
        file="b-07-front-W_outside.jpg",
        machine="lathe",
        shot="W_outside",
        shows="the turning centre from the front: window yellow and starred, oil at its end",
        paint=lathe.front,
        light=(0.6, 0.25),
        tilt=((10, 50), (1540, 10), (1594, 1190), (30, 1150)),
        cast=(1.0, 0.99, 0.9),
    ),
    Scene(
        file="b-08-chuck-S09.jpg",
        machine="lathe",
        shot="S09",
        shows="chuck face and jaws: rust, one odd jaw, dry slides",
        paint=work_space.chuck,
        light=(0.4, 0.42),
        falloff=1.1,
        exposure=1.15,
        tilt=((30, 30), (1570, 60), (1590, 1150), (12, 1180)),
        cast=(1.0, 0.98, 0.92),
    ),
    Scene(
        file="b-09-turret-S10.jpg",
        machine="lathe",
        shot="S10",
        shows="turret face: dented, two stations empty, dripping",
        paint=work_space.turret,
        light=(0.5, 0.4),
        falloff=1.0,
        exposure=1.15,
        tilt=((60, 10), (1590, 40), (1560, 1190), (20, 1150)),
        cast=(1.0, 0.98, 0.9),
    ),
    Scene(
        file="b-10-tank-S12.jpg",
        machine="lathe",
        shot="S12",
        shows="coolant tank from above: rust line, grey paste",
        paint=beside.tank,
        light=(0.45, 0.45),
        falloff=0.8,
        tilt=((20, 20), (1590, 30), (1580, 1170), (14, 1190)),
        cast=(1.0, 0.99, 0.88),
    ),
    Scene(
        file="b-11-hours-S16.jpg",
        machine="lathe",
        shot="S16",
        shows="hour page: 21 406 spindle hours, a battery alarm, burnt in",
        paint=lathe.hours,
        light=(0.4, 0.35),
        falloff=0.9,
        exposure=0.9,
        tilt=((10, 30), (1560, 8), (1596, 1150), (30, 1190)),
        cast=(0.97, 1.0, 0.97),
    ),
    Scene(
        file="l-12-loose-S17.jpg",
        machine="",
        shot="S17",
        shows="what goes with both on a pallet: holders, jaws, a vice, papers, a tape measure",
        paint=beside.loose,
        light=(0.45, 0.4),
        falloff=0.75,
        tilt=((90, 20), (1510, 20), (1596, 1190), (4, 1190)),
        cast=(1.0, 0.99, 0.92),
    ),
    Scene(
        file="a-13-plate-S01.jpg",
        machine="mill",
        shot="S01",
        shows="name plate of the machining centre",
        paint=mill.plate,
        tilt=((60, 60), (1560, 90), (1590, 1150), (20, 1120)),
        cast=(1.0, 1.0, 0.93),
    ),
    Scene(
        file="b-14-plate-S01.jpg",
        machine="lathe",
        shot="S01",
        shows="name plate of the turning centre",
        paint=lathe.plate,
        light=(0.6, 0.4),
        tilt=((20, 110), (1580, 60), (1550, 1120), (60, 1150)),
        cast=(1.0, 0.98, 0.88),
    ),
    Scene(
        file="a-15-feet-S15.jpg",
        machine="mill",
        shot="S15",
        shows="a foot of the machining centre on a piece of wood, oil, a crack in the floor",
        paint=mill.feet,
        light=(0.5, 0.6),
        falloff=0.9,
        exposure=1.1,
        tilt=((20, 10), (1590, 40), (1570, 1190), (10, 1170)),
        cast=(1.0, 0.97, 0.86),
    ),
)


def draw(scene: Scene) -> Image.Image:
    """Take one photograph."""
    photograph = Photograph(crc32(scene.file.encode()))
    scene.paint(photograph)
    return photograph.develop(
        light=scene.light,
        falloff=scene.falloff,
        cast=scene.cast,
        exposure=scene.exposure,
        tilt=scene.tilt,
    )


def pack(picture: Image.Image) -> bytes:
    """The picture as a JPEG file, as good as its size allows."""
    out = io.BytesIO()
    for quality in range(84, 40, -4):
        out = io.BytesIO()
        picture.save(out, "JPEG", quality=quality, optimize=True)
        if out.tell() < LARGEST:
            break
    return out.getvalue()


def main(names: list[str]) -> None:
    """Draw the scenes named, or all, and write the index."""
    for scene in SCENES:
        if not names or any(name in scene.file for name in names):
            (HERE / scene.file).write_bytes(pack(draw(scene)))
            print(scene.file)
    with (HERE / "index.csv").open("w", encoding="utf-8", newline="") as file:
        rows = csv.writer(file, lineterminator="\n")
        rows.writerow(("file", "machine", "shot", "shows"))
        rows.writerows((scene.file, scene.machine, scene.shot, scene.shows) for scene in SCENES)


if __name__ == "__main__":
    main(sys.argv[1:])
