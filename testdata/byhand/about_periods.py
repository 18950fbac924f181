"""Frames repeat every 7 ms or every 14 ms; some receivers 9 to 20 ms (common
practice). What is learned is told, and told again when it changes."""

import sheets
from bus import Bus
from sitting import MS, S, Sitting

LEARNED = "the period is learned from the frames"


# What receivers are set to, and set anew, in whole milliseconds.
CHANGES = ((7, 9), (7, 10), (7, 14), (9, 12), (9, 14), (11, 14), (14, 12), (14, 11))


def scenarios():
    return [faster(), third_faster(), *(other(was, now) for was, now in CHANGES)]


def faster():
    s = Sitting("period-14-to-7", ["Period"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s, period=14 * MS)
    bus.send(100)
    bus.end += -7 * MS
    bus.period = 7 * MS
    changed, end = bus.send(300)
    s.expect(LEARNED, "period.changed", at=[100 * MS, changed], data={"period_ns": 14 * MS, "was_ns": 0})
    s.expect("the bus runs twice as fast", "period.changed", at=[changed, changed + 2 * S], data={"period_ns": 7 * MS, "was_ns": 14 * MS})
    s.expect("it was never silent in between", "bus.locked", data={"silent_ns": 0})
    s.end(end + 50 * MS)
    return s


def third_faster():
    s = Sitting("period-14-to-9", ["Period"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s, period=14 * MS)
    bus.send(100)
    bus.end += -5 * MS
    bus.period = 9 * MS
    changed, end = bus.send(300)
    s.expect(LEARNED, "period.changed", at=[100 * MS, changed], data={"period_ns": 14 * MS, "was_ns": 0})
    s.expect("a third less is a change", "period.changed", at=[changed, changed + 2 * S], data={"period_ns": 9 * MS, "was_ns": 14 * MS})
    s.end(end + 50 * MS)
    return s


def other(was, now):
    """Nothing goes missing when the pace changes: no gap, on either side."""
    s = Sitting("period-%d-to-%d" % (was, now), ["Period", "Gap"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s, period=was * MS)
    bus.send(150)
    bus.end += (now - was) * MS
    bus.period = now * MS
    changed, end = bus.send(3 * S // bus.period)
    s.expect(LEARNED, "period.changed", at=[100 * MS, changed], data={"period_ns": was * MS, "was_ns": 0})
    s.expect("another pace is told soon", "period.changed", at=[changed, changed + 1500 * MS],
             data={"period_ns": now * MS, "was_ns": was * MS})
    s.expect("the line was never silent", "bus.locked", data={"silent_ns": 0})
    s.never("wire.gap")
    s.end(end + 50 * MS)
    return s
