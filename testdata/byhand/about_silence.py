"""A line is silent after about five learned periods, 100 ms at least (common
practice). An adapter that hands over every 16 ms may not make it look so."""

import sheets
from bus import LOW, Bus, pack, unpack
from sitting import MS, S, US, Sitting, after, near, unread

ONE_FRAME = "one frame settles nothing: the second bears the first out"
SILENT = "silent after about five periods, 100 ms at least (common practice)"
ONSET = "a silence begins with the last frame"


def scenarios():
    return [locked_and_silent(), slow_bus(), five_periods_to_the_dot(), clumping(), never_heard(), early(), header_in_data(), header_in_one_read()]


def locked_and_silent():
    s = Sitting("silence", ["Silence"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s, first=100 * MS)
    first, last = bus.send(200)
    s.expect(ONE_FRAME, "bus.locked", at=after(first, 7 * MS, 7 * 7 * MS), from_=near(first), data={"silent_ns": 0})
    bus.end = last + 2 * S
    again, end = bus.send(100)
    s.expect("the silence is measured from frame to frame", "bus.locked", at=after(again, 0, 49 * MS), from_=near(again),
             within={"silent_ns": near(2 * S)})
    s.expect(SILENT, "bus.silent", at=unread(last + 100 * MS), from_=near(last), within={"limit_ns": [100 * MS, 110 * MS]})
    s.end(end + 50 * MS)
    return s


def slow_bus():
    s = Sitting("silence-slow-bus", ["Silence", "Period"], sheets.PLAIN)
    s.up(20 * MS)
    _, last = Bus(s, period=25 * MS).send(100)
    s.expect("five periods of 25 ms are more than 100 ms", "bus.silent", at=unread(last + 125 * MS), from_=near(last))
    s.expect("the period is learned", "period.changed", at=[S, 3 * S], data={"period_ns": 25 * MS, "was_ns": 0})
    s.end(last + 2 * S)
    return s


def five_periods_to_the_dot():
    s = Sitting("silence-not-yet", ["Silence", "Gap"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s, period=20 * MS)
    _, last = bus.send(100)
    bus.skip(4)
    _, end = bus.send(20)
    s.expect("four frames of a bus that goes on were not sent", "wire.gap", at=after(last, 100 * MS, 600 * MS), from_=near(last),
             data={"frames": 4}, within={"span_ns": near(100 * MS)})
    s.never("bus.silent")  # what comes at the deadline comes in time
    s.end(end + 50 * MS)
    return s


def clumping():
    s = Sitting("silence-clumped", ["Silence"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s, latency=16 * MS)
    lag = lambda: -bus.end % bus.latency
    bus.send(300)
    while lag() > MS:
        bus.send(1)
    _, last = bus.send(1)  # read within a millisecond of its end
    bus.skip(13)
    assert bus.end - last == 98 * MS and bus.end + lag() > last + MS + 110 * MS
    bus.send(200)
    while lag() < 10 * MS:
        bus.send(1)
    _, last = bus.send(1)  # read more than 10 ms after its end
    s.expect("98 ms on the wire are no silence, though the reads lie 112 ms apart; the end is one", "bus.silent",
             at=unread(last + 130 * MS), from_=near(last, 1500 * US))
    s.expect("the frames that were not sent in those 98 ms", "wire.gap", data={"frames": 13})
    s.end(last + 2 * S)
    return s


def never_heard():
    s = Sitting("silence-never-heard", ["Silence", "LineFault"], sheets.PLAIN)
    s.up(20 * MS)
    s.expect("a tap that is up without a frame is told (after 2 s)", "bus.silent", at=unread(2020 * MS), from_=near(20 * MS))
    s.expect("and that nothing arrives, within 3 s", "line.fault", at=unread(1770 * MS), from_=near(20 * MS), data={"cause": "nothing"})
    s.never("bus.locked")
    s.end(4 * S)
    return s


def early():
    s = Sitting("silence-early", ["Silence", "Period"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    _, last = bus.send(20)
    bus.end = last + 150 * MS
    _, last = bus.send(20)
    s.expect("how often frames come is not known yet: waits longer, but not for good", "bus.silent",
             at=after(last, 200 * MS, S), from_=near(last))
    s.never("period.changed")
    s.end(last + 3 * S)
    return s


def two_readings(bus):
    """Values with a 0x0F inside and a 0x00 right before it: 25 bytes from there on
    look like a frame. Gives what a tap hears that begins there."""
    data = bytearray(pack(bus.counts))
    data[10:12] = b"\x00\x0F"
    bus.counts = unpack(data)
    bus.put(11, LOW)
    data = pack(bus.counts)
    assert data[10:12] == b"\x00\x0F"
    return data[11:]


def header_in_data():
    s = Sitting("header-in-data", ["Silence", "Position"], sheets.ONE_SWITCH)
    s.up(20 * MS)
    bus = Bus(s)
    bus.raw(two_readings(bus))
    first, end = bus.send(100)
    rule = "0x0F and 0x00 occur inside the data too; after a frame the line rests, and what follows the rest begins one"
    s.expect(rule, "bus.locked", at=after(first, 7 * MS, 70 * MS), from_=near(first), data={"silent_ns": 0})
    s.expect(rule, "switch.moved", about="switch:inner", from_=near(first), data={"to": "back", "width_ns": 987_500})
    s.end(end + 50 * MS)
    return s


def header_in_one_read():
    s = Sitting("header-in-one-read", ["Silence", "Position"], sheets.ONE_SWITCH)
    s.up(20 * MS)
    bus = Bus(s)
    at = bus.end + 45 * MS
    s.add(at, 1, "bytes", two_readings(bus))
    bus.end += bus.period
    bus.late(4, 0, at)
    bus.put(6, 992), bus.put(7, 992)  # the data moves, and with it what only looked like frames
    bus.late(2, 0, at)
    bus.end = at + 7 * MS
    first, end = bus.send(100)
    s.expect("where dates tell nothing, wait until the data moves", "bus.locked", at=after(at, 0, 49 * MS), from_=near(at), data={"silent_ns": 0})
    s.expect("the position was never another", "switch.moved", about="switch:inner", at=after(at, 100 * MS, 300 * MS),
             data={"to": "back", "width_ns": 987_500})
    s.leave("wire.gap")  # how many frames lay in the first read is not known yet
    s.end(end + 50 * MS)
    return s
