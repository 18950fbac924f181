"""A channel carries eleven bits: 0 and 2047 counts are the rails of the bus, 880 and
2159.375 us at the common scale. What a transmitter wants beyond is cut off."""

import sheets
from bus import CENTRE, FAILSAFE, Bus
from sitting import MS, Sitting, near

STANDS = "five frames and 50 ms at a rail"
LEFT = "four frames in a row away from it"


def scenarios():
    return [rails()]


def clipped(s, first, channel, count, width, signal="live"):
    s.expect(STANDS, "travel.clipped", about=f"channel:{channel}", at=near(first + 56 * MS), from_=near(first),
             data={"tap": "main", "channel": channel, "count": count, "width_ns": width, "signal": signal, "short": False},
             within={"dwell_ns": near(56 * MS)})


def free(s, first, channel, count, dwell):
    s.expect(LEFT, "travel.free", about=f"channel:{channel}", at=near(first + 21 * MS), from_=near(first),
             data={"channel": channel, "count": count}, within={"dwell_ns": near(dwell)})


def stand(bus, channel, count, frames):
    bus.put(channel, count)
    return bus.send(frames)


def rails():
    s = Sitting("rails", ["Rail"], sheets.STICKS)
    s.up(20 * MS)
    bus = Bus(s)
    bus.send(50)
    first, _ = stand(bus, 1, 2047, 20)
    clipped(s, first, 1, 2047, 2_159_375)
    first, _ = stand(bus, 1, 2046, 50)  # a count below it
    free(s, first, 1, 2047, 19 * 7 * MS)
    stand(bus, 1, 0, 8)  # 49 ms
    stand(bus, 1, 1, 20)
    for _ in range(6):  # never for long
        stand(bus, 2, 0, 7)
        stand(bus, 2, CENTRE, 1)
    bus.put(16, 0)
    for _ in range(20):
        bus.bad(marked=3)
    stand(bus, 16, CENTRE, 20)
    s.expect("damaged frames were never judged", "wire.damaged", data={"bad_frames": 20})
    first, _ = stand(bus, 2, 0, 20)
    clipped(s, first, 2, 0, 880_000)
    stand(bus, 2, CENTRE, 3)  # wrong frames
    stand(bus, 2, 0, 20)
    stand(bus, 2, CENTRE, 3)
    _, end = stand(bus, 2, 0, 20)
    free(s, end + 7 * MS, 2, 0, end - first)
    stand(bus, 2, CENTRE, 50)
    bus.put(3, 0)
    first, _ = bus.send(30, flags=FAILSAFE)
    clipped(s, first, 3, 0, 880_000, signal="failsafe")
    for kind in ("failsafe.entered", "air.missed"):
        s.leave(kind)
    s.end(bus.end + 50 * MS)
    return s
