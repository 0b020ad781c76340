"""A hand-made job for the renderers: a small stepped shaft with a thread, its relief and a fillet.

    r 15 |            ________        front = right, Z 0
    r 12 |           (fillet R2)
    r 10 | back      ------------groove--thread--\\ chamfer

Values are chosen by hand; nothing here comes from the stages, so a renderer is tested alone.
"""

from __future__ import annotations

import hashlib
import math
from dataclasses import replace

from dxf2turn.cleaning.model import CleanDrawing, UnitDecision
from dxf2turn.contour.model import Contour, Frame, Profile
from dxf2turn.features.model import (
    Chamfer,
    Cylinder,
    Face,
    Fillet,
    Groove,
    Limits,
    Thread,
    TurnedPart,
)
from dxf2turn.findings import Finding, Location, Repair, Severity
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Line, Segment
from dxf2turn.job import Job
from dxf2turn.planning.model import (
    Measurement,
    Move,
    MoveKind,
    Plan,
    Setup,
    Spindle,
    Step,
    Times,
)
from dxf2turn.reading.model import Drawing, Header
from dxf2turn.removal.model import Removal
from dxf2turn.shop.model import Machine, Material, Tool
from dxf2turn.units import Unit

LENGTH = 50.0
DATA = b"0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n"


def _p(z: float, r: float) -> Point:
    return Point(z, r)


SEGMENTS: tuple[Segment, ...] = (
    Line(_p(0, 0), _p(0, 8.5)),  # 0 front face
    Line(_p(0, 8.5), _p(-1.5, 10)),  # 1 chamfer
    Line(_p(-1.5, 10), _p(-18, 10)),  # 2 thread crest
    Line(_p(-18, 10), _p(-18, 8.5)),  # 3 relief, front wall
    Line(_p(-18, 8.5), _p(-22, 8.5)),  # 4 relief, floor
    Line(_p(-22, 8.5), _p(-22, 10)),  # 5 relief, back wall
    Line(_p(-22, 10), _p(-33, 10)),  # 6 seat
    Arc(_p(-33, 10), _p(-35, 12), _p(-33, 12), True),  # 7 fillet R2
    Line(_p(-35, 12), _p(-35, 15)),  # 8 shoulder
    Line(_p(-35, 15), _p(-50, 15)),  # 9 collar
    Line(_p(-50, 15), _p(-50, 0)),  # 10 back face
    Line(_p(-50, 0), _p(0, 0)),  # 11 axis
)
ROLES = ("front",) + ("outside",) * 9 + ("back", "axis")
PROFILE = Profile(SEGMENTS, ROLES)

FEATURES = (
    Face(id="F1", side="face", z_front=0, z_back=0, r_small=0, r_large=8.5, segments=(0,)),
    Chamfer(
        id="F2",
        side="outside",
        z_front=0,
        z_back=-1.5,
        r_small=8.5,
        r_large=10,
        segments=(1,),
        axial=1.5,
        radial=1.5,
        angle=math.pi / 4,
    ),
    Cylinder(
        id="F3", side="outside", z_front=-1.5, z_back=-18, r_small=10, r_large=10, segments=(2,), radius=10
    ),
    Thread(
        id="F4",
        side="outside",
        z_front=-1.5,
        z_back=-18,
        r_small=9.08,
        r_large=10,
        segments=(2,),
        designation="M20x1.5",
        family="M",
        major_diameter_mm=20,
        minor_diameter_mm=18.16,
        pitch_diameter_mm=19.026,
        pitch=1.5,
        form_angle=math.pi / 3,
        thread_class="6g",
        source="text",
        standard="ISO 261",
        cut_from_mm=19.85,
        cut_to_mm=18.05,
        relief="F5",
        start_chamfer="F2",
    ),
    Groove(
        id="F5",
        side="outside",
        z_front=-18,
        z_back=-22,
        r_small=8.5,
        r_large=10,
        segments=(3, 4, 5),
        width=4,
        depth=1.5,
        floor_radius=8.5,
        form="square",
        purpose="thread relief",
        standard="DIN 76",
    ),
    Cylinder(
        id="F6", side="outside", z_front=-22, z_back=-33, r_small=10, r_large=10, segments=(6,), radius=10
    ),
    Fillet(id="F7", side="outside", z_front=-33, z_back=-35, r_small=10, r_large=12, segments=(7,), radius=2),
    Face(id="F8", side="outside", z_front=-35, z_back=-35, r_small=12, r_large=15, segments=(8,)),
    Cylinder(
        id="F9", side="outside", z_front=-35, z_back=-50, r_small=15, r_large=15, segments=(9,), radius=15
    ),
    Face(id="F10", side="end", z_front=-50, z_back=-50, r_small=0, r_large=15, segments=(10,)),
)

