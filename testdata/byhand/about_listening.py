"""A sheet without channels: what each channel does is told, and nothing is judged. Which
channel a stick moves is found by moving it and looking (common practice). One frame
settles nothing; what a receiver puts in by itself is no hand's."""

import sheets
from bus import CENTRE, FAILSAFE, HIGH, LOW, Bus
from sitting import MS, Sitting, near

REST = "it moved, and has rested for 300 ms"
COME = "eight frames of a live transmitter have come: five of them, each by three more"
LATE = 3 * 7 * MS  # each frame is taken three frames late, by the middle one of seven


def scenarios():
    return [moves(), begins_moving()]


def us(count):
    return (count * 625) + 880_000


def turn(bus, channel, *counts):
    """Ten frames to each. When it first moved, and when it was there."""
    began = bus.end
    for count in counts:
        begin = bus.counts[channel - 1]
        for n in range(1, 11):
            bus.put(channel, begin + (count - begin) * n // 10)
            bus.send(1)
    return began, bus.end - 7 * MS


def come(s, first, widths=None, digital=(False, False)):
    s.expect(COME, "channels.heard", at=near(first + 7 * 7 * MS), from_=near(first + 4 * 7 * MS),
             data={"tap": "main", "widths_ns": widths or [1_500_000] * 16, "digital": list(digital)})


def moved(s, channel, began, rests, from_, to, least, most, rule=REST, at=None, going=False):
    s.expect(rule, "channel.moved", about=f"channel:{channel}", at=at or near(rests + 301 * MS + LATE), from_=near(began),
             data={"tap": "main", "channel": channel, "from_ns": us(from_), "to_ns": us(to), "least_ns": us(least), "most_ns": us(most),
                   "going": going, "digital": False})


def switched(s, channel, began, on):
    s.expect("five frames say so", "channel.moved", about=f"channel:{channel}", at=near(began + 4 * 7 * MS + LATE), from_=near(began),
             data={"tap": "main", "channel": channel, "digital": True, "on": on, "from_ns": 0, "most_ns": 0})


def moves():
    s = Sitting("listening", ["Movement"], sheets.LISTENING)
    s.up(20 * MS)
    bus = Bus(s)
    come(s, bus.end)
    bus.send(80)
    began, rests = turn(bus, 3, LOW)
    bus.send(80)
    moved(s, 3, began, rests, CENTRE, LOW, LOW, CENTRE)
    began, _ = turn(bus, 3, HIGH)
    bus.send(40)  # 280 ms are no rest
    _, rests = turn(bus, 3, CENTRE)
    bus.send(80)
    moved(s, 3, began, rests, LOW, CENTRE, LOW, HIGH)
    for frames in (1, 2, 3):
        bus.put(5, HIGH)
        bus.send(frames)  # wrong frames
        bus.put(5, CENTRE)
        bus.send(80)
    turn(bus, 5, CENTRE + 7)  # hardly a movement
    bus.send(80)
    turn(bus, 5, CENTRE)
    bus.send(80)
    began = rests = bus.end
    bus.put(5, CENTRE + 8)  # just one, in a leap as a switch makes it
    bus.send(80)
    moved(s, 5, began, rests, CENTRE, CENTRE + 8, CENTRE, CENTRE + 8)
    for n in range(80):  # it trembles by one count
        bus.put(5, CENTRE + 8 + n % 2)
        bus.send(1)
    there = CENTRE + 300
    began, rests = turn(bus, 6, there)
    for n in range(80):  # so does one that comes to rest, by two
        bus.put(6, there + n % 2 * 2)
        bus.send(1)
    moved(s, 6, began, rests, CENTRE, there + 1, CENTRE, there + 2)

    began = bus.end  # one that moves for seven seconds is told after five
    for n in range(1, 1001):
        bus.put(16, CENTRE + 20 * min(n % 40, 40 - n % 40))
        bus.send(1)
    top = CENTRE + 360  # of 400 in one frame alone: two each of 380, 360 and 340 beside it, and the middle one counts
    told = began + 715 * 7 * MS  # 5005 ms: the 716th of them
    moved(s, 16, began, None, CENTRE, CENTRE + 20 * 4, CENTRE, top, "it has moved for five seconds", near(told + LATE), going=True)
    rests = bus.end - 7 * MS
    bus.send(80)
    moved(s, 16, began, rests, CENTRE, CENTRE, CENTRE, top)

    bus.send(4, flags=1)  # too few
    bus.send(80)
    began, _ = bus.send(80, flags=1)
    switched(s, 17, began, True)
    began, _ = bus.send(80, flags=3)
    switched(s, 18, began, True)
    began, _ = bus.send(80, flags=2)
    switched(s, 17, began, False)

    bus.put(4, LOW)
    bus.send(80, flags=FAILSAFE)  # the receiver's doing
    bus.put(4, CENTRE)
    began = bus.end
    bus.send(80)
    switched(s, 18, began, False)

    began, _ = turn(bus, 1, HIGH)
    bus.send(10)
    s.down(bus.end)  # unplugged on the way
    moved(s, 1, began, None, CENTRE, HIGH, CENTRE, HIGH, "the port is gone while it moves", near(bus.end), going=True)
    s.expect("it was unplugged", "tap.down")
    again = bus.end + 2000 * MS
    s.up(again)
    bus = Bus(s, first=again + 50 * MS)
    come(s, bus.end)
    bus.send(80)
    bus.put(4, LOW)
    bus.send(3, flags=FAILSAFE)  # the receiver's doing, and the port is gone with it
    s.down(bus.end)
    s.expect("it was unplugged", "tap.down")
    for kind in ("failsafe.entered", "failsafe.left", "failsafe.settled", "air.missed", "value.spiked", "bus.silent", "link.lost", "link.restored"):
        s.leave(kind)
    s.end(bus.end + 50 * MS)
    return s


def begins_moving():
    """A stick that is on its way when listening begins: it moved from where it was first heard. Killed and gone on with,
    nothing is known of where channels stood."""
    s = Sitting("listening-goes-on", ["Movement"], sheets.LISTENING)
    s.up(20 * MS)
    bus = Bus(s)
    first = bus.end
    there = CENTRE + 100
    bus.put(2, there)
    bus.send(4)
    began, rests = turn(bus, 2, HIGH)
    widths = [1_500_000] * 16
    widths[1] = us(there + (HIGH - there) // 10)  # the fifth frame
    come(s, first, widths)
    bus.send(80)
    moved(s, 2, began, rests, there, HIGH, there, HIGH)
    s.killed(bus.end, bus.end + 3000 * MS, seq=20)
    s.expect("it was killed", "session.resumed", about="session")
    s.up(bus.end + 3020 * MS)
    bus = Bus(s, first=bus.end + 3100 * MS)
    bus.put(2, LOW)  # meanwhile; nobody saw it
    widths = [1_500_000] * 16
    widths[1] = us(LOW)
    come(s, bus.end, widths)
    bus.send(80)
    s.end(bus.end + 50 * MS)
    return s
