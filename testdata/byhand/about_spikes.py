"""There is no checksum: an even number of flipped bits passes parity too, and a wrong
value repeats for two frames or more. No hand leaves a place and is back on it
within three frames of 7 ms."""

import sheets
from bus import CENTRE, FAILSAFE, Bus
from sitting import MS, Sitting, near

AWAY = "away for one to three frames, and back"


def scenarios():
    return [spikes()]


def away(bus, count, frames, back=CENTRE, stood=20):
    """When it left, and when it was back."""
    bus.send(stood)
    bus.put(4, count)
    left, _ = bus.send(frames)
    bus.put(4, back)
    came, _ = bus.send(1)
    return left, came


def spiked(s, left, came, to, frames):
    s.expect(AWAY, "value.spiked", about="channel:4", at=near(came), from_=near(left),
             data={"tap": "main", "channel": 4, "from_ns": 1_500_000, "to_ns": to, "frames": frames})


def spikes():
    s = Sitting("spikes", ["Spike"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    spiked(s, *away(bus, 1152, 1), 1_600_000, 1)
    spiked(s, *away(bus, 832, 3), 1_400_000, 3)
    spiked(s, *away(bus, 1016, 2, back=994), 1_515_000, 2)  # 24 counts, and two beside
    away(bus, 1152, 4)  # a movement
    away(bus, 1015, 1)  # 23 counts
    away(bus, 1152, 1, back=995)  # not back
    away(bus, 1152, 1, back=1152)  # a step
    away(bus, CENTRE, 1, stood=20)
    left, came = away(bus, 1152, 1)
    spiked(s, left, came, 1_600_000, 1)
    for _ in range(20):  # to and fro, never standing for ten frames
        away(bus, 1152, 1, stood=5)
    bus.send(20)
    bus.put(4, 1152)
    bus.send(1)
    bus.bad(marked=5)
    bus.put(4, CENTRE)
    bus.send(50)
    bus.put(4, 1152)
    bus.raw(b"\x8F" + b"\x55" * 24)
    bus.send(1)
    bus.put(4, CENTRE)
    bus.send(300)
    s.expect("beside damage it may be damage too", "wire.damaged", data={"bad_frames": 1})
    bus.put(4, 1152)
    bus.send(3, flags=FAILSAFE)
    bus.put(4, CENTRE)
    bus.send(50)
    for kind in ("failsafe.entered", "failsafe.left", "air.missed"):
        s.leave(kind)
    s.end(bus.end + 50 * MS)
    return s
