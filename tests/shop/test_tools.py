"""The shapes of the packaged crib: what the planner and the removal check rely on."""

from __future__ import annotations

import math

import pytest
import shapely

from dxf2turn.shop.load import load_shop
from dxf2turn.shop.model import Tool

SHOP = load_shop(None)
MIRROR = {"right": 1.0, "left": -1.0, "neutral": 1.0}
INSIDE = ("boring", "inside grooving", "inside threading")
TURNING = SHOP.tools_of("turning")
BARS = SHOP.tools_of(*INSIDE)


def named(tool: Tool) -> str:
    return tool.id


def polygon(points: tuple) -> shapely.Polygon:
    return shapely.Polygon(points)


def test_crib_has_all_kinds() -> None:
    """Every kind of tool that a plan may use is in the packaged crib, in both hands where that matters."""
    kinds = {tool.kind for tool in SHOP.tools}
    assert kinds >= {
        "turning", "grooving", "parting", "face grooving", "threading", "boring", "inside grooving",
        "inside threading", "centre drill", "drill", "flat drill", "reamer", "tap", "knurl",
    }  # fmt: skip
    for kind in ("turning", "grooving", "threading"):
        assert {tool.hand for tool in SHOP.tools_of(kind)} >= {"right", "left"}
    assert {tool.insert[0] for tool in TURNING} == set("CDRSTVW")


@pytest.mark.parametrize("tool", SHOP.tools, ids=named)
def test_outline_and_holder_are_proper_polygons(tool: Tool) -> None:
    """Outline and holder are simple and counter-clockwise; all but centre drills are convex."""
    outline = polygon(tool.outline)
    assert outline.is_valid and outline.exterior.is_ccw
    if tool.kind != "centre drill":
        assert outline.convex_hull.area - outline.area < 1e-9
    for piece in tool.holder:
        body = polygon(piece)
        assert body.is_valid and body.exterior.is_ccw
        assert body.convex_hull.area - body.area < 1e-6


@pytest.mark.parametrize("tool", SHOP.tools, ids=named)
def test_core_grown_by_the_nose_is_the_outline(tool: Tool) -> None:
    """The core grown by the nose radius contains the outline and is at most the sagitta larger."""
    if tool.nose_radius == 0.0:
        assert polygon(tool.core).equals(polygon(tool.outline))
        return
    core = shapely.MultiPoint(tool.core).convex_hull
    grown = core.buffer(tool.nose_radius, quad_segs=512)
    assert polygon(tool.outline).hausdorff_distance(grown) < 0.0035
    assert polygon(tool.outline).difference(grown.buffer(1e-4)).is_empty
    assert tool.nose_centre in tool.core


@pytest.mark.parametrize("tool", TURNING, ids=named)
def test_turning_nose_touches_the_imaginary_tip(tool: Tool) -> None:
    """The nose circle touches z 0 and r 0: its centre is (r, r), mirrored for a left-hand tool."""
    way = MIRROR[tool.hand]
    assert tool.nose_centre.x * way == pytest.approx(tool.nose_radius)
    assert tool.nose_centre.y == pytest.approx(tool.nose_radius)
    assert polygon(tool.outline).bounds[1] == 0.0


@pytest.mark.parametrize(
    "tool", [t for t in TURNING if t.hand != "neutral" and (t.cutting_edge_angle or 0) >= 1.57], ids=named
)
def test_square_shoulder_is_free_of_the_holder(tool: Tool) -> None:
    """With kappa of 90 degrees or more nothing stands out beyond the tip: a square shoulder is free."""
    way = MIRROR[tool.hand]
    for piece in (tool.outline, *tool.holder):
        assert min(point.x * way for point in piece) >= 0.0


@pytest.mark.parametrize("tool", TURNING, ids=named)
def test_holder_stays_behind_both_edges(tool: Tool) -> None:
    """The head does not stick out beyond the main edge line and the trailing edge line."""
    if tool.corner_angle is None or tool.cutting_edge_angle is None:
        return
    way = MIRROR[tool.hand]
    main = math.pi - tool.cutting_edge_angle
    for angle, side in ((main, 1.0), (main - tool.corner_angle, -1.0)):
        # Outward normal of the edge; every holder corner lies behind the line that touches the nose.
        out = (-math.sin(angle) * side, math.cos(angle) * side)
        for piece in tool.holder[:1]:
            for point in piece:
                z, r = point.x * way - tool.nose_radius, point.y - tool.nose_radius
                assert z * out[0] + r * out[1] <= tool.nose_radius + 1e-9


@pytest.mark.parametrize("tool", SHOP.tools_of("grooving", "parting"), ids=named)
def test_blade_covers_its_width_from_the_left_corner(tool: Tool) -> None:
    """The controlled point is the left corner; support and block leave the walls of the groove alone."""
    low_z, low_r, high_z, _ = polygon(tool.outline).bounds
    assert (low_z, low_r) == (0.0, 0.0)
    assert high_z == pytest.approx(tool.width)
    assert tool.controlled == "left corner"
    down = [piece for piece in tool.holder if min(p.y for p in piece) < (tool.reach or 0.0)]
    for piece in down:
        assert min(p.x for p in piece) > 0.0 and max(p.x for p in piece) < (tool.width or 0.0)
    block = [piece for piece in tool.holder if piece not in down]
    assert min(p.y for piece in block for p in piece) > (tool.reach or 0.0)


