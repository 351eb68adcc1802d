"""One slide with slack and dry friction in a cut: the same pass by a general-purpose compiler.

A peer for our speed: the model of `sim/src/cut/pass.rs` for one finishing pass, written from its
equations for numba. One slide on a two-sided spring with slack, drag that grows with the force,
Kienzle's force with the edge's own and the overlap of turns, a tool and work that give way, a
table of hardness; each step is a clamp between two bounds found by Newton's method from the turns
before. It enters the cut with the edge's path that it is given, and leaves out what the job has
not: hand drag in the cut, the foot's unseating, slots, preload, a tool off centre height.

    python3 -m venv /tmp/peer && /tmp/peer/bin/pip install numba numpy
    /tmp/peer/bin/python tests/peers/one_slide.py check     # the same edge heights as ours?
    /tmp/peer/bin/python tests/peers/one_slide.py           # check, then time both programs

`one_slide.json` holds the job's numbers and what our program came to; to make it anew:

    cargo run --release -p tautway-tests --example one_slide > tests/peers/one_slide.json

Not part of the tests. Lengths in m, forces in N. Made with numba 0.68.1, numpy 2.4.6.
"""

import json
import math
import pathlib
import re
import subprocess
import sys
import time
from collections import namedtuple

import numba
import numpy as np
from numba import njit, prange

HERE = pathlib.Path(__file__).resolve().parent
THIN_CHIP = 0.05e-3
RUBBED = 1e-6
GAUGE_BAND = 2e-3
REACH = 6
UNDER_HALF = math.nextafter(0.5, 0.0)
# A Newton step this short is the last: its error is of the order of its square.
CLOSE = 5e-9
LOOKS = 40
AGREES = 0.1e-6
SAMPLES = 30
# Drags by slacks of the study, as shares of the job's own.
DRAGS, SLACKS = 20, 10

fast = njit(cache=True, fastmath=False, error_model="numpy")

Law = namedtuple(
    "Law",
    "force power exponent ratio edge_force radius entering feed sin cos "
    "per_sin cot arc_top trail trail_angle mark groove",
)
Drive = namedtuple("Drive", "half first other")
Drag = namedtuple("Drag", "gib friction weight press side seal left")
Way = namedtuple(
    "Way", "per_turn first steps start direction step drift length lead trail uncut gives"
)
Tables = namedtuple("Tables", "surface hardness drag gives guide entry")
Room = namedtuple("Room", "standing edges path left ways held turns")
# What acts on the slide with the edge at one height, with slopes.
Load = namedtuple("Load", "position position_slope push push_slope limit limit_slope")


@fast
def lead_at(law, depth):
    if depth >= law.arc_top:
        return law.radius * math.sin(law.entering) + (depth - law.arc_top) * law.cot
    return math.sqrt(depth * (2.0 * law.radius - depth))


@fast
def load_at(e, surface, turn_ago, hardness, engaged, gives, share, law, drag):
    depth = e - surface
    main = main_slope = push = push_slope = feed = feed_slope = 0.0
    if depth > 0.0:
        r = law.radius
        if depth >= law.arc_top:
            up = depth - law.arc_top
            lead = r * math.sin(law.entering) + up * law.cot
            lead_slope = law.cot
            trail, trail_slope = law.trail, 0.0
            edge = r * (law.entering + law.trail_angle) + up * law.per_sin
            edge_slope = law.per_sin
            area = law.groove + max(depth - law.mark, 0.0) * law.feed
            area_slope = law.feed
        else:
            lead = math.sqrt(depth * (2.0 * r - depth))
            lead_slope = (r - depth) / lead
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
                area = law.groove + (depth - law.mark) * law.feed
                area_slope = law.feed
        width = lead + trail
        width_slope = lead_slope + trail_slope
        deepening = e - max(turn_ago, surface)
        area_slope += width_slope * deepening + width
        area += width * deepening
        if area > 0.0:
            per_edge = 1.0 / edge
            chip = area * per_edge
            main = hardness * law.force * edge * (1e3 * chip) ** law.power
            relative_area = area_slope / area
            relative_edge = edge_slope * per_edge
            main_slope = main * (law.power * relative_area + law.exponent * relative_edge)
            if chip > THIN_CHIP:
                own = law.edge_force * THIN_CHIP * edge / chip
                own_slope = own * (2.0 * relative_edge - relative_area)
            elif chip > RUBBED:
                own = law.edge_force * edge
                own_slope = law.edge_force * edge_slope
            else:
                own = law.edge_force / RUBBED * area
                own_slope = law.edge_force / RUBBED * area_slope
            plane = law.ratio * main + own
            plane_slope = law.ratio * main_slope + own_slope
            per_chord = 1.0 / math.sqrt(depth * depth + width * width)
            chord_slope = (depth + width * width_slope) * per_chord
            out = (width * law.cos + depth * law.sin) * per_chord
            out_slope = (width_slope * law.cos + law.sin - out * chord_slope) * per_chord
            along = (depth * law.cos - width * law.sin) * per_chord
            along_slope = (law.cos - width_slope * law.sin - along * chord_slope) * per_chord
            main *= engaged
            main_slope *= engaged
            push = engaged * plane * out
            push_slope = engaged * (plane_slope * out + plane * out_slope)
            feed = engaged * plane * along
            feed_slope = engaged * (plane_slope * along + plane * along_slope)
    ways = drag.weight + drag.press * main
    on_ways = share * drag.friction
    at_side = share * drag.side
    limit = on_ways * abs(ways) + at_side * abs(feed) + share * drag.gib + drag.seal
    limit_slope = on_ways * drag.press * math.copysign(main_slope, main_slope * ways)
    limit_slope += at_side * math.copysign(feed_slope, feed_slope * feed)
    return Load(
        e + gives * push, 1.0 + gives * push_slope, push, push_slope, limit, limit_slope
    )


