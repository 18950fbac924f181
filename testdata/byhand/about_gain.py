"""The gain knob is turned through its range and found by where it rests (common
practice). One frame settles nothing."""

import sheets
from bus import CENTRE, FAILSAFE, HIGH, LOW, Bus
from sitting import MS, Sitting, near

REST = "it moved, and has rested for 300 ms"


def scenarios():
    return [sweeps(), trembles()]


def turn(bus, *counts):
    """Ten frames to each. When it first moved, and when it was there."""
    began = bus.end
    for count in counts:
        begin = bus.counts[8]
        for n in range(1, 11):
            bus.put(9, begin + (count - begin) * n // 10)
            bus.send(1)
    return began, bus.end - 7 * MS


# Each frame is taken three frames late, by the middle one of seven.
def swept(s, began, rests, from_, to, least, most):
    s.expect(REST, "gain.swept", about="channel:9", at=near(rests + 322 * MS), from_=near(began),
             data={"tap": "main", "channel": 9, "from_ns": from_, "to_ns": to, "least_ns": least, "most_ns": most,
                   "signal": "live", "suspect": False})


def sweeps():
    s = Sitting("gain-swept", ["Sweep"], sheets.GAIN)
    s.up(20 * MS)
    bus = Bus(s)
    bus.put(9, HIGH)
    bus.send(1)  # a wrong frame to begin with
    bus.put(9, CENTRE)
    bus.send(80)
    began, rests = turn(bus, LOW)
    bus.send(80)
    swept(s, began, rests, 1_500_000, 987_500, 987_500, 1_500_000)
    began, _ = turn(bus, HIGH)
    bus.send(40)  # 280 ms are no rest
    _, rests = turn(bus, CENTRE)
    bus.send(80)
    swept(s, began, rests, 987_500, 1_500_000, 987_500, 2_011_875)
    for frames in (1, 2, 3):
        bus.put(9, LOW)
        bus.send(frames)  # wrong frames
        bus.put(9, CENTRE)
        bus.send(80)
    turn(bus, CENTRE + 7)  # hardly a movement
    bus.send(80)
    began, _ = turn(bus, 1152)
    bus.put(9, 2047)
    bus.send(1)  # a wrong frame on the way
    bus.put(9, 1152)
    _, rests = turn(bus, 1312)
    for n in range(80):  # it trembles by one count
        bus.put(9, 1312 + n % 2)
        bus.send(1)
    swept(s, began, rests, 1_500_000, 1_700_000, 1_500_000, 1_700_625)
    bus.put(9, LOW)
    bus.send(80, flags=FAILSAFE)  # the receiver's doing
    bus.put(9, 1312)
    bus.send(80)
    for kind in ("failsafe.entered", "failsafe.left", "failsafe.settled", "air.missed"):
        s.leave(kind)
    s.end(bus.end + 50 * MS)
    return s


def flicker(bus, count, by, frames=80):
    """It stands, but for a tremble: four frames below, four there, four above."""
    for n in range(frames):
        bus.put(9, count + by * (n // 4 % 3 - 1))
        bus.send(1)


def trembles():
    """A knob whose track is worn, from end to end in three turns, and wrong frames on
    the way. By two counts either way it does not rest."""
    s = Sitting("gain-trembles", ["Sweep"], sheets.GAIN)
    s.up(20 * MS)
    bus = Bus(s)
    flicker(bus, CENTRE, 1)
    began, rests = turn(bus, LOW)
    flicker(bus, LOW, 1)
    swept(s, began, rests, 1_500_000, 987_500, 986_875, 1_500_000)
    began, _ = turn(bus, CENTRE)
    for _ in range(2):
        bus.put(9, 0)
        bus.send(1)  # two wrong frames
    bus.put(9, CENTRE)
    _, rests = turn(bus, HIGH)
    flicker(bus, HIGH, 1)
    swept(s, began, rests, 987_500, 2_011_875, 987_500, 2_012_500)
    turn(bus, CENTRE)
    flicker(bus, CENTRE, 2)
    s.end(bus.end + 50 * MS)
    return s