def test_parting_blades_part_sixty_millimetres() -> None:
    """Some parting blade reaches the axis of a 60 mm bar; no blade is longer than 8 widths (S39)."""
    blades = SHOP.tools_of("parting")
    assert max(blade.reach or 0.0 for blade in blades) >= 30.0
    assert all((blade.reach or 0.0) <= 8.0 * (blade.width or 0.0) for blade in blades)


@pytest.mark.parametrize("tool", BARS, ids=named)
def test_bar_fits_its_least_bore(tool: Tool) -> None:
    """With the tip on the wall of the least bore, cutting part and bar stay inside that bore."""
    radius = 0.5 * (tool.least_bore_mm or 0.0)
    inside = [p for piece in (tool.outline, tool.holder[0]) for p in piece]
    for point in inside:
        assert abs(radius + point.y) <= radius + 1e-9


@pytest.mark.parametrize("tool", SHOP.tools_of("boring"), ids=named)
def test_boring_tip_is_outermost(tool: Tool) -> None:
    """A boring bar cuts outwards: its imaginary tip is its largest radius, the bar goes towards +z."""
    assert max(p.y for piece in (tool.outline, tool.holder[0]) for p in piece) == 0.0
    assert tool.nose_centre.y == pytest.approx(-tool.nose_radius)
    assert max(p.x for p in tool.holder[0]) == pytest.approx(tool.overhang)


@pytest.mark.parametrize("tool", SHOP.tools_of("threading", "inside threading"), ids=named)
def test_tooth_flanks_stand_at_half_the_form_angle(tool: Tool) -> None:
    """The tooth has its tip at (0, 0) and flanks at half the form angle, so its groove at depth h is as wide
    as the form says."""
    outline = polygon(tool.outline)
    way = -1.0 if tool.kind == "inside threading" else 1.0
    half = 0.5 * (tool.form_angle or 0.0)
    bounds = outline.bounds
    assert (bounds[1] if way > 0 else bounds[3]) == pytest.approx(0.0, abs=1e-9)
    # The theoretical sharp corner of a rounded tip lies r (1 / sin(half) - 1) beyond the tip.
    beyond = 0.0 if tool.tip_flat else tool.nose_radius * (1.0 / math.sin(half) - 1.0)
    height = 0.3 * (tool.pitch_range or (0.0, 0.0))[0]
    height = max(height, 1.5 * tool.nose_radius)
    line = shapely.LineString([(-50, way * height), (50, way * height)])
    width = outline.intersection(line).length
    assert width == pytest.approx(tool.tip_flat + 2.0 * (height + beyond) * math.tan(half), abs=1e-6)


# Root radius of the ISO metric external profile: H/6 = 0.144338 P (memory); least P/8 (TS02 p. 1794).
@pytest.mark.parametrize(
    "tool",
    [t for t in SHOP.tools_of("threading") if t.thread_profile in ("M", "UN")],
    ids=named,
)
def test_full_profile_root_radius_is_allowed(tool: Tool) -> None:
    """The nose is not below the least root radius P/8 and not above H/6, to the micrometre."""
    pitch = (tool.pitch_range or (0.0, 0.0))[0]
    assert pitch / 8.0 <= tool.nose_radius <= 0.144338 * pitch + 0.001


@pytest.mark.parametrize(
    ("name", "flat"),
    # Root flat of the Acme external thread, inch: published, TS02 p. 1828 (read in the table of Acme sizes).
    [("ER ACME 16 tpi", 0.0206), ("ER ACME 12 tpi", 0.0283), ("ER ACME 10 tpi", 0.0319)],
)
def test_acme_tip_flat_is_the_published_root_flat(name: str, flat: float) -> None:
    """The tip of an Acme tool is as wide as the root of the thread."""
    tool = next(t for t in SHOP.tools if t.id == name)
    assert tool.tip_flat / 25.4 == pytest.approx(flat, abs=1.1e-4)


@pytest.mark.parametrize("tool", SHOP.tools_of("drill"), ids=named)
def test_drill_point_has_the_published_length(tool: Tool) -> None:
    """Point length = D/2 / tan(59 deg) = 0.3004 D (relation S51; drill-tip row: 3.004 mm for 10 mm)."""
    assert tool.point_length == pytest.approx(0.3004 * (tool.diameter_mm or 0.0), abs=2e-3)
    low_z, low_r, _, high_r = polygon(tool.outline).bounds
    assert low_z == 0.0
    assert (low_r, high_r) == pytest.approx((-(tool.diameter_mm or 0) / 2, (tool.diameter_mm or 0) / 2))


def test_drills_have_the_tap_sizes() -> None:
    """The core drills of the common coarse threads are there (ISO 2306 sizes, from memory)."""
    sizes = {tool.diameter_mm for tool in SHOP.tools_of("drill")}
    assert {2.5, 3.3, 4.2, 5.0, 6.8, 8.5, 10.2, 12.0, 14.0, 15.5, 17.5} <= sizes


def test_ids_are_unique() -> None:
    """No two tools share an id."""
    ids = [tool.id for tool in SHOP.tools]
    assert len(ids) == len(set(ids))
