"""A switch that overrides the mode and brings the model upright. Common practice: it leans on the mode that
holds an attitude, is shown after that and never before, and rests without a signal. The model is propped up
tilted here, so that what a mode that holds an attitude answers stands, and what others answer does not."""

import sheets
from about_losses import Drill
from about_outputs import both, start
from bus import CENTRE, HIGH, LOW
from sitting import MS, S

NEUTRAL, HELD = 1_500_000, 80_000

# What the sheet calls plain answers nothing, what it calls upright stays.
SHEET = sheets.HEAD + """\
taps: {main: {kind: bus, carries: heard}, leads: {kind: pulses}}
channels:
  2: {name: elevator, kind: stick, ends: {back: 2012, forward: 988}, neutral: 1500}
  11: {name: inner, kind: switch, positions: {back: 988, front: 2012}}
  12: {name: rescue, kind: momentary, rest: 988, pressed: 2012}
stabiliser:
  windows: {from: guess}
  modes:
    plain:   {when: [{inner: [0, 1500]}], wanted_at: [{inner: back}], does: nothing}
    upright: {when: [{inner: [1500, 3000]}], wanted_at: [{inner: front}], does: stays}
  righting: {channel: rescue, when: pressed}
outputs:
  2: {surface: elevator, moved_by: {elevator: 1.0}, corrects: [pitch]}
"""


def scenarios():
    return [
        righted("righting", HELD, first=True, verdict="seen right"),
        righted("righting-dead", 0, first=True, verdict="seen wrong"),
        righted("righting-the-other-way", -HELD, first=True, verdict="seen wrong"),
        righted("righting-before-attitude", 0, first=False, verdict=""),
    ]


def bench(name):
    s, bus, leads = start(name, ["Mode"], sheet=SHEET, latency=0)
    for kind in ("output.back", "verdict.changed", "switch.moved", "drill.answered", "mode.asked"):
        s.leave(kind)
    bus.put(11, LOW)
    bus.put(12, LOW)
    lies = {"off": 0, "stick": 0}
    leads.output(2, lambda rise: NEUTRAL + lies["off"] + lies["stick"])
    both(bus, leads, 2 * S)
    return s, bus, leads, lies


def stick(bus, leads, lies):
    """The elevator stick is held back, and let go."""
    for n in list(range(1, 11)) + [10] * 70 + list(range(9, -1, -1)):
        bus.put(2, CENTRE + (HIGH - CENTRE) * n // 10)
        lies["stick"] = 512_000 * n // 10 // 500 * 500
        both(bus, leads, bus.end + 20 * MS)
    both(bus, leads, bus.end + 700 * MS)


def tilt(bus, leads, lies, off, takes, done=None):
    """A tilt to one side is held, and the model put back."""
    both(bus, leads, bus.end + 300 * MS)
    lies["off"] = off
    both(bus, leads, bus.end + 2 * S)
    if done:
        done()
    both(bus, leads, bus.end + takes - 2300 * MS + 300 * MS)
    lies["off"] = 0
    both(bus, leads, bus.end + 3200 * MS)


def attitude(s, bus, leads, lies):
    """Correction and response are done before, rightly, and both tilts confirmed."""
    drill = Drill(s, "response")
    drill.begin(bus)
    both(bus, leads, bus.end + 800 * MS + 6 * S)  # plain is set, and counted in
    both(bus, leads, bus.end + 5 * S + 3500 * MS + 200 * MS)  # nobody tilts in it
    bus.put(11, HIGH)
    both(bus, leads, bus.end + 800 * MS + 6 * S)
    tilt(bus, leads, lies, HELD, 5 * S, lambda: drill.done(bus, "upright/1/there"))
    both(bus, leads, bus.end + 1500 * MS)
    drill = Drill(s, "correction")
    drill.begin(bus)
    both(bus, leads, bus.end + 800 * MS)
    stick(bus, leads, lies)
    both(bus, leads, bus.end + 6 * S)
    tilt(bus, leads, lies, HELD, 4500 * MS, lambda: drill.done(bus, "pitch/there"))
    both(bus, leads, bus.end + 3 * S)
    tilt(bus, leads, lies, -HELD, 4500 * MS, lambda: drill.done(bus, "pitch/other"))
    both(bus, leads, bus.end + 1 * S)
    drill.step(bus.end - 2 * MS, "abandon")
    both(bus, leads, bus.end + 500 * MS)


def righted(name, answers, first, verdict):
    s, bus, leads, lies = bench(name)
    s.leave("drill.ended")
    if first:
        attitude(s, bus, leads, lies)
    bus.put(11, LOW)
    both(bus, leads, bus.end + 500 * MS)
    drill = Drill(s, "righting")
    drill.begin(bus)
    both(bus, leads, bus.end + 2500 * MS)  # plain stands for two seconds
    drill.done(bus, "plain/prop")
    both(bus, leads, bus.end + 100 * MS)
    bus.put(11, HIGH)
    lies["off"] = HELD
    both(bus, leads, bus.end + 2500 * MS)
    bus.put(11, LOW)
    lies["off"] = 0
    both(bus, leads, bus.end + 2500 * MS)
    bus.put(12, HIGH)
    lies["off"] = answers
    both(bus, leads, bus.end + 2500 * MS)
    bus.put(12, LOW)
    lies["off"] = 0
    both(bus, leads, bus.end + 2500 * MS)
    if verdict:
        s.left.discard("verdict.changed")
        s.expect("the same tilt, beside the mode that holds an attitude", "verdict.changed", about="claim:righting/over/plain", data={"verdict": verdict})
    else:
        s.left.discard("verdict.changed")
        s.expect("it may be tried before", "drill.began", about="drill:righting")
        s.never("verdict.changed", about="claim:righting/over/plain")
    s.end(leads.now + 50 * MS)
    return s
