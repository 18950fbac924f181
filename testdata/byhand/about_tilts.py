"""A model that is tilted by hand, and what its servo leads answer. Common practice:
a stabiliser that damps answers how fast the model turns, with a kick that returns; one
that holds an attitude answers how far it lies off, for as long as it does; a course that
is held keeps the rudder over. What a hand does is told in degrees here, and the leads
follow from that."""

import math

import sheets
from about_losses import Drill
from about_outputs import both, start
from bus import CENTRE, HIGH, LOW
from sitting import MS, S, US, near

NEUTRAL = 1_500_000
DAMPS, LEVELS, NOTHING = "damps", "levels", "nothing"
NS_A_DEGREE = 2500  # 75 us at 30 degrees
NS_A_RATE = 700  # for a degree a second: some 66 us for 30 degrees in half a second

# What the sheet calls damping returns, what it calls upright stays.
SHEET = sheets.HEAD + """\
taps: {main: {kind: bus, carries: heard}, leads: {kind: pulses}}
channels:
  2: {name: elevator, kind: stick, ends: {back: 2012, forward: 988}, neutral: 1500}
  11: {name: inner, kind: switch, positions: {back: 988, front: 2012}}
stabiliser:
  windows: {from: guess}
  modes:
    damping:   {when: [{inner: [0, 1500]}], wanted_at: [{inner: back}], does: returns}
    upright: {when: [{inner: [1500, 3000]}], wanted_at: [{inner: front}], does: stays}
outputs:
  2: {surface: elevator, moved_by: {elevator: 1.0}, corrects: [pitch]}
"""

# One mode, in which a course is held.
COURSE = sheets.HEAD + """\
taps: {main: {kind: bus, carries: heard}, leads: {kind: pulses}}
channels:
  4: {name: rudder, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}
  11: {name: inner, kind: switch, positions: {back: 988, front: 2012}}
stabiliser:
  windows: {from: guess}
  modes:
    course: {when: [{inner: [0, 1500]}], wanted_at: [{inner: back}], does: stays}
outputs:
  4: {surface: rudder, moved_by: {rudder: 1.0}, corrects: [yaw]}
"""

COUNT, HELD, LYING = 6 * S, 5 * S, 3500 * MS  # how long the prompts of a response stand


def scenarios():
    return [
        ahead("tilt-ahead-damping", DAMPS, 500 * MS, "damping", "seen right"),
        ahead("tilt-ahead-upright", LEVELS, 500 * MS, "upright", "seen right"),
        ahead("tilt-ahead-wrong", LEVELS, 500 * MS, "damping", "seen wrong"),
        moved("tilt-let-go", LEVELS, "damping", [(300 * MS, 30, 400 * MS), (1500 * MS, 0, 300 * MS)]),
        moved("tilt-sinks", LEVELS, "damping", [(300 * MS, 30, 400 * MS), (800 * MS, 0, 2500 * MS)]),
        moved("tilt-there-and-back", DAMPS, "damping", [(300 * MS, 30, 500 * MS), (1200 * MS, 0, 500 * MS)]),
        moved("tilt-too-little", LEVELS, "upright", [(300 * MS, 4, 400 * MS)], tapped=True),
        moved("tilt-far-ahead", LEVELS, "upright", [(-1500 * MS, 30, 400 * MS)], tapped=True),
        unanswered(), course(),
    ]


class Model:
    """How a model lies: turns are (when it begins, to how many degrees, in what time),
    each beginning when the one before has ended."""

    def __init__(self, does):
        self.does, self.turns = does, []

    def lies(self, at):
        """Degrees, and degrees a second."""
        angle = rate = 0.0
        for begins, to, takes in self.turns:
            part = min(max((at - begins) / takes, 0), 1)
            rate += (to - angle) * math.pi / 2 * math.sin(math.pi * part) / (takes / S)
            angle += (to - angle) * (1 - math.cos(math.pi * part)) / 2
        return angle, rate

    def width(self, rise):
        angle, rate = self.lies(rise)
        off = {DAMPS: rate * NS_A_RATE, LEVELS: angle * NS_A_DEGREE, NOTHING: 0}[self.does]
        return NEUTRAL + round(off / 500) * 500


def seated(name, does, sheet=SHEET, output=2, switch=LOW):
    """A bench at rest, and a drill that can begin."""
    s, bus, leads = start(name, ["Mode"], sheet=sheet, latency=0)
    for kind in ("output.back", "verdict.changed"):
        s.leave(kind)
    s.left.discard("mode.asked")
    asks(s, "course" if sheet is COURSE else "damping")
    model = Model(does)
    bus.put(11, switch)
    leads.output(output, model.width)
    both(bus, leads, 2 * S)
    return s, bus, leads, model


