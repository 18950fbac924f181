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

# With a mode that does nothing: the attitude in which outputs are as there is the level.
WITH_OFF = SHEET.replace("measure: [degrees]", "measure: [degrees, level]").replace("    upright:", """\
    plain:   {when: [{inner: [1500, 3000]}], wanted_at: [{inner: front}], does: nothing}
    upright:""")

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
        levelled("degrees-level", 1000, 1000, "seen right"),
        levelled("degrees-level-unsure", 1500, 1500, None),
        levelled("degrees-not-level", -3000, -3000, "seen wrong"),
        levelled("degrees-course", 0, 0, "seen right", course=True),
    ]


def beyond(angle, band):
    return max(0, abs(angle) - band) * (1 if angle > 0 else -1)


class Propped:
    def __init__(self, answer):
        self.answer, self.angle, self.stick, self.off, self.entered = answer, 0, 0, False, 0

    def width(self, _):
        answer = 0 if self.off else self.answer(self.angle - self.entered)
        return NEUTRAL + (round(answer) + self.stick) // 500 * 500


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


def prop(bus, leads, drill, model, prompt, angle):
    model.angle = angle
    both(bus, leads, bus.end + 1700 * MS)
    drill.done(bus, prompt, words=f"{abs(angle)} +-0.2")
    both(bus, leads, bus.end + 50 * MS)


def seated(name, sheet, model, switch):
    """A bench at rest, the drill begun, the stick held over and let go."""
    s, bus, leads = start(name, ["Mode"], sheet=sheet, latency=0)
    for kind in ("output.back", "drill.answered", "model.rested", "answer.fitted", "level.measured", "entry.measured"):
        s.leave(kind)
    bus.put(11, switch)
    leads.output(2, model.width)
    both(bus, leads, 2 * S)
    drill = Drill(s, "degrees")
    drill.step(bus.end - 2 * MS, "begin")
    both(bus, leads, bus.end + 1 * S)  # the outputs are looked at from here on
    drill.step(bus.end - 2 * MS, "confirm")
    both(bus, leads, bus.end + 300 * MS)
    stick_over(bus, leads, model)
    both(bus, leads, bus.end + 800 * MS)  # the switch stands where it is wanted
    return s, bus, leads, drill


def asked(s, mode):
    s.left.discard("mode.asked")
    s.expect("the switch asks for it", "mode.asked", about="stabiliser", data={"mode": mode})


def both_sides(bus, leads, drill, model, between=lambda: None):
    for side, angles in zip(("there", "other"), AROUND):
        model.angle = 0
        both(bus, leads, bus.end + LAID + 100 * MS)
        if side == "other":
            between()
        for n, angle in enumerate(angles, 1):
            prop(bus, leads, drill, model, f"upright/pitch/{side}/{n}", angle)
    model.angle = 0
    both(bus, leads, bus.end + LAID + 300 * MS)


def played(name, answer, per_degree, verdict, dead=0, trimmed=False):
    model = Propped(answer)
    s, bus, leads, drill = seated(name, SHEET, model, LOW)
    asked(s, "upright")
    s.left.discard("answer.fitted")
    trim = (lambda: bus.put(2, CENTRE + 20)) if trimmed else (lambda: None)  # 12 us
    both_sides(bus, leads, drill, model, trim)
    data = {"mode": "upright", "axis": "pitch"}
    if per_degree is None:
        data["why"] = "a stick, or a trim, moved meanwhile"
    else:
        data.update(rests=9, per_degree_ns=per_degree, dead_mdeg=dead)
    s.expect("lines through the rests find what was put in", "answer.fitted", about="output:2", data=data)
    settled(s, "degrees/upright/pitch/output:2", verdict)
    s.end(leads.now + 50 * MS)
    return s


def settled(s, claim, verdict):
    if verdict:
        s.expect("figures that are sure settle the claim", "verdict.changed", about="claim:" + claim, data={"verdict": verdict})
    else:
        s.never("verdict.changed", about="claim:" + claim)


def switched(s, bus, leads, model, mode):
    model.off = mode == "plain"
    model.entered = model.angle if model.course else 0
    bus.put(11, HIGH if model.off else LOW)
    asked(s, mode)
    both(bus, leads, bus.end + 900 * MS)


def levelled(name, lies, found, verdict, course=False):
    """The level lies so many millidegrees off the attitude for flying; then the mode is entered while tilted."""
    model = Propped(lambda angle: 3 * (1000 * angle - lies))
    model.course, model.off = course, True
    s, bus, leads, drill = seated(name, WITH_OFF, model, HIGH)
    asked(s, "plain")
    both(bus, leads, bus.end + 2 * LAID + 300 * MS)
    switched(s, bus, leads, model, "upright")
    both_sides(bus, leads, drill, model)
    switched(s, bus, leads, model, "plain")
    prop(bus, leads, drill, model, "upright/enter/there", 16)
    switched(s, bus, leads, model, "upright")
    both(bus, leads, bus.end + 2500 * MS)
    s.left -= {"level.measured", "entry.measured"}
    s.expect("outputs are those of the mode that does nothing in this attitude", "level.measured", about="stabiliser",
             data={"mode": "upright", "off": "plain", "axis": "pitch", "level_mdeg": found})
    s.expect("what holds an attitude answers at once, what holds a course starts from rest", "entry.measured", about="stabiliser",
             data={"mode": "upright", "holds": "course" if course else "attitude", "angle_mdeg": 16000})
    settled(s, "level/upright/pitch", verdict)
    settled(s, "entered/upright", "seen right")
    s.end(leads.now + 50 * MS)
    return s
