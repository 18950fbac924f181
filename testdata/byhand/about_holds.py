"""A healthy link may send identical values for hours when nothing moves, since
transmitters filter. So an unflagged hold shows only while something is known to
move: a slow heartbeat, or a stirred stick (common practice). A hand slows down
before it stops, and pauses, and stops on a gate: so two axes that freeze in motion in
one frame are a loss only when they are elsewhere in the next frame in which anything
moves. What a hand may have done as well is told as a pause. A receiver repeats a
wrong frame once or twice: a value is the middle one of seven frames, three late."""

import sheets
from bus import CENTRE, HIGH, LOST, LOW, Bus
from about_jumps import smooth
from sitting import MS, S, Sitting, near


def scenarios():
    return [heartbeat(), wrong_before_a_hole(), stirred(), leapt(), phase(), paused(), at_rest()]


LATE = 21 * MS  # three frames


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
    s.expect(rule, "values.still", at=near(last + wait + LATE), from_=near(last),
             data={"tap": "main", "because": because}, within={"for_ns": near(wait)})


def moving(s, rule, at, again, last, because):
    s.expect(rule, "values.moving", at=near(at), from_=near(again),
             data={"tap": "main", "because": because}, within={"for_ns": near(again - last)})


def heartbeat():
    s, bus = start("held-heartbeat", sheets.HEARTBEAT)
    first = bus.end
    beat(bus, 100, 1)
    s.expect("five movements make a heartbeat", "values.moving", from_=[first, first + 200 * MS],
             data={"because": "heartbeat", "for_ns": 0})
    bus.send(140)  # 980 ms
    beat(bus, 100, 1)
    last = bus.end - 7 * MS
    at = bus.counts[15]
    bus.send(50)
    bus.put(16, 40)  # wrong frames: neither a movement nor an end of the stillness
    bus.send(3)
    bus.put(16, at)
    bus.send(250)
    bus.send(170)
    # 140 pauses of 7 ms were the longest
    still(s, "three times as long as it ever stood", last, 3 * 140 * 7 * MS, "heartbeat")
    again = bus.end
    beat(bus, 100, 1)
    moving(s, "two movements", again + 7 * MS + LATE, again, last, "heartbeat")
    bus.send(300, flags=LOST)
    beat(bus, 100, 1)
    s.expect("what is flagged is known: no stillness", "air.missed", data={"frames": 300})
    bus.skip(800)
    beat(bus, 100, 1)
    s.expect("a silent bus says nothing", "bus.silent")
    s.leave("wire.gap"), s.leave("period.changed"), s.leave("link.lost"), s.leave("link.restored")
    s.end(bus.end + 50 * MS)
    return s


def wrong_before_a_hole():
    s, bus = start("held-wrong-before-hole", sheets.HEARTBEAT)
    bus.period = 22 * MS
    bus.put(3, 1400)
    beat(bus, 100, 1)
    last = bus.end - 22 * MS
    bus.send(200)
    bus.put(3, LOW), bus.put(1, HIGH)  # wrong frames, or the first of the transmitter's: three settle nothing
    bus.send(3)
    bus.skip(5)  # and the line goes on 0.13 s later
    bus.put(3, 1400), bus.put(1, CENTRE)
    again = bus.end
    beat(bus, 60, 1)
    s.expect("a value is what four frames in a row have, beside a hole of the line too", "loss.measured", from_=near(last),
             data={"dated_by": "heartbeat", "flag": "never flagged"},
             within={"channels.0.now_ns": near(1_500_000), "channels.2.now_ns": near(1_755_000), "back_ns": near(again - last)})
    for kind in ("values.still", "values.moving", "bus.silent", "wire.gap"):
        s.leave(kind)
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


def freeze(bus, frames=30):
    """Two sticks in full motion freeze in one frame; gives the last live one."""
    strokes(bus, LOW, HIGH, LOW, HIGH, frames=frames)
    for n in range(12):
        for channel in (1, 2):
            bus.put(channel, 1500 - 30 * n)
        bus.send(1)
    return bus.end - 7 * MS


def thaw(bus):
    """Both are elsewhere from one frame to the next, and go on."""
    again = bus.end
    bus.put(1, 1500), bus.put(2, 700)
    bus.send(1)
    for n in range(1, 31):
        bus.put(1, smooth(1500, 1000, n, 30)), bus.put(2, smooth(700, 1300, n, 30))
        bus.send(1)
    return again


def lost(s, rule, last, again, because="stirred"):
    """Told together, soon after the first live frame."""
    for kind, start in (("values.still", last), ("values.moving", again)):
        s.expect(rule, kind, at=[again, again + 400 * MS], from_=near(start), data={"tap": "main", "because": because},
                 within={"for_ns": near(again - last)})


def pause(s, rule, last, because="stirred"):
    s.expect(rule, "values.paused", from_=near(last), data={"tap": "main", "because": because})


