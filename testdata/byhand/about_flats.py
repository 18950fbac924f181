"""A limit in the transmitter cuts a stick's travel off before its stop: the channel
comes at a steady pace, stands exactly still, and leaves at a steady pace. A hand that
meets a real stop may come so, but it leaves from rest (its way grows with the cube of
time at first; the minimum-jerk course of Flash & Hogan 1985, from memory). Once may be
chance, so it takes the same limit twice."""

import sheets
from bus import CENTRE, HIGH, LOST, LOW, Bus
from sitting import MS, Sitting, after, near

STEADY = "comes steadily, stands still, leaves steadily and goes on so: a stick let go is there by then"
PACE = 12  # counts a frame


def scenarios():
    return [flats(), steady_hand()]


def come(bus, channel, to, pace=PACE):
    """From the centre to a width, the same way each frame."""
    at = CENTRE
    while abs(to - at) > pace:
        at += pace if to > at else -pace
        bus.put(channel, at)
        bus.send(1)
    bus.put(channel, to)


def steady(bus, channel, start, pace=PACE, frames=30):
    for i in range(1, frames + 1):
        bus.put(channel, start - pace * i)
        bus.send(1)


def from_rest(bus, channel, start, frames=60):
    for i in range(1, frames + 1):
        bus.put(channel, max(CENTRE, start - i ** 3 // 40))
        bus.send(1)


def home(bus, channel):
    bus.put(channel, CENTRE)
    bus.send(40)


def flats():
    s = Sitting("flats", ["Flat"], sheets.STICKS)
    s.up(20 * MS)
    bus = Bus(s)
    bus.send(70)
    # A limit at 1600 counts, for the first time and for the second. A limit that is
    # elsewhere is another one.
    for count in (1600, 1640, 1600):
        come(bus, 1, count)
        bus.send(60)
        steady(bus, 1, count)
        home(bus, 1)
    come(bus, 1, 1600)
    first, last = bus.send(60)
    s.expect(STEADY, "travel.clipped", about="channel:1", at=after(last, 165 * MS, 195 * MS), from_=near(first),
             data={"tap": "main", "channel": 1, "count": 1600, "width_ns": 1_880_000, "signal": "live", "short": True, "again": True},
             within={"dwell_ns": near(last - first)})
    steady(bus, 1, 1600)
    home(bus, 1)
    # A stop that is met at speed and left from rest.
    for _ in range(2):
        come(bus, 2, 1600)
        bus.send(60)
        from_rest(bus, 2, 1600)
        home(bus, 2)
    # A stop that is met gently; the stick is then pulled off at a steady pace.
    for i in range(60, 0, -1):
        bus.put(1, 1600 - i ** 3 // 400)
        bus.send(1)
    bus.put(1, 1600)
    bus.send(60)
    steady(bus, 1, 1600)
    home(bus, 1)
    # Too short a stand, a stick let go (a spring is far faster), a stop on the way.
    come(bus, 1, 1600)
    bus.send(10)
    steady(bus, 1, 1600)
    home(bus, 1)
    come(bus, 1, 1600)
    bus.send(60)
    steady(bus, 1, 1600, pace=60, frames=10)
    home(bus, 1)
    come(bus, 1, 1300)
    bus.send(60)
    steady(bus, 1, 1300, pace=-PACE, frames=20)
    home(bus, 1)
    # Not a stick; and values that the receiver repeats while it misses the transmitter.
    for _ in range(2):
        come(bus, 9, 1600)
        bus.send(60)
        steady(bus, 9, 1600)
        home(bus, 9)
        come(bus, 3, 1600)
        bus.send(60, flags=LOST)
        bus.send(1)
        steady(bus, 3, 1600, frames=4)
        home(bus, 3)
    s.leave("air.missed")
    s.end(bus.end + 50 * MS)
    return s


def steady_hand():
    """A stick that is run onto its stop and off it at one pace, as a prompt may be
    taken: the channel shows the same as at a limit, but it stands where the sheet has
    its end, or as near to it as hands come (twice the tolerance of 12 us)."""
    s = Sitting("flats-steady-hand", ["Flat"], sheets.STICKS)
    s.up(20 * MS)
    bus = Bus(s)
    bus.send(70)

    def run(channel, end, back):
        for _ in range(2):
            come(bus, channel, end)
            bus.send(60)
            steady(bus, channel, end, pace=back)
            home(bus, channel)

    for channel in (1, 2, 3):
        run(channel, HIGH, PACE)
        run(channel, LOW, -PACE)
    run(1, 1790, PACE)  # 1998.75 us, 13 short of 2012
    run(2, 192, -PACE)  # 1000 us, 12 short of 988
    run(1, 1880, PACE)  # beyond: too far, and nothing cut it off short
    first = bus.end
    run(1, 1768, PACE)  # 1985 us, 27 short: a limit, or a stop, told the second time
    s.expect("short of the sheet's end, to the count where it was before", "travel.clipped", about="channel:1", from_=after(first, 2 * MS, 4000 * MS),
             data={"count": 1768, "width_ns": 1_985_000, "short": True, "again": True})
    s.end(bus.end + 50 * MS)
    return s