@fast
def moved(load, by):
    return Load(
        load.position + load.position_slope * by,
        load.position_slope,
        load.push + load.push_slope * by,
        load.push_slope,
        load.limit + load.limit_slope * by,
        load.limit_slope,
    )


@fast
def pushes(drive, d):
    if d > drive.half:
        return drive.first * (d - drive.half), drive.first
    if d < -drive.half:
        return drive.other * (d + drive.half), drive.other
    return 0.0, 0.0


@fast
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


@fast
def stand(e, position, surface, turn_ago, hardness, engaged, gives, share, law, drag):
    """The edge of a slide that stays."""
    for _ in range(LOOKS):
        load = load_at(e, surface, turn_ago, hardness, engaged, gives, share, law, drag)
        by = (position - load.position) / load.position_slope
        if abs(by) <= CLOSE:
            return True, e + by, moved(load, by)
        e += by
    return False, e, load


@fast
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
    whole_steps = 0.0
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


class Case:
    """A pass as the file describes it."""

    def __init__(self, numbers, name):
        work, case = numbers["work"], numbers[name]
        law, drag, drive = case["law"], case["drag"], case["drive"]
        r, feed, n = law["nose_radius"], law["feed"], work["per_turn"]
        sin, cos = math.sin(law["entering_angle"]), math.cos(law["entering_angle"])
        trail = min(0.5 * feed, r)
        trail_angle = math.asin(trail / r)
        mark = r - math.sqrt(r * r - trail * trail)
        self.law = Law(
            force=law["specific_force"] * 1e-3,
            power=1.0 - law["exponent"],
            exponent=law["exponent"],
            ratio=law["push_ratio"],
            edge_force=law["edge_force"],
            radius=r,
            entering=law["entering_angle"],
            feed=feed,
            sin=math.sin(law["path"]),
            cos=math.cos(law["path"]),
            per_sin=1.0 / sin,
            cot=cos / sin,
            arc_top=r * (1.0 - cos),
            trail=trail,
            trail_angle=trail_angle,
            mark=mark,
            groove=r * r * trail_angle - (r - mark) * trail,
        )
        self.drive = Drive(0.5 * drive["slack"], drive["first"], drive["other"])
        self.drag = Drag(
            drag["gib"], drag["friction"], drag["weight"], drag["press"], drag["side"],
            drag["seal"], drag["left_cutting"],
        )  # fmt: skip
        self.pull, self.gauge_z, self.ends = case["pull"], work["gauge_z"], work["ends"]
        lead = lead_at(self.law, work["depth"])
        start = -math.ceil(lead / feed) * feed
        step = feed / n
        self.way = Way(
            per_turn=n,
            first=case["start"]["turns"],
            steps=math.ceil((work["length"] - start) / step) + n // 2,
            start=start,
            direction=case["feed_direction"],
            step=step,
            drift=-case["pull"] * case["slope"] * step,
            length=work["length"],
            lead=lead,
            trail=trail,
            uncut=work["uncut"],
            gives=case["tool_gives"],
        )
        entry = [-np.inf if h is None else h for h in case["start"]["path"]]
        self.tables = Tables(
            surface=np.array(work["surface"]),
            hardness=np.array(numbers["hardness"]),
            drag=np.array(drag["along"]),
            gives=np.array(case["work_gives"]),
            guide=np.array(case["guide"]),
            entry=np.array(entry),
        )
        self.nodes = math.ceil(work["length"] / work["spacing"]) + 1
        self.slide = case["start"]["slide"]
        self.stands, self.result = case["stands"], case["result"]
        self.room = Room(*(array[0] for array in self.rooms(1)))

    def rooms(self, threads):
        """Room for the arrays of a pass, for each thread."""
        n, steps = self.way.per_turn, self.way.steps
        return Room(
            standing=np.empty((threads, self.nodes, n)),
            edges=np.empty((threads, steps)),
            path=np.empty((threads, steps)),
            left=np.empty((threads, steps)),
            ways=np.empty((threads, n)),
            held=np.empty((threads, n), np.int64),
            turns=np.zeros((threads, steps // n + 1, 6)),
        )

    @property
    def own_steps(self):
        return self.way.steps - self.way.first * self.way.per_turn

    def run(self):
        return whole_pass(
            self.way, self.law, self.drive, self.drag, self.tables, self.slide, 0.0,
            self.gauge_z, self.ends, self.room,
        )  # fmt: skip

    def run_study(self, study, rooms, results):
        # Nothing of the entry is known on another machine: the tool enters in the first turns.
        tables = self.tables._replace(entry=np.full(len(self.tables.entry), -np.inf))
        study(
            self.pull, self.way, self.law, self.drive, self.drag, tables, self.gauge_z, self.ends,
            rooms, results,
        )  # fmt: skip


def check(case, name):
    """Whether the edge's path and what is measured are ours."""
    failed, size, tilt = case.run()
    ours, n = case.result, case.way.per_turn
    edge = force = 0.0
    for turn in ours["turns"]:
        t = turn["turn"]
        heights = case.room.path[t * n : (t + 1) * n : ours["every"]]
        edge = max(edge, np.abs(heights - turn["heights"]).max())
        theirs = [turn["push_off"], turn["drag"], turn["drive"]]
        force = max(force, np.abs(case.room.turns[t, 1:4] - theirs).max())
    hand = case.drag.gib + case.drag.friction * case.drag.weight + case.drag.seal
    differences = {
        "edge height": edge,
        "size": abs(size - ours["size_error"]),
        "rise of the cone": abs(tilt - ours["tilt"]) * case.way.length,
        "place after the run-in": abs(stands(case.drive, hand, case.pull) - case.stands),
    }
    turns = case.room.turns[case.way.first : ours["turns"][-1]["turn"]]
    floats = n * len(turns) - turns[:, 4:].sum()
    print(
        f"{name}: {case.way.steps} steps (ours {ours['steps']}), taken "
        f"{1e6 * (size - case.tables.surface.mean()):.1f} um (ours {1e6 * ours['taken']:.1f}), "
        f"afloat {100 * floats / n / len(turns):.0f} % of the way"
    )
    for what, by in differences.items():
        print(f"  {what} within {1e6 * by:.6f} um")
    print(f"  push-off, drag, drive within {force:.6f} N")
    worst = max(differences.values())
    if failed or worst > AGREES or case.way.steps != ours["steps"]:
        sys.exit(f"{name}: not the same pass ({failed} steps failed, {1e6 * worst} um)")


def best_of(run, samples=SAMPLES):
    run()
    times = []
    for _ in range(samples):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return min(times)


def ours():
    """Fastest times of our benchmark, s."""
    command = ["cargo", "bench", "-p", "tautway-tests", "--bench", "pass", "--"]
    text = subprocess.run(
        command + ["pass_seated", "pass_floating", "study_of_200"],
        cwd=HERE.parent, capture_output=True, text=True, check=True,
    ).stdout  # fmt: skip
    unit = {"ns": 1e-9, "µs": 1e-6, "ms": 1e-3, "s": 1.0}
    found = re.findall(r"(pass_seated|pass_floating|study_of_200)\s+([\d.]+) (ns|µs|ms|s)\b", text)
    return {name: float(value) * unit[u] for name, value, u in found}


def main():
    numbers = json.loads((HERE / "one_slide.json").read_text())
    cases = {name: Case(numbers, name) for name in ("seated", "floating")}
    for name, case in cases.items():
        check(case, name)
    if sys.argv[1:] == ["check"]:
        return
    own = ours()
    rows = []
    for name, case in cases.items():
        rows.append((
            f"pass, {name}: ns a step",
            1e9 * own[f"pass_{name}"] / case.result["steps"],
            1e9 * best_of(case.run) / case.own_steps,
        ))
    case = cases["floating"]
    results = np.empty((DRAGS * SLACKS, 3))
    rooms = case.rooms(numba.get_num_threads())
    alone = best_of(lambda: case.run_study(study, rooms, results), 5)
    by_all = best_of(lambda: case.run_study(study_in_parallel, rooms, results), 5)
    assert results[:, 2].sum() == 0, "steps failed"
    rows.append((f"{len(results)} passes: ms", 1e3 * own["study_of_200"], 1e3 * alone))
    print(f"\n{'one thread':28}{'ours':>10}{'peer':>10}{'peer/ours':>12}")
    for what, a, b in rows:
        print(f"{what:28}{a:10.1f}{b:10.1f}{b / a:12.2f}")
    print(f"The peer's study on {numba.get_num_threads()} threads: {1e3 * by_all:.1f} ms.")


if __name__ == "__main__":
    main()