def stirred():
    s, bus = start("held-stirred", sheets.STICKS)
    bus.send(50)
    last = freeze(bus)
    bus.send(50)
    bus.put(3, 700)  # wrong frames
    bus.send(3)
    bus.put(3, CENTRE)
    bus.send(50)
    bus.put(3, LOW)  # a preset, perhaps: it moves once
    bus.send(80)
    pause(s, "two sticks in full motion freeze in one frame: a hand may do that", last)
    again = thaw(bus)
    lost(s, "and are elsewhere in the next frame that moves them: a hand may not", last, again)
    bus.send(100)
    freeze(bus)
    bus.send(70)  # less than half a second
    thaw(bus)
    bus.send(100)
    bus.period = 22 * MS
    last = freeze(bus)
    last = bus.end - 22 * MS
    bus.send(30)
    again = thaw(bus)
    lost(s, "the same with slow frames", last, again)
    bus.send(30)
    s.leave("period.changed"), s.leave("bus.late")
    s.end(bus.end + 50 * MS)
    return s


def leapt():
    s, bus = start("held-leapt", sheets.LOSSES)
    bus.put(3, 1400), bus.put(1, 700), bus.put(2, 900)
    _, last = bus.send(100)
    bus.put(3, LOW), bus.put(1, CENTRE), bus.put(2, CENTRE)  # presets
    bus.send(400)
    again = bus.end
    bus.put(3, 1400), bus.put(1, 700), bus.put(2, 900)  # the transmitter again
    bus.send(100)
    for n in range(1, 31):
        bus.put(2, smooth(900, 600, n, 30))
        bus.send(1)
    bus.send(50)
    lost(s, "throttle and two sticks leap in one frame, and back, and no switch does: no hand and no flight phase", last, again, "leapt")
    for kind in ("switch.moved", "mode.asked", "values.jumped"):
        s.leave(kind)
    s.expect("what it did is measured", "loss.measured", from_=near(last), data={"dated_by": "leapt", "flag": "never flagged", "failsafe_ns": -1},
             within={"back_ns": near(again - last)})
    s.end(bus.end + 50 * MS)
    return s


def phase():
    s, bus = start("hands-flight-phase", sheets.LOSSES)
    bus.put(3, 1400), bus.put(1, 700), bus.put(2, 900), bus.put(11, HIGH)
    bus.send(100)
    for _ in range(2):
        bus.put(3, 1100), bus.put(1, 850), bus.put(2, 1200), bus.put(11, LOW)  # the switch chooses other mixes
        bus.send(300)
        bus.put(3, 1400), bus.put(1, 700), bus.put(2, 900), bus.put(11, HIGH)
        bus.send(300)
    for n in range(1, 31):
        bus.put(2, smooth(900, 600, n, 30))
        bus.send(1)
    bus.send(50)
    s.expect("frames come", "bus.locked")
    s.never("values.still"), s.never("values.moving"), s.never("loss.measured")
    for kind in ("switch.moved", "mode.asked", "values.jumped"):
        s.leave(kind)
    s.end(bus.end + 50 * MS)
    return s


def paused():
    s, bus = start("hands-that-pause", sheets.STICKS)
    bus.send(50)
    last = freeze(bus, 60)
    bus.send(100)
    strokes(bus, LOW, frames=60)
    pause(s, "two sticks stop dead, and go on from there", last)
    bus.send(50)
    last = freeze(bus, 60)
    bus.send(100)
    far = bus.counts[0] - CENTRE
    bus.put(1, CENTRE + far // 2), bus.put(2, CENTRE + far // 2)  # low rates
    bus.send(100)
    strokes(bus, LOW, frames=60)
    pause(s, "a change of rates moves both in proportion", last)
    bus.send(50)
    strokes(bus, HIGH, frames=60)
    for n in range(12):
        bus.put(1, 1500 - 30 * n)
        bus.send(1)
    last = bus.end - 7 * MS
    bus.send(100)
    bus.put(1, 600)
    bus.send(1)
    for n in range(1, 31):
        bus.put(1, smooth(600, 900, n, 30))
        bus.send(1)
    pause(s, "one axis alone", last)
    s.never("values.still"), s.never("values.moving"), s.never("loss.measured")
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
    for period in (22 * MS, 7 * MS):  # slammed to a stop that low rates put short of the end, and let go: it springs back
        bus.period = period
        bus.put(1, CENTRE), bus.put(2, CENTRE)
        bus.send(40)
        for _ in range(2):
            for share in (300, 500):
                for n in (1, 2, 3):
                    bus.put(1, CENTRE + share * n // 3), bus.put(2, CENTRE + share * n // 3)
                    bus.send(1)
                bus.send(80)
                for n in (2, 1, 0):
                    bus.put(1, CENTRE + share * n // 3), bus.put(2, CENTRE + share * n // 3)
                    bus.send(1)
                bus.send(80)
    bus.skip(200)
    bus.send(100)
    s.expect("the line stood, not the values", "bus.silent")
    s.never("values.still"), s.never("values.moving"), s.never("loss.measured")
    s.leave("wire.gap"), s.leave("period.changed"), s.leave("bus.late")
    s.end(bus.end + 50 * MS)
    return s