def asks(s, mode):
    s.expect("the switch asks for it", "mode.asked", about="stabiliser", data={"mode": mode})


def mode_set(bus, leads):
    """The switch stands where it is wanted: that is seen 0.7 s after the prompt, since a
    value is the middle one of seven frames."""
    prompted = bus.end
    both(bus, leads, prompted + 700 * MS)
    return bus.end


def judged(s, verdict, mode, rule):
    s.left.discard("verdict.changed")
    s.expect(rule, "verdict.changed", about="claim:response/" + mode, data={"verdict": verdict})


def respond(name, does, mode, turns, tapped=False):
    """The first tilt of the response drill, or the second: turns from its prompt on."""
    s, bus, leads, model = seated(name, does)
    drill = Drill(s, "response")
    drill.begin(bus)
    there = mode_set(bus, leads) + COUNT
    if mode == "upright":
        both(bus, leads, there + HELD + LYING + 100 * MS)
        bus.put(11, HIGH)
        asks(s, mode)
        there = mode_set(bus, leads) + COUNT
    model.turns = [(there + begins, to, takes) for begins, to, takes in turns]
    both(bus, leads, there + 2500 * MS)
    if tapped:
        drill.done(bus, mode + "/1/there")
    both(bus, leads, there + HELD + 500 * MS)
    s.leave("drill.answered")
    s.end(leads.now + 50 * MS)
    return s


def ahead(name, does, by, mode, verdict):
    s = respond(name, does, mode, [(-by, 30, 400 * MS)])
    judged(s, verdict, mode, "a hand is ahead of the count by half a second: where the output rested is known from before it began")
    return s


def moved(name, does, mode, turns, tapped=False):
    s = respond(name, does, mode, turns, tapped)
    s.left.discard("verdict.changed")
    s.never("verdict.changed", about="claim:response/" + mode)
    return s


def unanswered():
    """One tilt is answered, the next is not, in one run: nobody may have tilted."""
    s, bus, leads, model = seated("tilt-nobody", DAMPS)
    drill = Drill(s, "response")
    drill.begin(bus)
    there = mode_set(bus, leads) + COUNT
    model.turns = [(there + 300 * MS, 30, 400 * MS), (there + HELD + 300 * MS, 0, 500 * MS)]
    both(bus, leads, there + HELD + LYING + 100 * MS)
    bus.put(11, HIGH)
    asks(s, "upright")
    both(bus, leads, mode_set(bus, leads) + COUNT + HELD + 500 * MS)
    s.leave("drill.answered")
    judged(s, "seen right", "damping", "a tilt that was answered")
    s.never("verdict.changed", about="claim:response/upright")
    s.end(leads.now + 50 * MS)
    return s


def course():
    """A course that is held keeps the rudder over, in the right direction."""
    s, bus, leads, model = seated("tilt-course", LEVELS, sheet=COURSE, output=4)
    stick = [0]
    leads.output(4, lambda rise: model.width(rise) + stick[0])
    drill = Drill(s, "correction")
    drill.begin(bus)
    mode_set(bus, leads)
    for n in range(1, 11):  # 0.2 s to the stop
        bus.put(4, CENTRE + (HIGH - CENTRE) * n // 10)
        stick[0] = 512_000 * n // 10 // 500 * 500
        both(bus, leads, bus.end + 20 * MS)
    both(bus, leads, bus.end + 1400 * MS)
    for n in range(9, -1, -1):
        bus.put(4, CENTRE + (HIGH - CENTRE) * n // 10)
        stick[0] = 512_000 * n // 10 // 500 * 500
        both(bus, leads, bus.end + 20 * MS)
    both(bus, leads, bus.end + 620 * MS)
    there = bus.end + COUNT
    other = there + 4500 * MS + LYING + 3 * S
    model.turns = [(there + 300 * MS, 30, 400 * MS), (there + 4500 * MS + 300 * MS, 0, 500 * MS), (other + 300 * MS, -30, 400 * MS)]
    both(bus, leads, other + 5200 * MS)
    s.leave("drill.answered")
    s.left.discard("verdict.changed")
    s.expect("yaw may stay, where a course is held: that is an answer in the right direction", "verdict.changed",
             about="claim:correction/yaw/output:4", data={"verdict": "seen right"})
    s.end(leads.now + 50 * MS)
    return s