SEAT_LIMITS = Limits(
    what="diameter",
    nominal=20,
    upper=0,
    lower=-0.013,
    z_front=-22,
    z_back=-33,
    r=10,
    text="20 h6",
    grade=6,
    source="h6, ISO 286-2, copied",
    handle="3C",
)

FINDINGS = (
    Finding(
        "checks/slenderness",
        Severity.NOTE,
        "length is 2.5 times the diameter",
        where=Location(z=-25.0, r=10.0),
        measured=2.5,
        limit=3.0,
        unit="ratio",
        source="common practice",
    ),
    Finding(
        "features/thread-chamfer",
        Severity.FIX,
        "the chamfer at the thread's start is small",
        hint="make it at least as deep as the thread",
        where=Location(drawing_xy=Point(100.0, 58.5), z=0.0, r=8.5, handles=("2F",), layer="OUTLINE"),
        measured=1.5,
        limit=2.0,
        source="common practice",
    ),
)

TURNING = Tool(
    id="T1",
    kind="turning",
    insert="CNMG120408",
    holder_style="L",
    nose_radius=0.8,
    nose_centre=Point(0.8, 0.8),
    core=(Point(0.8, 0.8), Point(11.0, 1.7), Point(11.9, 11.9), Point(1.7, 11.0)),
    outline=(Point(0.8, 0.0), Point(11.9, 1.0), Point(12.9, 12.9), Point(0.0, 0.9), Point(0.2, 0.3)),
    holder=((Point(4, 4), Point(24, 4), Point(24, 60), Point(4, 60)),),
    cutting_edge_angle=math.radians(95),
    corner_angle=math.radians(80),
    direction="M04",
    max_depth=4.0,
)
GROOVING = Tool(
    id="T2",
    kind="grooving",
    insert="GX 3 mm",
    holder_style=None,
    nose_radius=0.2,
    nose_centre=Point(0.2, 0.2),
    core=(Point(0.2, 0.2), Point(2.8, 0.2), Point(2.8, 12.0), Point(0.2, 12.0)),
    outline=(
        Point(0, 0.2),
        Point(0.2, 0.0),
        Point(2.8, 0.0),
        Point(3.0, 0.2),
        Point(3.0, 12.0),
        Point(0.0, 12.0),
    ),
    width=3.0,
    controlled="left corner",
    reach=10.0,
    note="blade 3 mm",
)
THREADING = Tool(
    id="T3",
    kind="threading",
    insert="60 degrees, 1.5",
    holder_style=None,
    nose_radius=0.0,
    nose_centre=Point(0, 0),
    core=(Point(0, 0), Point(2, 3.464), Point(-2, 3.464)),
    outline=(Point(0, 0), Point(2, 3.464), Point(-2, 3.464)),
    controlled="tip",
    form_angle=math.pi / 3,
)
PARTING = replace(GROOVING, id="T4", kind="parting", insert="parting blade 3 mm", reach=20.0, note="")

