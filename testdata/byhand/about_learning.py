"""A receiver that learns the limits of travel, by steps of the sheet. Common practice: a gesture begins it, servos
move by themselves, sticks go to their ends, and broken off the limits are unknown until they are learned again. Here
a button is held twice for a second or more with the throttle at cut, and a key on the receiver ends it."""

import sheets
from about_losses import Drill
from about_outputs import both, start
from bus import CENTRE, HIGH, LOW
from sitting import MS, S

NEUTRAL = 1_500_000

SHEET = sheets.HEAD + """\
taps: {main: {kind: bus, carries: heard}, leads: {kind: pulses}}
channels:
  2: {name: elevator, kind: stick, ends: {back: 2012, forward: 988}, neutral: 1500}
  3: {name: throttle, kind: throttle, cut: 988, full: 2012}
  15: {name: teach, kind: momentary, rest: 988, pressed: 2012}
gestures:
  limit-learning: {channel: teach, from: rest, to: pressed, times: 2, within: 9s, holds: 1s, while: {throttle: cut}, allowed: in-drill}
outputs:
  2: {surface: elevator, moved_by: {elevator: 1.0}, corrects: [pitch]}
learning:
  steps:
    - {kind: gesture, gesture: limit-learning}
    - {kind: servos, outputs: [elevator], lasts: 3s}
    - {kind: control, channel: elevator, to: [back, forward]}
    - {kind: button, says: press the key}
"""


def scenarios():
    return [
        taught("limits-learned", verdict="seen right"),
        taught("limits-held-too-short", held=900 * MS, made=False),
        taught("limits-throttle-up", throttle=CENTRE, made=False),
        taught("limits-stick-early", early=True),
        taught("limits-servos-still", sweep=10_000),
        taught("limits-stick-short", back=HIGH - 60),
        taught("limits-broken-off", broken=True),
        set_off(),
    ]


def bench(name):
    s, bus, leads = start(name, ["Gesture"], sheet=SHEET, latency=0)
    for kind in ("output.back", "switch.moved", "drill.answered", "output.travel", "output.rested"):
        s.leave(kind)
    bus.put(3, LOW)
    bus.put(15, LOW)
    off = {"servo": 0, "stick": 0, "limit": 100_000}
    leads.output(2, lambda rise: NEUTRAL + off["servo"] + max(-off["limit"], min(off["limit"], off["stick"])))
    both(bus, leads, 2 * S)
    return s, bus, leads, off


def stick(bus, leads, off, count, lasts):
    """The elevator stick goes to a count within 200 ms, and stays."""
    was = bus.counts[1]
    for n in range(1, 11):
        bus.put(2, was + (count - was) * n // 10)
        off["stick"] = (bus.counts[1] - CENTRE) * 625 // 500 * 500
        both(bus, leads, bus.end + 20 * MS)
    both(bus, leads, bus.end + lasts)


def presses(bus, leads, held):
    for _ in range(2):
        bus.put(15, HIGH)
        both(bus, leads, bus.end + held)
        bus.put(15, LOW)
        both(bus, leads, bus.end + 600 * MS)


def taught(name, held=1200 * MS, throttle=LOW, made=True, early=False, sweep=150_000, back=HIGH, broken=False, verdict=""):
    s, bus, leads, off = bench(name)
    drill = Drill(s, "limit-learning")
    drill.begin(bus)
    both(bus, leads, bus.end + 1 * S)
    drill.done(bus, "ready")
    for count in HIGH, LOW, CENTRE:  # how far outputs go before, and rest
        stick(bus, leads, off, count, 2600 * MS)
    bus.put(3, throttle)
    if early:
        stick(bus, leads, off, CENTRE + 130, 300 * MS)
        stick(bus, leads, off, CENTRE, 300 * MS)
    presses(bus, leads, held)
    bus.put(3, LOW)
    both(bus, leads, bus.end + 300 * MS)
    if broken:
        drill.step(bus.end - 2 * MS, "abandon")
    else:
        if not made:
            drill.done(bus, "1")
        for by in sweep, -sweep, 0:
            off["servo"] = by
            both(bus, leads, bus.end + 500 * MS)
        both(bus, leads, bus.end + 2 * S)
        off["limit"] = 600_000
        stick(bus, leads, off, back, 1500 * MS)
        if back != HIGH:
            drill.done(bus, "3/back")
        stick(bus, leads, off, LOW, 1500 * MS)
        stick(bus, leads, off, CENTRE, 500 * MS)
        drill.done(bus, "4")
        both(bus, leads, bus.end + 4 * S)
    told(s, made, broken, verdict, bus, throttle)
    s.end(leads.now + 50 * MS)
    return s


def told(s, made, broken, verdict, bus, throttle):
    if made:
        s.expect("held twice for more than a second with the throttle at cut", "gesture.made", about="switch:teach",
                 data={"gesture": "limit-learning", "times": 2, "in_drill": True})
    else:
        s.never("gesture.made")
    if broken:
        s.expect("it was begun", "drill.began", about="drill:limit-learning")
        s.never("limits.learned")
    else:
        s.expect("followed to its end; before, the output went 100 µs to either side", "limits.learned", about="drill:limit-learning",
                 within={"outputs.0.least_ns": [1_399_000, 1_401_000], "outputs.0.most_ns": [1_599_000, 1_601_000]})
    if verdict:
        s.expect("each step seen, or said where no wire shows it", "verdict.changed", about="claim:learning/done", data={"verdict": verdict},
                 within={"figures.seen": [5, 5], "figures.said": [2, 2], "figures.counted": [0, 0]})
    else:
        s.never("verdict.changed", about="claim:learning/done")


def set_off():
    """Learned as it is to be, and then set off where nobody meant it."""
    s, bus, leads, off = bench("limits-set-off")
    presses(bus, leads, 1200 * MS)
    both(bus, leads, bus.end + 1 * S)
    s.expect("made outside its drill", "gesture.made", about="switch:teach", data={"gesture": "limit-learning", "in_drill": False})
    s.expect("seen wrong", "verdict.changed", about="claim:gesture/limit-learning", data={"verdict": "seen wrong"})
    s.end(leads.now + 50 * MS)
    return s
