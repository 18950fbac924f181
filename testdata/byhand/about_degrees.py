"""A model that is propped up at angles which are typed. Where a stabiliser holds an attitude its
outputs go in proportion to the angle, less a dead band; so many µs a degree are put in here,
and so many must be found. A typed angle shows no tilt: one that moves nothing settles
nothing."""

import sheets
from about_losses import Drill
from about_outputs import both, start
from about_tilts import NEUTRAL
from bus import CENTRE, HIGH, LOW
from sitting import MS, S

SHEET = sheets.HEAD + """\
taps: {main: {kind: bus, carries: heard}, leads: {kind: pulses}}
channels:
  2: {name: elevator, kind: stick, ends: {back: 2012, forward: 988}, neutral: 1500}
  11: {name: inner, kind: switch, positions: {back: 988, front: 2012}}
stabiliser:
  windows: {from: guess}
  measure: [degrees]
  modes:
    upright: {when: [{inner: [0, 1500]}], wanted_at: [{inner: back}], does: stays}
outputs:
  2: {surface: elevator, moved_by: {elevator: 1.0}, corrects: [pitch]}
"""

LAID = 5 * S  # how long the model lies level
AROUND = ((6, 16, 26), (-6, -16, -26))
UP = 512_000


def scenarios():
    return [
        played("degrees-upright", lambda angle: 3000 * angle, 3000, "seen right"),
        played("degrees-dead-band", lambda angle: 4000 * beyond(angle, 3), 4000, "seen right", dead=6000),
        played("degrees-reversed", lambda angle: -3000 * angle, -3000, "seen wrong"),
        played("degrees-nothing", lambda angle: 0, 0, None),
        played("degrees-moved-stick", lambda angle: 3000 * angle, None, None, trimmed=True),
    ]


def beyond(angle, band):
    return max(0, abs(angle) - band) * (1 if angle > 0 else -1)


class Propped:
    def __init__(self, answer):
        self.answer, self.angle, self.stick = answer, 0, 0

    def width(self, _):
        return NEUTRAL + (round(self.answer(self.angle)) + self.stick) // 500 * 500


def stick_over(bus, leads, model):
    """A fifth of a second to the stop, held there, and back."""
    for n in list(range(1, 11)) + [None] + list(range(9, -1, -1)):
        if n is None:
            both(bus, leads, bus.end + 1500 * MS)
            continue
        bus.put(2, CENTRE + (HIGH - CENTRE) * n // 10)
        model.stick = UP * n // 10
        both(bus, leads, bus.end + 20 * MS)
    both(bus, leads, bus.end + 800 * MS)


def prop(bus, leads, drill, model, side, n, angle):
    model.angle = angle
    both(bus, leads, bus.end + 1700 * MS)
    drill.done(bus, f"upright/pitch/{side}/{n}", words=f"{abs(angle)} +-0.2")
    both(bus, leads, bus.end + 50 * MS)


def played(name, answer, per_degree, verdict, dead=0, trimmed=False):
    s, bus, leads = start(name, ["Mode"], sheet=SHEET, latency=0)
    for kind in ("output.back", "drill.answered", "model.rested", "answer.fitted"):
        s.leave(kind)
    s.left.discard("answer.fitted")
    s.left.discard("mode.asked")
    s.expect("the switch asks for it", "mode.asked", about="stabiliser", data={"mode": "upright"})
    model = Propped(answer)
    bus.put(11, LOW)
    leads.output(2, model.width)
    both(bus, leads, 2 * S)
    drill = Drill(s, "degrees")
    drill.step(bus.end - 2 * MS, "begin")
    both(bus, leads, bus.end + 1 * S)  # the outputs are looked at from here on
    drill.step(bus.end - 2 * MS, "confirm")
    both(bus, leads, bus.end + 300 * MS)
    stick_over(bus, leads, model)
    both(bus, leads, bus.end + 800 * MS)  # the switch stands where it is wanted
    for side, angles in zip(("there", "other"), AROUND):
        model.angle = 0
        both(bus, leads, bus.end + LAID + 100 * MS)
        if trimmed and side == "other":
            bus.put(2, CENTRE + 20)  # 12 us: a trim
        for n, angle in enumerate(angles, 1):
            prop(bus, leads, drill, model, side, n, angle)
    model.angle = 0
    both(bus, leads, bus.end + LAID + 300 * MS)
    data = {"mode": "upright", "axis": "pitch"}
    if per_degree is None:
        data["why"] = "a stick, or a trim, moved meanwhile"
    else:
        data.update(rests=9, per_degree_ns=per_degree, dead_mdeg=dead)
    s.expect("lines through the rests find what was put in", "answer.fitted", about="output:2", data=data)
    claim = "claim:degrees/upright/pitch/output:2"
    if verdict:
        s.expect("figures that are sure settle the claim", "verdict.changed", about=claim, data={"verdict": verdict})
    else:
        s.never("verdict.changed", about=claim)
    s.end(leads.now + 50 * MS)
    return s