MACHINE = Machine(
    name="toolroom lathe",
    power_kw=5.5,
    efficiency=0.8,
    min_rpm=40,
    max_rpm=2500,
    torque_points=((40, 300), (2500, 20)),
    rapid_z_mm_per_min=6000,
    rapid_x_mm_per_min=4000,
    feed_max_mm_per_min=3000,
    thread_rate_max_mm_per_min=3000,
    acceleration_mm_per_s2=1000,
    max_swing_mm=300,
    max_length_mm=600,
    spindle_bore_mm=42,
    jaw_length=25,
    jaw_height=30,
    tool_change_s=20,
    stations=4,
)
STEEL = Material(
    name="C45",
    group="P",
    description="medium carbon steel",
    kc11=2200,
    mc=0.22,
    density=7850,
    youngs_modulus=210000,
    speed_class="P2",
)
HOME = Point(40.0, 60.0)
SPEED = Spindle(mode="surface speed", value=180.0, limit_rpm=2500.0, direction="M04")
SLOW = Spindle(mode="rpm", value=600.0, limit_rpm=2500.0, direction="M04")


def rapid(z: float, r: float) -> Move:
    return Move(MoveKind.RAPID, z, r)


def feed(z: float, r: float, per_rev: float = 0.2) -> Move:
    return Move(MoveKind.FEED, z, r, feed=per_rev)


STEPS = (
    Step(
        no=10,
        operation="face",
        tool=TURNING,
        side="face",
        spindle=SPEED,
        feed=0.2,
        depth=1.0,
        passes=1,
        features=("F1",),
        why="gives the datum Z 0",
        cut_time_s=8.5,
        rapid_time_s=1.2,
        moves=(rapid(40, 60), rapid(0, 19), feed(0, -0.8), rapid(2, -0.8), rapid(2, 60), rapid(40, 60)),
    ),
    Step(
        no=20,
        operation="finish turn",
        tool=TURNING,
        side="outside",
        spindle=SPEED,
        feed=0.12,
        depth=0.4,
        passes=1,
        features=("F2", "F3", "F6", "F7", "F8", "F9"),
        why="one cut along the contour",
        cut_time_s=21.25,
        rapid_time_s=1.5,
        moves=(
            rapid(40, 60),
            rapid(2, 6),
            feed(-1.5, 10, 0.12),
            feed(-33.8, 10, 0.12),
            Move(MoveKind.ARC, -35, 11.2, feed=0.12, centre=Point(-33.8, 11.2), clockwise=True),
            feed(-35, 15, 0.12),
            feed(-52, 15, 0.12),
            rapid(-52, 60),
            rapid(40, 60),
        ),
    ),
    Step(
        no=30,
        operation="groove",
        tool=GROOVING,
        side="outside",
        spindle=SLOW,
        feed=0.08,
        depth=1.5,
        passes=2,
        features=("F5",),
        why="relief before the thread",
        cut_time_s=5.0,
        rapid_time_s=1.5,
        moves=(
            rapid(40, 60),
            rapid(-21, 60),
            rapid(-21, 11),
            feed(-21, 8.5, 0.08),
            rapid(-21, 11),
            rapid(-22, 11),
            feed(-22, 8.5, 0.08),
            rapid(-22, 11),
            rapid(-22, 60),
            rapid(40, 60),
        ),
    ),
    Step(
        no=40,
        operation="thread",
        tool=THREADING,
        side="outside",
        spindle=SLOW,
        feed=1.5,
        depth=0.9,
        passes=2,
        features=("F4",),
        why="M20x1.5, class 6g",
        cut_time_s=4.0,
        rapid_time_s=2.0,
        moves=(
            rapid(40, 60),
            rapid(4.5, 11),
            rapid(4.5, 9.5),
            Move(MoveKind.THREAD, -20, 9.5, lead=1.5),
            rapid(-20, 11),
            rapid(4.5, 11),
            rapid(4.5, 9.025),
            Move(MoveKind.THREAD, -20, 9.025, lead=1.5),
            rapid(-20, 11),
            rapid(-20, 60),
            rapid(40, 60),
        ),
    ),
    Step(
        no=50,
        operation="measure",
        tool=None,
        side="outside",
        spindle=None,
        feed=0,
        depth=0,
        passes=0,
        features=("F6",),
        why="the seat is IT6: measure before the part comes off",
    ),
    Step(
        no=60,
        operation="part off",
        tool=PARTING,
        side="end",
        spindle=SLOW,
        feed=0.06,
        depth=15.0,
        passes=1,
        features=("F10",),
        why="cut to length",
        cut_time_s=15.0,
        rapid_time_s=1.5,
        moves=(
            rapid(40, 60),
            rapid(-53, 60),
            rapid(-53, 18),
            feed(-53, -0.1, 0.06),
            rapid(-53, 60),
            rapid(40, 60),
        ),
    ),
)

