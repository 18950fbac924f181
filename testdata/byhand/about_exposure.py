"""That something never happened says nothing where it could not have been seen. So what
counts is the time in which a live link was heard, in which something was known to
move, and the channels that moved at all."""

import sheets
from bus import CENTRE, FAILSAFE, HIGH, LOST, LOW, Bus
from sitting import MS, S, Sitting, near

PERIOD = 7 * MS


def scenarios():
    return [stretches(), never_live(), standing()]


def stir(bus, channel, frames, step=4):
    """A stick that moves with every frame, fast enough to be no tremor: so far up, then so far down."""
    for n in range(frames):
        bus.put(channel, CENTRE + (step * (n + 1) if step > 0 else -step * (frames - 1 - n)))
        bus.send(1)


def stretches():
    s = Sitting("watched", ["Exposure", "Missed"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    bus.send(20, flags=LOST)  # before the first link
    first, _ = bus.send(4)
    counted = first  # four plain frames in a row make a link, and then all of them count
    stir(bus, 1, 101)
    bus.send(143)  # 1001 ms of rest, then the second spell
    stir(bus, 1, 101, step=-4)
    bus.send(2, flags=LOST)
    bus.send(50)
    bus.send(10, flags=LOST)
    bus.send(60, flags=FAILSAFE)
    bus.send(54)
    down = bus.end
    s.down(down)
    s.expect("a run of a live link", "air.missed", data={"frames": 2, "loss": False})
    s.expect("and one that led into a failsafe", "air.missed", data={"frames": 70, "loss": True})
    s.leave("failsafe.entered"), s.leave("failsafe.left"), s.leave("period.changed")
    s.expect("the port goes", "tap.down")
    # Live: from the first frame over 3 + 101 + 143 + 101 + 2 + 50 frames, and behind the
    # failsafe over 47: that the loss is over is known three frames behind the fourth,
    # since the middle one of seven is what counts. Frames of a link: from the fourth on;
    # of these two missed. Each stirring moves with its first frame; between them the
    # stick stands elsewhere.
    s.expect("a stretch ends with the tap", "bus.watched", at=near(down), from_=near(counted),
             data={"tap": "main", "spells": 2, "link_frames": 397 + 47, "link_missed": 2, "moved": [1]},
             within={"live_ns": near((400 + 47) * PERIOD), "moving_ns": near((100 + 100) * PERIOD)})
    s.up(down + 2 * S)
    bus.end = down + 2 * S + 40 * MS
    bus.send(54)
    s.end(bus.end)
    s.expect("what comes behind it is another", "bus.watched", at=near(bus.end), data={"link_frames": 50, "spells": 0})
    return s


def never_live():
    s = Sitting("watched-never-live", ["Exposure"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    for _ in range(100):
        stir(bus, 1, 3)  # three plain frames are no link
        bus.send(5, flags=LOST)
    s.never("bus.watched")
    s.expect("frames come", "bus.locked")
    s.leave("period.changed")
    s.end(bus.end)
    return s


def standing():
    s = Sitting("watched-moved", ["Exposure"], sheets.SWITCHES)
    s.up(20 * MS)
    bus = Bus(s)
    for channel, count in ((11, LOW), (13, LOW), (15, LOW)):
        bus.put(channel, count)
    bus.send(100)
    bus.put(11, LOW + 31)  # 19.4 us: no other level
    bus.send(150)  # more than a second: none of this is one spell of movement
    bus.put(13, LOW + 33)  # 20.6 us
    bus.send(150)
    bus.put(15, HIGH)
    bus.send(3)  # 14 ms: it did not stand there
    bus.put(15, LOW)
    bus.send(100)
    s.leave("switch.moved")
    s.end(bus.end)
    s.expect("a channel moved that stood at two levels, 20 us apart", "bus.watched", data={"moved": [13], "spells": 0})
    return s
