"""The pass of `one_slide.py`, compiled: force law, balance of one step, march, surface, gauging.

Lengths in m, forces in N; heights along the way into the cut, from the finished cone.
"""

import math
from collections import namedtuple

import numba
import numpy as np
from numba import njit, prange

THIN_CHIP = 0.05e-3
RUBBED = 1e-6
GAUGE_BAND = 2e-3
REACH = 6
UNDER_HALF = math.nextafter(0.5, 0.0)
# A Newton step this short is the last: its error is of the order of its square.
CLOSE = 5e-9
LOOKS = 40
# Drags by slacks of the study, as shares of the job's own.
DRAGS, SLACKS = 20, 10

fast = njit(cache=True, fastmath=False, error_model="numpy")
inlined = njit(cache=True, fastmath=False, error_model="numpy", forceinline=True)

Law = namedtuple(
    "Law",
    "force power exponent ratio edge_force radius entering feed along sin cos "
    "per_sin cot arc_top trail trail_angle mark groove powers per_thin",
)
Drive = namedtuple("Drive", "half first other")
Drag = namedtuple("Drag", "gib friction weight press side seal left")
Way = namedtuple(
    "Way", "per_turn first steps start direction step drift length trail uncut gives"
)
Tables = namedtuple("Tables", "surface hardness drag gives guide entry")
Room = namedtuple("Room", "standing edges path left ways held turns")
# What acts on the slide with the edge at one height, with slopes.
Load = namedtuple("Load", "position position_slope push push_slope limit limit_slope")


def table(value, slope, top, pieces):
    """Values and slopes over a piece at evenly spaced places from 0 on, for cubic pieces."""
    x = np.linspace(0.0, top, pieces + 1)
    with np.errstate(all="ignore"):
        return np.stack([value(x), slope(x) * top / pieces], axis=1)


def arc_over_chord(share):
    return np.where(share > 0.0, np.arcsin(np.sqrt(share)) / np.sqrt(share * (1.0 - share)), 1.0)


def arc_slope(share):
    rise = 1.0 - (1.0 - 2.0 * share) * arc_over_chord(share)
    return np.where(share > 0.0, rise / (2.0 * share * (1.0 - share)), 2.0 / 3.0)


# The two dear functions of the law as tables, as a look at the profile asks for: the angle of an
# arc over its half chord, within 1e-10, over its height by the diameter; and, for each law, the
# power of the chip thickness, within 1e-10 from CHIP_LEAST to CHIP_MOST, mm.
ARC_MOST, ARC_PIECES = 0.75, 512
ARCS = table(arc_over_chord, arc_slope, ARC_MOST, ARC_PIECES)
CHIP_LEAST, CHIP_MOST, CHIP_PIECES = 0.01, 0.3, 4096


@inlined
def cubic(nodes, place):
    i = int(place)
    t = place - i
    a, start = nodes[i, 0], nodes[i, 1]
    rise, end = nodes[i + 1, 0] - a, nodes[i + 1, 1]
    return a + t * (start + t * (3.0 * rise - 2.0 * start - end + t * (start + end - 2.0 * rise)))


@inlined
def lead_at(law, depth):
    """Along the spindle axis; the law is that of the path's axes."""
    depth *= law.cos
    if depth >= law.arc_top:
        lead = law.radius * math.sin(law.entering) + (depth - law.arc_top) * law.cot
    else:
        lead = math.sqrt(depth * (2.0 * law.radius - depth))
    return max(lead * law.cos + depth * law.sin, 0.0)


