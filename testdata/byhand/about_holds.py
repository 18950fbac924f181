"""A healthy link may send identical values for hours when nothing moves, since
transmitters filter. So an unflagged hold shows only while something is known to
move: a stirred stick, or a slow heartbeat (common practice). A hand slows down
before it stops."""

import sheets
from bus import CENTRE, HIGH, LOST, LOW, Bus
from about_jumps import smooth
from sitting import MS, S, Sitting, near


def scenarios():
    return [heartbeat(), stirred(), at_rest()]


def start(name, sheet):
    s = Sitting(name, ["Stillness"], sheet)
    s.up(20 * MS)
    return s, Bus(s)


def beat(bus, frames, every):
    """A sawtooth on channel 16."""
    for n in range(frames):
        if n % every == 0:
            bus.put(16, (bus.counts[15] + 3) % 2000)
        bus.send(1)


def still(s, rule, last, wait, because):
    s.expect(rule, "values.still", at=near(last + wait), from_=near(last),
             data={"tap": "main", "because": because}, within={"for_ns": near(wait)})


def moving(s, rule, at, again, last, because):
    s.expect(rule, "values.moving", at=near(at), from_=near(again),
             data={"tap": "main", "because": because}, within={"for_ns": near(again - last)})


def heartbeat():
    s, bus = start("held-heartbeat", sheets.HEARTBEAT)
    first = bus.end
    beat(bus, 100, 1)
    s.expect("five movements of two frames each make a heartbeat", "values.moving", from_=[first, first + 200 * MS],
             data={"because": "heartbeat", "for_ns": 0})
    bus.send(140)  # 980 ms
    beat(bus, 100, 1)
    last = bus.end - 7 * MS
    at = bus.counts[15]
    bus.send(50)
    bus.put(16, 40)  # a wrong frame: neither a movement nor an end of the stillness
    bus.send(1)
    bus.put(16, at)
    bus.send(250)
    bus.send(170)
    # 140 pauses of 7 ms were the longest; the wrong frame and the one behind it say
    # nothing of how long it stands
    still(s, "three times as long as it ever stood", last, (3 * 140 + 1) * 7 * MS, "heartbeat")
    again = bus.end
    beat(bus, 100, 1)
    moving(s, "two movements, of two frames each", again + 21 * MS, again, last, "heartbeat")
    bus.send(300, flags=LOST)
    beat(bus, 100, 1)
    s.expect("what is flagged is known: no stillness", "air.missed", data={"frames": 300})
    bus.skip(800)
    beat(bus, 100, 1)
    s.expect("a silent bus says nothing", "bus.silent")
    s.leave("wire.gap"), s.leave("period.changed")
    s.end(bus.end + 50 * MS)
    return s


def strokes(bus, *ends, frames=30):
    """Two sticks together, slow at both ends."""
    for end in ends:
        begin = bus.counts[0]
        for n in range(1, frames + 1):
            for channel in (1, 2):
                bus.put(channel, smooth(begin, end, n, frames))
            bus.send(1)


def stirred():
    s, bus = start("held-stirred", sheets.STICKS)
    bus.send(50)
    strokes(bus, LOW, HIGH, LOW, HIGH)
    for n in range(12):
        for channel in (1, 2):
            bus.put(channel, 1500 - 30 * n)
        bus.send(1)
    last = bus.end - 7 * MS
    bus.send(50)
    still(s, "two sticks in full motion freeze in one frame", last, 301 * MS, "stirred")
    bus.put(3, 700)  # a wrong frame
    bus.send(1)
    bus.put(3, CENTRE)
    bus.send(50)
    bus.put(3, LOW)  # a preset, perhaps: it moves once
    bus.send(50)
    again = bus.end
    strokes(bus, LOW)
    moving(s, "hands: one movement follows another", again + 7 * MS, again, last, "stirred")
    bus.send(100)
    s.end(bus.end + 50 * MS)
    return s


def at_rest():
    s, bus = start("hands-that-stop", sheets.STICKS)
    bus.send(50)
    strokes(bus, LOW, HIGH, 700)
    bus.send(100)  # both slowed down and stopped in one frame
    strokes(bus, LOW, HIGH, frames=25)
    for n in range(10):
        for channel in (1, 2):
            bus.put(channel, 1500 - 50 * n)
        bus.send(1)
    bus.put(1, CENTRE), bus.put(2, CENTRE)
    bus.send(100)  # let go: they spring back to neutral
    for n in range(10):
        for channel in (1, 2):
            bus.put(channel, 900 - 70 * n)
        bus.send(1)
    bus.put(1, LOW), bus.put(2, LOW)
    bus.send(100)  # slammed into the corner
    for n in range(20):
        bus.put(1, 200 + 40 * n)
        bus.send(1)
    bus.send(100)  # one stick stopped dead may be anything
    for n in range(20):
        bus.put(1, 1000 + 20 * n), bus.put(2, 200 + 20 * n)
        bus.send(1)
    bus.skip(200)
    bus.send(100)
    s.expect("the line stood, not the values", "bus.silent")
    s.never("values.still"), s.never("values.moving")
    s.leave("wire.gap"), s.leave("period.changed")
    s.end(bus.end + 50 * MS)
    return s
