"""One slide with mass, slack and dry friction, moved by a guide: by two independent programs.

Peers for `sim/src/balance/inertia.rs` and, where the guide goes slowly, for the quasi-static
balance. A slide of mass m rubs on its ways, is pushed by a preload and a spring, and hangs on the
guide by a spring that bears only beyond half the slack to either side.

- `engine`: a general physics engine (mujoco). The drive is a tendon with a dead band, the drag
  joint friction loss, the guide a joint whose place and speed are imposed. The engine's friction
  is a soft constraint: a slide held by it creeps. Its impedance here lets a slide under its full
  drag creep by 1.5e-9 m/s; at the engine's defaults it would be 1.5e-3 m/s, more than the guide
  moves in the slow cases. Integrated semi-implicitly in steps of 10 us; half of that changes
  nothing above 0.5 um.
- `nonsmooth`: an integrator for differential inclusions (solve_nivp): implicit Euler with friction
  as a projection on the sign's graph, solved by a semismooth Newton method, in the steps that the
  test takes too. Same scheme, other solver: what is apart is the solution of a step.

The Rust test `sim/tests/all/inertia/peers.rs` reads the table that this writes; it needs no Python.
To make it anew (made with mujoco 4.0.0, solve_nivp 0.1.2, numpy 2.4.6, scipy 1.17.1):

    python3 -m venv /tmp/peers && /tmp/peers/bin/pip install mujoco solve-nivp numpy scipy
    /tmp/peers/bin/python tests/peers/slide_motion.py > tests/peers/slide_motion.csv

Columns: peer, case, time in s, place of the slide in m.
"""

import math

import mujoco
import numpy as np
from solve_nivp import solve_ivp_ns

MASS, SLACK, RATE = 40.0, 0.2e-3, 5e6
PRELOAD, SPRING, DRAG = 10.0, 2e4, 60.0
TOLD = 100


def triangle(reach, period):
    def guide(t):
        share = (t / period + 0.25) % 1.0
        up = share < 0.5
        place = 4 * share - 1 if up else 3 - 4 * share
        return reach * place, 4 * reach / period * (1 if up else -1)

    return guide


def sine(reach, period):
    w = 2 * math.pi / period
    return lambda t: (reach * math.sin(w * t), reach * w * math.cos(w * t))


# Name, guide, length in s. From 0.25 mm/s, where inertia is next to nothing, to swings in which
# it takes most of the drive's force.
CASES = [
    ("triangle slow", triangle(0.5e-3, 8.0), 12.0),
    ("sine slow", sine(0.5e-3, 10.0), 15.0),
    ("triangle fast", triangle(0.5e-3, 0.2), 0.5),
    ("sine fast", sine(1e-3, 0.2), 0.5),
    ("sine free", sine(0.4e-3, 0.1), 0.3),
]


def drag(name):
    return 5.0 if name == "sine free" else DRAG


MODEL = """
<mujoco>
  <option timestep="{step}" gravity="0 0 0" integrator="Euler" iterations="200"
          tolerance="1e-14" solver="Newton"/>
  <worldbody>
    <body><joint name="guide" type="slide" axis="1 0 0"/>
      <geom size="0.01" mass="1e6" contype="0" conaffinity="0"/></body>
    <body><joint name="slide" type="slide" axis="1 0 0" stiffness="{spring}" springref="0"
        frictionloss="{drag}" solimpfriction="{impedance} {impedance} 0.001 0.5 2"
        solreffriction="{timeconst} 1"/>
      <geom size="0.01" mass="{mass}" contype="0" conaffinity="0"/></body>
  </worldbody>
  <tendon>
    <fixed name="drive" stiffness="{rate}" springlength="-{half} {half}">
      <joint joint="guide" coef="1"/><joint joint="slide" coef="-1"/>
    </fixed>
  </tendon>
</mujoco>
"""


def engine(name, guide, length, step=1e-5):
    model = mujoco.MjModel.from_xml_string(
        MODEL.format(
            step=step,
            spring=SPRING,
            drag=drag(name),
            impedance=1 - 1e-7,
            timeconst=2 * step,
            mass=MASS,
            rate=RATE,
            half=SLACK / 2,
        )
    )
    data = mujoco.MjData(model)
    assert abs(model.body_mass[2] - MASS) < 1e-9
    data.qfrc_applied[1] = -PRELOAD
    steps = round(length / step)
    every = steps // TOLD
    for i in range(steps):
        place, speed = guide(i * step)
        data.qpos[0], data.qvel[0] = place, speed
        mujoco.mj_step(model, data)
        if (i + 1) % every == 0:
            yield (i + 1) * step, data.qpos[1]


def nonsmooth(name, guide, length, step=1e-4):
    limit = drag(name)

    def bears(d):
        return RATE * (d - np.clip(d, -SLACK / 2, SLACK / 2))

    # Lengths in mm, so that all unknowns are of a size.
    def fun(t, y):
        x, v, w = y
        net = bears(guide(t)[0] - 1e-3 * x) - PRELOAD - SPRING * 1e-3 * x - limit * w
        return np.array([v, 1e3 * net / MASS, 0.0])

    def jacobian(t, y):
        rate = RATE if abs(guide(t)[0] - 1e-3 * y[0]) > SLACK / 2 else 0.0
        return np.array(
            [
                [0.0, 1.0, 0.0],
                [-(rate + SPRING) / MASS, 0.0, -1e3 * limit / MASS],
                [0.0, 0.0, 0.0],
            ]
        )

    steps = round(length / step)
    every = steps // TOLD
    times, states, _, _, info = solve_ivp_ns(
        fun,
        (0.0, length),
        np.zeros(3),
        method="backward_euler",
        projection="sign",
        projection_opts={"y_indices": [1], "w_indices": [2], "tau": 1.0},
        solver="semismooth_newton",
        solver_opts={"tol": 1e-11, "max_iter": 200, "rhs_jac": jacobian},
        adaptive=False,
        h0=step,
        A=np.diag([1.0, 1.0, 0.0]),
    )
    missed = sum(1 for _, success, _ in info[1:] if not success)
    assert missed == 0, f"{name}: {missed} of {steps} steps not solved"
    for i in range(every, steps + 1, every):
        assert abs(times[i] - i * step) < 1e-9
        yield i * step, 1e-3 * states[i, 0]


def main():
    print("peer,case,time,place")
    for peer, how in [("engine", engine), ("nonsmooth", nonsmooth)]:
        for name, guide, length in CASES:
            if peer == "nonsmooth" and "slow" in name:
                continue
            for time, place in how(name, guide, length):
                print(f"{peer},{name},{time:.6f},{place:.9e}")


if __name__ == "__main__":
    main()