@inlined
def load_at(e, surface, turn_ago, hardness, engaged, gives, share, law, drag):
    depth = e - surface
    main = main_slope = push = push_slope = feed = feed_slope = 0.0
    if depth > 0.0:
        r = law.radius
        depth *= law.cos
        if depth >= law.arc_top:
            up = depth - law.arc_top
            lead = r * math.sin(law.entering) + up * law.cot
            lead_slope = law.cot
            trail, trail_slope = law.trail, 0.0
            edge = r * (law.entering + law.trail_angle) + up * law.per_sin
            edge_slope = law.per_sin
            area = law.groove + max(depth - law.mark, 0.0) * law.along
            area_slope = law.along
        else:
            lead = math.sqrt(depth * (2.0 * r - depth))
            lead_slope = (r - depth) / lead
            high = depth / (2.0 * r)
            if high < ARC_MOST:
                arc = lead * cubic(ARCS, high * (ARC_PIECES / ARC_MOST))
            else:
                arc = r * math.atan2(lead, r - depth)
            arc_slope = r / lead
            if depth <= law.mark:
                trail, trail_slope = lead, lead_slope
                edge, edge_slope = 2.0 * arc, 2.0 * arc_slope
                area = r * arc - (r - depth) * lead
                area_slope = 2.0 * lead
            else:
                trail, trail_slope = law.trail, 0.0
                edge, edge_slope = arc + r * law.trail_angle, arc_slope
                area = law.groove + (depth - law.mark) * law.along
                area_slope = law.along
        width = lead + trail
        width_slope = lead_slope + trail_slope
        deepening = e - max(turn_ago, surface)
        out = width * law.cos + depth * law.sin
        out_slope = width_slope * law.cos + law.sin
        area_slope += out_slope * deepening + out / law.cos
        area += out * deepening
        if area > 0.0:
            per_edge = 1.0 / edge
            chip = area * per_edge
            chip_mm = 1e3 * chip
            if CHIP_LEAST <= chip_mm < CHIP_MOST:
                power = cubic(law.powers, chip_mm * (CHIP_PIECES / CHIP_MOST))
            else:
                power = chip_mm**law.power
            main = hardness * law.force * edge * power
            relative_area = area_slope / area
            relative_edge = edge_slope * per_edge
            main_slope = main * (law.power * relative_area + law.exponent * relative_edge)
            if chip > THIN_CHIP:
                own = own_slope = 0.0
            elif chip > RUBBED:
                held = law.edge_force * law.per_thin / (law.force * hardness)
                own = law.edge_force * edge - held * main
                own_slope = law.edge_force * edge_slope - held * main_slope
            else:
                rising = law.edge_force * (1.0 - (1e3 * RUBBED) ** law.power * law.per_thin) / RUBBED
                own = rising * area
                own_slope = rising * area_slope
            plane = law.ratio * main + own
            plane_slope = law.ratio * main_slope + own_slope
            per_chord = 1.0 / math.sqrt(depth * depth + width * width)
            chord_slope = (depth + width * width_slope) * per_chord
            out *= per_chord
            out_slope = (out_slope - out * chord_slope) * per_chord
            along = (depth * law.cos - width * law.sin) * per_chord
            along_slope = (law.cos - width_slope * law.sin - along * chord_slope) * per_chord
            main *= engaged
            main_slope *= engaged * law.cos
            push = engaged * plane * out
            push_slope = engaged * law.cos * (plane_slope * out + plane * out_slope)
            feed = engaged * plane * along
            feed_slope = engaged * law.cos * (plane_slope * along + plane * along_slope)
    ways = drag.weight + drag.press * main
    on_ways = share * drag.friction
    at_side = share * drag.side
    limit = on_ways * abs(ways) + at_side * abs(feed) + share * drag.gib + drag.seal
    limit_slope = on_ways * drag.press * math.copysign(main_slope, main_slope * ways)
    limit_slope += at_side * math.copysign(feed_slope, feed_slope * feed)
    return Load(e + gives * push, 1.0 + gives * push_slope, push, push_slope, limit, limit_slope)


@inlined
def moved(load, by):
    return Load(
        load.position + load.position_slope * by,
        load.position_slope,
        load.push + load.push_slope * by,
        load.push_slope,
        load.limit + load.limit_slope * by,
        load.limit_slope,
    )


@inlined
def pushes(drive, d):
    if d > drive.half:
        return drive.first * (d - drive.half), drive.first
    if d < -drive.half:
        return drive.other * (d + drive.half), drive.other
    return 0.0, 0.0


@inlined
def bound(e, way, guide, drive, surface, turn_ago, hardness, engaged, gives, share, law, drag):
    """Where a slide that moves this way comes to rest."""
    for _ in range(LOOKS):
        load = load_at(e, surface, turn_ago, hardness, engaged, gives, share, law, drag)
        force, rate = pushes(drive, guide - load.position)
        excess = way * (force - load.push) - load.limit
        slope = rate * load.position_slope + load.push_slope + way * load.limit_slope
        if slope > 0.0:
            by = way * excess / slope
            if abs(by) <= CLOSE:
                return True, e + by, moved(load, by), force - rate * load.position_slope * by
        else:
            # In an open gap in air: on to the face.
            spring = drive.first if way > 0.0 else drive.other
            by = guide - way * drive.half - load.position - way * load.limit / spring
        e += by
    return False, e, load, force


@inlined
def stand(e, position, surface, turn_ago, hardness, engaged, gives, share, law, drag):
    """The edge of a slide that stays."""
    for _ in range(LOOKS):
        load = load_at(e, surface, turn_ago, hardness, engaged, gives, share, law, drag)
        by = (position - load.position) / load.position_slope
        if abs(by) <= CLOSE:
            return True, e + by, moved(load, by)
        e += by
    return False, e, load


@inlined
def between(table, place):
    """Evenly spaced over 0 to 1."""
    place = min(max(place, 0.0), 1.0) * (len(table) - 1)
    i = min(int(place), len(table) - 2)
    return table[i] + (place - i) * (table[i + 1] - table[i])


