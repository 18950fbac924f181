"""Limit learning can be started by a gesture, for instance a three-position switch
moved out of and back into its centre three times within three seconds (common
practice). There is no checksum, and a wrong frame comes up to three times: a visit of three
frames is none."""

import sheets
from bus import CENTRE, FAILSAFE, HIGH, LOW, Bus
from sitting import MS, Sitting, near


def scenarios():
    return [gestures(), no_gesture()]


def start(name):
    s = Sitting(name, ["Gesture"], sheets.GESTURES)
    s.up(20 * MS)
    bus = Bus(s)
    bus.put(15, LOW)
    bus.send(60)
    s.leave("switch.moved")
    return s, bus


def visit(bus, channel, count, frames):
    """When the visit began, and when it ended."""
    home = bus.counts[channel - 1]
    bus.put(channel, count)
    left, _ = bus.send(frames)
    bus.put(channel, home)
    back, _ = bus.send(frames)
    return left, back


def made(s, rule, name, switch, left, back, times):
    s.expect(rule, "gesture.made", about="switch:" + switch, at=near(back + 21 * MS), from_=near(left),
             data={"tap": "main", "gesture": name, "times": times, "signal": "live", "suspect": False, "in_drill": False},
             within={"span_ns": near(back - left)})


def gestures():
    s, bus = start("gestures")
    for _ in range(2):
        visit(bus, 11, HIGH, 20)  # twice is not three times
    bus.send(500)
    left, _ = visit(bus, 11, HIGH, 20)
    visit(bus, 11, LOW, 20)
    _, back = visit(bus, 11, HIGH, 20)
    made(s, "out of the centre and back, three times within three seconds", "centre-out", "inner", left, back, 3)
    for _ in range(2):
        visit(bus, 11, HIGH, 20)  # the count started anew
    bus.send(500)
    for _ in range(6):
        visit(bus, 11, HIGH, 110)  # three of these take 3850 ms
    bus.send(500)
    left, _ = visit(bus, 15, HIGH, 80)
    visit(bus, 15, HIGH, 80)
    _, back = visit(bus, 15, HIGH, 80)  # 2800 ms
    made(s, "pressed three times within three seconds", "press", "teach", left, back, 3)
    bus.send(500)
    bus.put(13, LOW)
    bus.send(100)
    bus.put(13, CENTRE)  # the lever passes its middle
    left, _ = bus.send(9)
    for count in (HIGH, CENTRE, LOW, CENTRE, HIGH, CENTRE):
        bus.put(13, count)
        bus.send(9 if count == CENTRE else 30)
    bus.put(13, LOW)
    back, end = bus.send(100)
    made(s, "from one end to the other and back, twice, whatever lies between", "end-to-end", "outer", left, back, 2)
    s.end(end + 50 * MS)
    return s


def no_gesture():
    s, bus = start("gesture-not-made")
    for _ in range(6):
        visit(bus, 15, HIGH, 3)  # wrong frames
        bus.send(5)
    for _ in range(6):
        bus.put(15, HIGH)
        for _ in range(6):
            bus.bad(marked=9)
        bus.put(15, LOW)
        bus.send(5)
    for _ in range(6):
        bus.put(15, HIGH)
        bus.send(10, flags=FAILSAFE)
        bus.put(15, LOW)
        bus.send(10, flags=FAILSAFE)
    bus.send(60)
    for _ in range(6):
        visit(bus, 11, 1400, 4)  # 1755 us: the middle's side of 1756 us
        visit(bus, 11, 1420, 4)  # 1767.5 us: hardly beyond
    left, back = visit(bus, 15, HIGH, 4)
    for _ in range(2):
        _, back = visit(bus, 15, HIGH, 4)
    made(s, "only what stands for four frames in a row, live, made a visit", "press", "teach", left, back, 3)
    for kind in ("wire.damaged", "failsafe.entered", "failsafe.left", "air.missed"):
        s.leave(kind)
    _, end = bus.send(20)
    s.end(end + 50 * MS)
    return s
