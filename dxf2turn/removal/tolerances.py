"""The tolerances of the removal check, each with its reason. All lengths mm, areas mm2.

Two flattenings stand behind them: circular moves and the target contour lie within `SAGITTA` of the true arc,
nose arcs within `NOSE_SAGITTA` of theirs. The outlines in the plan document are coarser (0.002 mm inside).
"""

from __future__ import annotations

# Chords of circular moves and of the target. Small against every tolerance below, so that a perfect
# plan is never blamed for the check's own flattening; smaller still would only cost time.
SAGITTA = 0.0005

# Chords of nose arcs: what is cut by them must not eat into what the moves may err.
NOSE_SAGITTA = 0.0001

# A cut into the part is a gouge when it is deeper than this. Twice what the two flattenings (move and
# target) can add up to, and a third of IT5 at 10 mm (6 micrometres, data/iso286_it.csv).
GOUGE = 0.002

# A rapid, a holder or a tool near the jaws is a contact when it goes deeper than this into what it must
# not touch. Sliding on a finished surface is no contact; the shape is shrunk by it before it is swept.
TOUCH = 0.002

# Material left beside the part, measured as distance from it (contract of the job: at most 0.01 mm).
LEFT = 0.01

# Left-over thinner than this is the flattening of somebody's arcs (the planner's path may follow the outline,
# 0.002 mm inside the true nose) and is not drawn or measured.
LEFT_NOISE = 0.0025

# Loose material that is nowhere thicker than this falls off as chips: it is below what the outlines
# resolve. Thicker loose pieces are named.
CHIP = 0.05

# The stock a setup states against what the setup before left, as distance between the two.
STOCK = 0.01

# A centre's cone and the wall of its hole are one surface when they lie this close; an edge in place of a
# cone would touch over some hundredths only, a proper seat over this length at least (judgement).
SEAT = 0.01
SEAT_LENGTH = 0.3

# A steady's pads lie on the work over this share of their width (judgement; the rest are edge breaks).
PADS_SHARE = 0.95

# The jaws lie on the work over this share of the length that the setup states (judgement; the rest are edge
# breaks).
GRIP_SHARE = 0.9

# Overlaps smaller than this are rounding of the polygon library (coordinates carry 1e-12 mm).
AREA_NOISE = 1e-8

# The start and the end of a step against the tool-change point; also both radii of a circular move
# (the usual reading of a program in 0.001 mm makes no finer statement).
PLACE = 0.002

# A thread groove may be this much deeper than the root, or shallower: 0.02 on the diameter, under a third
# of the pitch diameter's tolerance for 0.5 mm pitch, grade 6 (data/thread_iso_tolerances.csv).
THREAD_DEPTH = 0.01

# Room along z before and behind a thread zone for the flanks of the tool, as a share of the pitch: the
# groove of the basic profile is 7/8 pitch wide at its mouth (crest flat P/8, ISO 68-1, from memory), half of
# it 0.44; flank infeed and rounded crests take the rest.
THREAD_FLANK_SHARE = 0.6

# Length before a shoulder that a plan may say stays without full thread, as a share of the pitch: half the
# tool and its pull-out need about 1.5; without a relief about 3 are usual (common practice, no source).
THREAD_SHORT_SHARE = 3.0

# Depth that a knurling wheel may press into the surface, as a share of its pitch (90 degree teeth).
KNURL_SHARE = 0.5

# Depths are measured at points along an edge that are this far apart, or as many as that on a long edge.
EDGE_SPACING = 0.02
EDGE_POINTS = 4000.0

# A holder on both sides of the axis that moves across it is followed in steps of this length, mm: the
# cutting part is at most that far ahead of the place where the holder is looked at.
CREEP = 0.1

LEAD = 1e-4  # mm: of a thread move, against pitch times starts; coordinates in a document are as fine
START_SHARE = 0.1  # pitches: starts closer to each other than this are one