@fast
def run_pass(way, law, drive, drag, tables, slide, guide_by, room):
    """One pass on the stock; returns the steps that did not come out."""
    standing, edges, path = room.standing, room.edges, room.path
    hardness_table, n = tables.hardness, way.per_turn
    first = way.first * n
    for k in range(standing.shape[0]):
        for j in range(n):
            standing[k, j] = tables.surface[j]
    for i in range(first):
        path[i] = tables.entry[i]
        edges[i] = max(tables.entry[i], tables.surface[i % n])
    for j in range(n):
        room.ways[j] = 0.0
        room.held[j] = 0
    per_spacing = (standing.shape[0] - 1) / way.length
    last_node = float(standing.shape[0] - 1)
    per_patch = (hardness_table.shape[0] - 1) / way.length
    last_patch = float(hardness_table.shape[0] - 1)
    failed = 0
    for turn_start in range(first, way.steps, n):
        travel0 = way.start + way.step * turn_start
        z0 = travel0 if way.direction > 0.0 else way.length - travel0
        inside = min(max(z0, 0.0), way.length)
        gives = way.gives + between(tables.gives, inside / way.length)
        share = drag.left * (1.0 + between(tables.drag, inside / way.length))
        guide = guide_by + tables.guide[0] + inside * (tables.guide[1] + inside * tables.guide[2])
        place = min(max(z0 * per_spacing, 0.0), last_node)
        i = min(int(place), standing.shape[0] - 2)
        under = standing[i, n - 1] + (place - i) * (standing[i + 1, n - 1] - standing[i, n - 1])
        lead = lead_at(law, max(edges[turn_start - 1] - under, 1e-6))
        ahead0 = z0 + way.direction * 0.5 * lead
        depths = pushed = dragged = driven = 0.0
        seats_first = seats_other = 0
        turn_end = min(turn_start + n, way.steps)
        for step in range(turn_start, turn_end):
            k = step - turn_start
            along = way.step * k
            place = min(max((ahead0 + way.direction * along) * per_spacing, 0.0), last_node)
            i = min(int(place), standing.shape[0] - 2)
            surface = standing[i, k] + (place - i) * (standing[i + 1, k] - standing[i, k])
            place = min(max((z0 + way.direction * along) * per_patch, 0.0), last_patch)
            i = min(int(place), hardness_table.shape[0] - 2)
            hard = hardness_table[i, k]
            hard = 1.0 + hard + (place - i) * (hardness_table[i + 1, k] - hard)
            travel = travel0 + along
            engaged = 1.0
            if travel < way.trail or travel + lead > way.length:
                in_work = min(travel + lead, way.length) - max(travel - way.trail, 0.0)
                engaged = min(max(in_work / (lead + way.trail), 0.0), 1.0)
            ago = edges[step - n]
            near = ago
            held = room.held[k]
            if held == 2:
                near = 2.0 * ago - edges[step - 2 * n]
            elif held > 2:
                near = 3.0 * (ago - edges[step - 2 * n]) + edges[step - 3 * n]

            position = slide + way.drift
            moves = room.ways[k]
            rests = False
            if moves != 0.0:
                found, e, load, force = bound(
                    near, moves, guide, drive,
                    surface, ago, hard, engaged, gives, share, law, drag,
                )
                rests = found and moves * (load.position - position) > 0.0
                slide = load.position
            if not rests:
                found, e, load = stand(
                    near, position, surface, ago, hard, engaged, gives, share, law, drag
                )
                force, _ = pushes(drive, guide - position)
                net = force - load.push
                went = 0.0
                slide = position
                if abs(net) > load.limit:
                    went = math.copysign(1.0, net)
                    found, e, load, force = bound(
                        e, went, guide, drive,
                        surface, ago, hard, engaged, gives, share, law, drag,
                    )
                    slide = load.position
                failed += not found
                if went == moves:
                    room.held[k] = min(held + 1, 3)
                else:
                    room.held[k] = 1
                    room.ways[k] = went
            else:
                room.held[k] = min(held + 1, 3)
            edges[step] = e
            depth = e - surface
            path[step] = e if depth > way.uncut else -np.inf
            depths += max(depth, 0.0)
            pushed += load.push
            dragged += load.limit
            driven += force
            seats_first += force > 0.0
            seats_other += force < 0.0
        per_step = 1.0 / (turn_end - turn_start)
        record = room.turns[turn_start // n]
        record[0] = depths * per_step
        record[1] = pushed * per_step
        record[2] = dragged * per_step
        record[3] = driven * per_step
        record[4] = seats_first
        record[5] = seats_other
    return failed


@fast
def rise(law, offset):
    if offset < law.radius:
        return law.radius - math.sqrt(law.radius * law.radius - offset * offset)
    return np.inf


@fast
def cut(way, law, room):
    """Cuts the pass into the standing surface: the deeper of old and new, neighbours included."""
    path, left, standing, n = room.path, room.left, room.standing, way.per_turn
    mark = law.feed * law.feed / (24.0 * law.radius)
    low, high, uncut = np.inf, -np.inf, False
    for height in path:
        if height > -np.inf:
            low, high = min(low, height), max(high, height)
        else:
            uncut = True
    for i in range(way.steps):
        left[i] = path[i] - mark
    for turns in range(1, REACH + 1):
        above = rise(law, (turns - 0.5) * law.feed)
        if not uncut and above >= high - low:
            break
        away = turns * n
        for i in range(way.steps - away):
            left[i] = max(left[i], path[i + away] - above)
        for i in range(away, way.steps):
            left[i] = max(left[i], path[i - away] - above)
    spacing = way.length / (standing.shape[0] - 1)
    start = way.start if way.direction > 0.0 else way.length - way.start
    per_feed = 1.0 / law.feed
    for k in range(standing.shape[0]):
        travel = (spacing * k - start) * way.direction
        for j in range(n):
            along = travel - way.step * j
            if along >= -0.5 * law.feed:
                i = int(along * per_feed + UNDER_HALF) * n + j
                if i < way.steps:
                    standing[k, j] = max(standing[k, j], left[i])


@fast
def measure(standing, length, gauge_z, ends):
    """Mean height where a gauge sits, and tilt of the least-squares line without the ends."""
    nodes, n = standing.shape
    spacing = length / (nodes - 1)
    gauge = min(max(gauge_z, GAUGE_BAND), length - GAUGE_BAND)
    size = band = count = sz = sh = szz = szh = 0.0
    for k in range(nodes):
        z = spacing * k
        mean = 0.0
        for j in range(n):
            mean += standing[k, j]
        mean /= n
        if abs(z - gauge) <= GAUGE_BAND:
            size += mean
            band += 1.0
        if ends * length <= z <= (1.0 - ends) * length:
            z -= 0.5 * length
            count += 1.0
            sz += z
            sh += mean
            szz += z * z
            szh += z * mean
    return size / band, (szh - sz * sh / count) / (szz - sz * sz / count)


@fast
def whole_pass(way, law, drive, drag, tables, slide, guide_by, gauge_z, ends, room):
    failed = run_pass(way, law, drive, drag, tables, slide, guide_by, room)
    cut(way, law, room)
    size, tilt = measure(room.standing, way.length, gauge_z, ends)
    return failed, size, tilt


@fast
def stands(drive, hand, pull):
    """Where the slide stands against the guide after the run-in in air."""
    return -pull * (drive.half + hand / (drive.first if pull > 0.0 else drive.other))


@fast
def trial(t, pull, way, law, drive, drag, tables, gauge_z, ends, room, results):
    """A pass with another drag and slack, touched off where the slide then stands."""
    own = stands(drive, drag.gib + drag.friction * drag.weight + drag.seal, pull)
    gib = drag.gib * (0.5 + (t // SLACKS + 0.5) / DRAGS)
    half = drive.half * (0.5 + (t % SLACKS + 0.5) / SLACKS)
    drag = Drag(gib, drag.friction, drag.weight, drag.press, drag.side, drag.seal, drag.left)
    drive = Drive(half, drive.first, drive.other)
    here = stands(drive, drag.gib + drag.friction * drag.weight + drag.seal, pull)
    guide_by = own - here
    slide = guide_by + tables.guide[0] + here
    failed, size, tilt = whole_pass(
        way, law, drive, drag, tables, slide, guide_by, gauge_z, ends, room
    )
    results[t, 0] = size
    results[t, 1] = tilt
    results[t, 2] = failed


@fast
def one_of(rooms, i):
    return Room(
        rooms.standing[i], rooms.edges[i], rooms.path[i], rooms.left[i], rooms.ways[i],
        rooms.held[i], rooms.turns[i],
    )  # fmt: skip


@fast
def study(pull, way, law, drive, drag, tables, gauge_z, ends, rooms, results):
    room = one_of(rooms, 0)
    for t in range(len(results)):
        trial(t, pull, way, law, drive, drag, tables, gauge_z, ends, room, results)


@njit(cache=True, fastmath=False, error_model="numpy", parallel=True)
def study_in_parallel(pull, way, law, drive, drag, tables, gauge_z, ends, rooms, results):
    for t in prange(len(results)):
        room = one_of(rooms, numba.get_thread_id())
        trial(t, pull, way, law, drive, drag, tables, gauge_z, ends, room, results)
