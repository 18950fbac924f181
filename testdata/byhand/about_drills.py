"""Hands that go astray in a drill in which one stick is asked for at a time. Whoever
moves the wrong one, or the wrong way, is asked before anything is judged."""

import sheets
from about_losses import Drill
from bus import CENTRE, HIGH, LOW, Bus
from sitting import MS, Sitting, near

ASKED = "what does not fit what was asked for is asked about, and judges nothing"


def scenarios():
    return [wrong_stick_let_go(), the_other_way()]


def start(name):
    s = Sitting(name, ["Position"], sheets.STICKS)
    for kind in ("bus.silent", "bus.locked"):
        s.leave(kind)
    s.up(20 * MS)
    bus = Bus(s)
    bus.put(3, LOW)
    bus.send(100)
    s.drill(bus.end - 2 * MS, {"drill": "order", "do": "begin", "asks": True})
    bus.send(1)
    drill = Drill(s, "order")
    drill.step(bus.end - 2 * MS, "confirm")
    bus.send(150)
    return s, bus, drill


def hold(bus, channel, count, frames=150):
    bus.put(channel, count)
    return bus.send(frames)


def wrong_stick_let_go():
    s, bus, drill = start("drill-wrong-stick")
    hold(bus, 2, LOW)
    drill.done(bus, "aileron/left")
    s.expect(ASKED, "drill.hint", about="drill:order", at=near(bus.end - 2 * MS), data={"prompt": "order/aileron/left"})
    bus.send(100)
    hold(bus, 2, CENTRE)  # let go, and only then the right one
    hold(bus, 1, LOW)
    s.expect("the elevator went home before the aileron began to move: no company of it", "verdict.changed", about="claim:answers/controls",
             data={"verdict": "seen right"})
    hold(bus, 1, HIGH)
    s.expect("aileron to both ends", "verdict.changed", about="claim:order/aileron", data={"verdict": "seen right"})
    s.expect("and alone", "verdict.changed", about="claim:alone/aileron", data={"verdict": "seen right"})
    s.end(bus.end + 50 * MS)
    return s


def the_other_way():
    s, bus, drill = start("drill-other-way")
    hold(bus, 1, HIGH)
    drill.done(bus, "aileron/left")
    s.expect(ASKED, "drill.hint", about="drill:order", at=near(bus.end - 2 * MS), data={"prompt": "order/aileron/left"})
    bus.send(100)
    hold(bus, 1, LOW)
    s.expect("moved there after all", "verdict.changed", about="claim:answers/controls", data={"verdict": "seen right"})
    hold(bus, 1, HIGH)
    s.expect("aileron to both ends", "verdict.changed", about="claim:order/aileron", data={"verdict": "seen right"})
    s.expect("and alone", "verdict.changed", about="claim:alone/aileron", data={"verdict": "seen right"})
    s.end(bus.end + 50 * MS)
    return s
