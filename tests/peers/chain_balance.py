"""Where chains of rubbing bodies come to rest: by a convex solver, and by marching in small steps.

Peers for the quasi-static balance, `sim/src/balance`.

- `convex`: one to four bodies whose friction limits are constant. Step by step the minimum of the
  springs' energy, the load's and `sum F |x - x before|`, as a quadratic programme (clarabel).
  Right for constant friction alone; there the minimum is the only balance.
- `marched`: one or two bodies, the last with a load whose friction hangs on the force, so that
  there is no such energy, and with tool and work that give way. The guide creeps to its place in
  small steps, and each body creeps in steps of 0.2 um the way the net force beats its friction,
  in turn, until none moves; only the last bit is bisected. No slope, no case distinction. In the
  last twelve friction grows or falls faster than the load, so that some slips are jumps.

The Rust test `sim/tests/all/balance/peers.rs` reads what this writes; it needs no Python. To make it
anew, in a minute (made with clarabel 0.11.1, numpy 2.4.6, scipy 1.17.1):

    python3 -m venv /tmp/peers && /tmp/peers/bin/pip install clarabel numpy scipy
    /tmp/peers/bin/python tests/peers/chain_balance.py > tests/peers/chain_balance.json

Lengths in um, forces in N, rates in N/um.
"""

import json

import clarabel
import numpy as np
from scipy import sparse

SEED = 20


def link(draw, stiffest=1.7):
    rate = 10 ** draw.uniform(-0.5, stiffest)
    return {
        "slack": round(draw.choice([0.0, 1.0]) * draw.uniform(5, 200), 3),
        "first": round(rate, 4),
        "other": round(rate * draw.uniform(0.3, 1), 4),
    }


def walk(draw, count, reach):
    t = np.arange(1, count + 1)
    swing = reach * np.sin(draw.uniform(0.2, 1.2) * t + draw.uniform(0, 6))
    return [round(u, 3) for u in swing + draw.uniform(-0.3, 0.3, count) * reach]


def convex(draw, n):
    case = {
        "links": [link(draw) for _ in range(n)],
        "limits": [round(draw.uniform(1, 150), 3) for _ in range(n)],
        "preload": round(draw.uniform(-60, 60), 3),
        "rate": round(draw.choice([0.0, 1.0]) * draw.uniform(0, 0.5), 4),
        "guide": walk(draw, 25, draw.uniform(50, 800)),
    }
    # Unknowns: places x, what each first and other face is pressed in, ways gone.
    first = [a["first"] for a in case["links"]]
    other = [a["other"] for a in case["links"]]
    own = [0.0] * (n - 1) + [case["rate"]]
    energy = sparse.diags(own + first + other + [0.0] * n, format="csc")
    cost = np.zeros(4 * n)
    cost[n - 1] = case["preload"]
    cost[3 * n :] = case["limits"]
    eye, none = np.eye(n), np.zeros((n, n))
    gap = np.eye(n, k=-1) - eye
    rows = np.block(
        [
            [gap, -eye, none, none],
            [none, -eye, none, none],
            [-gap, none, -eye, none],
            [none, none, -eye, none],
            [eye, none, none, -eye],
            [-eye, none, none, -eye],
        ]
    )
    half = 0.5 * np.array([a["slack"] for a in case["links"]])
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    settings.tol_gap_abs = settings.tol_gap_rel = settings.tol_feas = 1e-12
    # Where rounding ends it before that: what it then has must still be this good.
    settings.reduced_tol_gap_abs = settings.reduced_tol_gap_rel = 1e-9
    settings.reduced_tol_feas = 1e-10
    stood, places = np.zeros(n), []
    for guide in case["guide"]:
        ahead = np.zeros(n)
        ahead[0] = guide
        bound = np.concatenate([half - ahead, 0 * half, half + ahead, 0 * half, stood, -stood])
        solver = clarabel.DefaultSolver(
            energy,
            cost,
            sparse.csc_matrix(rows),
            bound,
            [clarabel.NonnegativeConeT(6 * n)],
            settings,
        )
        found = solver.solve()
        assert str(found.status) in ("Solved", "AlmostSolved"), (n, found.status)
        stood = np.array(found.x[:n])
        places.append([round(x, 7) for x in stood])
    return case | {"places": places}


