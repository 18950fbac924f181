"""Frame lost flags what the receiver did not hear (common practice). One lost
packet may show in several frames, so runs are counted."""

import sheets
from bus import LOST, Bus
from sitting import MS, S, Sitting, after, near, unread


def scenarios():
    return [runs(), run_into_silence(), telemetry_footers(), before_the_link(), reserved_bits(), many_runs()]


def runs():
    s = Sitting("air-missed", ["Missed"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    bus.send(100)
    for frames in (2, 3):
        first, last = bus.send(frames, flags=LOST)
        live, _ = bus.send(1)
        s.expect("a run ends with the first frame without a flag", "air.missed", at=near(live), from_=near(first),
                 data={"frames": frames}, within={"span_ns": near(last - first)})
    bus.send(100)
    first, last = bus.send(2, flags=LOST)
    bus.bad(marked=5)
    _, last = bus.send(2, flags=LOST)
    live, end = bus.send(100)
    s.expect("a damaged frame in the middle says nothing, neither way", "air.missed", at=near(live), from_=near(first),
             data={"frames": 4}, within={"span_ns": near(28 * MS)})
    s.expect("it is damage", "wire.damaged", data={"bad_frames": 1})
    bus.send(200)
    s.end(bus.end + 50 * MS)
    return s


def run_into_silence():
    s = Sitting("air-missed-then-silent", ["Missed", "Silence"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    bus.send(100)
    first, last = bus.send(4, flags=LOST)
    s.expect("a run that a silence ends is told all the same, but no live link missed it", "air.missed", at=unread(last + S),
             from_=near(first), data={"frames": 4, "loss": True}, within={"span_ns": near(21 * MS)})
    s.expect("some receivers stop sending", "bus.silent", at=unread(last + 100 * MS), from_=near(last))
    s.end(last + 3 * S)
    return s


def telemetry_footers():
    s = Sitting("telemetry-footers", ["Silence", "Missed", "Failsafe"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s, footers=(0x04, 0x14, 0x24, 0x34))
    start, _ = bus.send(100)
    s.expect("footers that cycle 0x04, 0x14, 0x24, 0x34 are footers (from memory)", "bus.locked", from_=near(start), data={"silent_ns": 0})
    first, last = bus.send(2, flags=LOST | 1 << 4)
    live, end = bus.send(100)
    s.expect("flag bits 4 to 7 are no reason to refuse a frame", "air.missed", at=near(live), from_=near(first), data={"frames": 2})
    s.end(end + 50 * MS)
    return s


def before_the_link():
    s = Sitting("air-missed-before-link", ["Missed"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    start, _ = bus.send(100, flags=LOST)
    s.expect("a line is a line, whatever its flags say", "bus.locked", from_=near(start))
    bus.send(100)
    first, last = bus.send(3, flags=LOST)
    live, end = bus.send(50)
    s.expect("flags before the first link are neither proof nor fault; behind it they are runs", "air.missed", at=near(live),
             from_=near(first), data={"frames": 3}, within={"span_ns": near(last - first)})
    s.end(end + 50 * MS)
    return s


def reserved_bits():
    s = Sitting("reserved-flags-alternate", ["Silence", "Missed", "Failsafe"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    start = bus.end
    for n in range(200):
        bus.send(1, flags=(0x10, 0x00, 0xE0, 0x50)[n % 4])
    s.expect("flag bits 4 to 7 are usually zero, and no reason to refuse others, which may change from frame to frame", "bus.locked",
             at=after(start, 7 * MS, 49 * MS), from_=near(start), data={"silent_ns": 0})
    s.expect("no frame is lost by them", "period.changed", data={"period_ns": 7 * MS, "was_ns": 0})
    s.end(bus.end + 20 * MS)
    return s


def many_runs():
    """One frame in ten."""
    s = Sitting("air-missed-often", ["Missed"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    bus.send(100)
    firsts = []
    for _ in range(300):
        first, _ = bus.send(1, flags=LOST)
        firsts.append(first)
        _, last = bus.send(9)
    for first in firsts[:3]:
        s.expect("the first are told one by one", "air.missed", at=near(first + 7 * MS), from_=near(first), data={"frames": 1})
    # The fourth is over 7 ms behind it; within 10 s of that come 142 more, 70 ms apart.
    s.expect("those that follow are told together", "air.missed", at=near(firsts[3] + 7 * MS + 10 * S), from_=near(firsts[3]),
             data={"frames": 143, "runs": 143, "longest_ns": 0}, within={"span_ns": near(142 * 70 * MS)})
    s.expect("and again", "air.missed", at=near(firsts[146] + 7 * MS + 10 * S), from_=near(firsts[146]), data={"frames": 143, "runs": 143})
    s.end(last + 5 * MS)
    s.expect("and what is left at the end", "air.missed", at=near(last + 5 * MS), from_=near(firsts[289]), data={"frames": 11, "runs": 11})
    return s