STOCK: tuple[Segment, ...] = (
    Line(_p(1, 0), _p(1, 17.5)),
    Line(_p(1, 17.5), _p(-90, 17.5)),
    Line(_p(-90, 17.5), _p(-90, 0)),
    Line(_p(-90, 0), _p(1, 0)),
)
JAWS = ((Point(-60, 17.5), Point(-60, 47.5), Point(-85, 47.5), Point(-85, 17.5)),)

SETUP = Setup(
    no=1,
    flipped=False,
    stock=STOCK,
    jaws=JAWS,
    support="none",
    tool_change=HOME,
    steps=STEPS,
    grip="three-jaw chuck on the bar",
    grip_length=25.0,
    grip_radius=17.5,
)
PLAN = Plan(
    machine=MACHINE,
    material=STEEL,
    stock_text="round bar 35 mm, 91 mm out",
    setups=(SETUP,),
    times=Times(cut_s=53.75, rapid_s=7.7, tool_change_s=80.0, total_s=141.45, bound_s=50.0),
    measuring=(
        Measurement(
            what="diameter, seat at Z -22 to -33",
            nominal=20.0,
            lower=19.987,
            upper=20.0,
            target=19.9935,
            step=20,
            correct="T1 X: minus when too large",
        ),
    ),
    alternatives=(("two setups", 300.0),),
)

_LEFT = ((Point(-50, 0), Point(0, 0), Point(0, 17.5), Point(-50, 17.5), Point(-50, 0)),)
REMOVAL = Removal(
    gouge_mm3=0.0,
    max_gouge=0.0,
    left_mm3=0.01,
    max_left=0.002,
    rapid_contacts=0,
    holder_contacts=0,
    jaw_contacts=0,
    ok=True,
    after=tuple((1, step.no, (_LEFT,)) for step in STEPS),
)


def drawing(name: str = "stepped <shaft>.dxf", data: bytes = DATA) -> Drawing:
    """A drawing that holds nothing but its bytes."""
    return Drawing(
        file=name,
        sha256=hashlib.sha256(data).hexdigest(),
        data=data,
        header=Header("AC1027", insunits=4),
        repairs=(
            Repair("cleaning/gap", "joined a gap", moved=0.003, handles=("2F", "31"), at=Point(110, 60)),
        ),
    )


def job(unit: Unit = Unit.MM, source: Drawing | None = None) -> Job:
    """The whole job, planned and checked, of a drawing in `unit`."""
    source = source or drawing()
    frame = Frame(Point(100.0, 50.0), (1.0, 0.0), (0.0, 1.0), unit.mm)
    part = TurnedPart(
        profile=PROFILE,
        target=PROFILE,
        features=FEATURES,
        limits=(SEAT_LIMITS,),
        material_note="C45",
        findings=FINDINGS,
    )
    return Job(
        drawing=source,
        clean=CleanDrawing(source, UnitDecision(unit, "header", unit.mm, 1.0, "the header says so"), (), ()),
        contour=Contour(frame, PROFILE, "half"),
        part=part,
        plan=PLAN,
        removal=REMOVAL,
    )