class Marched:
    """Bodies that creep; the last one's load hangs on its edge's depth, by which it is moved."""

    CREEP, GUIDE = 0.2, 2.0

    def __init__(self, case):
        self.case = case
        self.surface = case["moves"][0][1]
        # Places; the last body's as the depth of its edge from the surface.
        self.at = [0.0] * len(case["links"])
        self.guide = 0.0
        self.stand(0.0)

    def push_off(self, depth):
        return self.case["stiff"] * depth ** self.case["power"] if depth > 0 else 0.0

    def place(self, i):
        if i + 1 < len(self.at):
            return self.at[i]
        depth = self.at[i]
        return self.surface + depth + self.case["gives"] * self.push_off(depth)

    def stand(self, place):
        """Puts the last body at this place."""
        low, high = -1e4, 1e4
        for _ in range(100):
            self.at[-1] = 0.5 * (low + high)
            if self.place(len(self.at) - 1) < place:
                low = self.at[-1]
            else:
                high = self.at[-1]

    def over(self, i, way, at):
        """How far the net force on body i at this place or depth beats its friction that way."""
        links, n = self.case["links"], len(self.at)
        was, self.at[i] = self.at[i], at
        x = self.place(i)
        upstream = self.guide if i == 0 else self.place(i - 1)
        net = carried(links[i], upstream - x)
        if i + 1 < n:
            net -= carried(links[i + 1], x - self.place(i + 1))
            limit = self.case["limit"]
        else:
            push = self.push_off(at)
            net -= push + self.case["preload"]
            limit = self.case["still"] + self.case["friction"] * abs(
                self.case["weight"] - self.case["lift"] * push
            )
        self.at[i] = was
        return way * net - limit

    def creep(self, i):
        for way in (1, -1):
            a = start = self.at[i]
            if self.over(i, way, a) <= 0:
                continue
            while self.over(i, way, a + way * self.CREEP) > 0:
                a += way * self.CREEP
            b = a + way * self.CREEP
            for _ in range(40):
                middle = 0.5 * (a + b)
                if self.over(i, way, middle) > 0:
                    a = middle
                else:
                    b = middle
            self.at[i] = b
            return abs(b - start)
        return 0.0

    def settle(self):
        while max(self.creep(i) for i in range(len(self.at))) > 1e-9:
            pass

    def go(self, guide, surface):
        stood = self.place(len(self.at) - 1)
        self.surface = surface
        self.stand(stood)
        self.settle()
        start = self.guide
        steps = max(1, int(abs(guide - start) / self.GUIDE))
        for k in range(1, steps + 1):
            self.guide = start + (guide - start) * k / steps
            self.settle()
        return [round(self.place(i), 6) for i in range(len(self.at))]


def carried(a, d):
    half = 0.5 * a["slack"]
    if d > half:
        return a["first"] * (d - half)
    return a["other"] * (d + half) if d < -half else 0.0


def marched(draw, n, steep):
    count = 12
    guides = walk(draw, count, draw.uniform(40, 250))
    surfaces = [round(s, 3) for s in draw.uniform(-150, 20, count)]
    # Guide and surface move one after the other: a step that moves both may end elsewhere.
    moves, guide = [], 0.0
    for u, s in zip(guides, surfaces):
        moves += [[guide, s], [u, s]]
        guide = u
    case = {
        # Bodies that creep in turn hardly come along behind a much stiffer link.
        "links": [link(draw, 0.6) for _ in range(n)],
        "limit": round(draw.uniform(1, 60), 3),
        "stiff": round(draw.uniform(0.05, 0.8), 4),
        "power": round(draw.uniform(0.7, 1.1), 3),
        "gives": round(draw.uniform(0, 0.4), 4),
        "preload": round(draw.uniform(-40, 40), 3),
        "still": round(draw.uniform(2, 60), 3),
        "friction": round(draw.uniform(0.02, 0.3), 4),
        "weight": round(draw.uniform(0, 400), 2),
        "lift": round(draw.uniform(-2.5, 5), 4),
        "moves": moves,
    }
    if steep:
        case["links"] = [link(draw, 0.0) for _ in range(n)]
        case["friction"] = round(draw.uniform(0.35, 0.5), 4)
        case["lift"] = round(draw.choice([-1, 1]) * draw.uniform(5, 8), 4)
        case["weight"] = round(draw.uniform(0, 200), 2)
        case["still"] = round(draw.uniform(1, 10), 3)
        case["preload"] = round(draw.uniform(-150, 150), 3)
    body = Marched(case)
    return case | {"places": [body.go(u, s) for u, s in moves]}


def main():
    draw = np.random.default_rng(SEED)
    told = {
        "convex": [convex(draw, 1 + k % 4) for k in range(24)],
        "marched": [marched(draw, 1 + k % 2, k >= 16) for k in range(28)],
    }
    print("{")
    for name, cases in told.items():
        lines = ",\n".join("  " + json.dumps(case, separators=(",", ":")) for case in cases)
        print(f'"{name}":[\n{lines}\n]' + ("," if name == "convex" else ""))
    print("}")


if __name__ == "__main__":
    main()
