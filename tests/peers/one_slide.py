"""One slide with slack and dry friction in a cut: the same pass by a general-purpose compiler.

A peer for our speed: the model of `sim/src/cut/pass.rs` for one finishing pass, written from its
equations for numba. One slide on a two-sided spring with slack, drag that grows with the force,
Kienzle's force with the edge's own and the overlap of turns, a tool and work that give way, a
table of hardness; each step is a clamp between two bounds found by Newton's method from the turns
before; then the surface is cut, gauged, and its taper fitted. It is given the edge's path of the
first turns, and leaves out what this job has not: the foot's unseating, slots, preload, a tool off
centre height. The study enters the cut as it can: its first turns are not compared.

Written to be fast: all laws inlined, the arc's angle and the chip's power from tables (with libm's
pow and atan2 a pass takes a fifth longer), one thread, no allocation; compiled for the processor
it runs on, ours for any x86-64.

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

import numba
import numpy as np
from slide_pass import (
    CHIP_MOST,
    CHIP_PIECES,
    DRAGS,
    SLACKS,
    Drag,
    Drive,
    Law,
    Room,
    Tables,
    Way,
    lead_at,
    stands,
    study,
    study_in_parallel,
    table,
    whole_pass,
    THIN_CHIP,
)

HERE = pathlib.Path(__file__).resolve().parent
# The two programs differ by the last Newton step alone.
AGREES = 5e-9
SAMPLES = 30
ROUNDS = 3


class Case:
    """A pass as the file describes it."""

    def __init__(self, numbers, name):
        work, case = numbers["work"], numbers[name]
        law, drag, drive = case["law"], case["drag"], case["drive"]
        r, feed, n = law["nose_radius"], law["feed"], work["per_turn"]
        # The tool is fixed in the machine: in the path's axes it stands the path's angle steeper, and
        # goes a longer way a turn.
        path = law["path"]
        entering, along = law["entering_angle"] + path, feed / math.cos(path)
        sin, cos = math.sin(entering), math.cos(entering)
        power = 1.0 - law["exponent"]
        trail = min(0.5 * along, r)
        trail_angle = math.asin(trail / r)
        mark = r - math.sqrt(r * r - trail * trail)
        self.law = Law(
            force=law["specific_force"] * 1e-3,
            power=power,
            exponent=law["exponent"],
            ratio=law["push_ratio"],
            edge_force=law["edge_force"],
            radius=r,
            entering=entering,
            feed=feed,
            along=along,
            sin=math.sin(path),
            cos=math.cos(path),
            per_sin=1.0 / sin,
            cot=cos / sin,
            arc_top=r * (1.0 - cos),
            trail=trail,
            trail_angle=trail_angle,
            mark=mark,
            groove=r * r * trail_angle - (r - mark) * trail,
            powers=table(
                lambda x: x**power,
                lambda x: power * x ** (power - 1.0),
                CHIP_MOST,
                CHIP_PIECES,
            ),
            per_thin=(1e3 * THIN_CHIP) ** -power,
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
            trail=trail * math.cos(path),
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
    # The whole benchmark: on a fresh heap each pass alone would pay for its first pages.
    text = subprocess.run(
        ["cargo", "bench", "-p", "tautway-tests", "--bench", "pass"],
        cwd=HERE.parent, capture_output=True, text=True, check=True,
    ).stdout  # fmt: skip
    unit = {"ns": 1e-9, "µs": 1e-6, "ms": 1e-3, "s": 1.0}
    name = r"(pass_seated|pass_floating|study_of_200(?:_abreast)?)"
    found = re.findall(name + r"\s+([\d.]+) (ns|µs|ms|s)\b", text)
    return {name: float(value) * unit[u] for name, value, u in found}


def measured(cases):
    """Rows of the table: what, ours, the peer's; each the fastest of all rounds."""
    case = cases["floating"]
    results = np.empty((DRAGS * SLACKS, 3))
    rooms = case.rooms(numba.get_num_threads())
    runs = {f"pass_{name}": (case.run, SAMPLES) for name, case in cases.items()}
    runs["study_of_200"] = (lambda: case.run_study(study, rooms, results), 5)
    runs["on all threads"] = (lambda: case.run_study(study_in_parallel, rooms, results), 5)
    own, peer = {}, {}
    for _ in range(ROUNDS):
        for name, seconds in ours().items():
            own[name] = min(seconds, own.get(name, math.inf))
        for name, (run, samples) in runs.items():
            peer[name] = min(best_of(run, samples), peer.get(name, math.inf))
    assert results[:, 2].sum() == 0, "steps failed"
    for name, case in cases.items():
        per_step = 1e9 / case.result["steps"], 1e9 / case.own_steps
        name = f"pass_{name}"
        yield f"{name}, ns a step", own[name] * per_step[0], peer[name] * per_step[1]
    name = "study_of_200"
    steps = DRAGS * SLACKS * cases["floating"].result["steps"]
    yield f"{name}, one by one, ms", 1e3 * own[name], 1e3 * peer[name]
    abreast = own[f"{name}_abreast"]
    yield f"{name}, eight abreast, ms", 1e3 * abreast, 1e3 * peer[name]
    yield "the same, ns a step", 1e9 * abreast / steps, 1e9 * peer[name] / steps
    name = "on all threads"
    yield f"the same {name}, ms", math.nan, 1e3 * peer[name]


def main():
    numbers = json.loads((HERE / "one_slide.json").read_text())
    cases = {name: Case(numbers, name) for name in ("seated", "floating")}
    for name, case in cases.items():
        check(case, name)
    if sys.argv[1:] == ["check"]:
        return
    rows = list(measured(cases))
    print(f"\n{'':30}{'ours':>8}{'peer':>8}{'peer/ours':>12}")
    for what, a, b in rows:
        print(f"{what:30}{a:8.1f}{b:8.1f}{b / a:12.2f}")


if __name__ == "__main__":
    main()
