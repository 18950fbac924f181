"""With the signal gone a receiver's presets make values jump to fixed ones, with
or without a flag (common practice). Many channels in one frame that then stand
still are no hands: what they reach proves nothing until channels move again one
at a time. Radio packets and bus frames run at different paces, so what hands do
comes in steps."""

import sheets
from bus import CENTRE, FAILSAFE, HIGH, LOST, LOW, Bus
from sitting import MS, S, Sitting, after, near

LEAP = "many channels leap in one frame and then stand still"
HELD = (600, 1400, 1000, 700)  # sticks held away from every preset
PRESET = (CENTRE, CENTRE, LOW, CENTRE)


def scenarios():
    return [
        unflagged_preset(), flagged_preset(), hands(), few_at_once(),
        three_wrong_frames(), three_frames_while_suspected(), across_a_silence(), across_a_replug(),
    ]


def sticks(bus, counts):
    for channel, count in enumerate(counts, 1):
        bus.put(channel, count)


def stands(s, first, to, was, suspect, signal="live", rule="the switch"):
    s.expect(rule, "switch.moved", about="switch:inner", from_=near(first),
             data={"to": to, "was": was, "suspect": suspect, "signal": signal})


def unflagged_preset():
    s = Sitting("preset-unflagged", ["Jump", "Position"], sheets.ONE_SWITCH)
    s.up(20 * MS)
    bus = Bus(s)
    sticks(bus, HELD)
    first, _ = bus.send(100)
    stands(s, first, "middle", "", False)
    sticks(bus, PRESET)
    bus.put(11, LOW)
    leap, _ = bus.send(100)
    s.expect(LEAP, "values.jumped", at=after(leap, 50 * MS, 300 * MS), from_=near(leap),
             data={"tap": "main", "channels": [1, 2, 3, 4, 11], "from": [600, 1400, 1000, 700, 992], "to": [992, 992, 172, 992, 172],
                   "signal": "live"})
    stands(s, leap, "back", "middle", True, rule="nobody moved the switch: it proves nothing")
    bus.put(11, HIGH)
    first, _ = bus.send(60)
    stands(s, first, "front", "back", False, rule="one channel moves by itself and stays: hands again")
    s.end(bus.end + 50 * MS)
    return s


def flagged_preset():
    s = Sitting("preset-flagged", ["Jump", "Position", "Failsafe", "Link"], sheets.ONE_SWITCH)
    s.up(20 * MS)
    bus = Bus(s)
    sticks(bus, HELD)
    first, live = bus.send(100)
    stands(s, first, "middle", "", False)
    missed, _ = bus.send(100, flags=LOST)
    sticks(bus, PRESET)
    leap, _ = bus.send(100, flags=FAILSAFE)
    s.expect("failsafe", "failsafe.entered", from_=near(leap), within={"after_ns": near(101 * 7 * MS)})
    s.leave("link.lost")
    s.never("values.jumped")  # the flag says whose values these are, and that they are the transmitter's again
    bus.put(11, LOW)
    first, _ = bus.send(60, flags=FAILSAFE)
    stands(s, first, "back", "middle", False, signal="failsafe", rule="the receiver moves a channel by itself, and its flag says so")
    sticks(bus, HELD)
    back, _ = bus.send(60)
    s.expect("live again", "failsafe.left", from_=near(back))
    s.expect("one run", "air.missed", at=near(back), from_=near(missed), data={"frames": 260})
    bus.put(11, HIGH)
    first, _ = bus.send(60)
    stands(s, first, "front", "back", False, rule="one channel moves by itself")
    s.end(bus.end + 50 * MS)
    return s


def smooth(start, end, step, steps):
    """From start to end, slow at both ends, in whole numbers."""
    return start + (end - start) * (3 * step**2 * steps - 2 * step**3) // steps**3


def hands():
    s = Sitting("four-sticks-moved", ["Jump"], sheets.ONE_SWITCH)
    s.up(20 * MS)
    bus = Bus(s)
    first, _ = bus.send(100)
    stands(s, first, "middle", "", False)
    for start, end in ((CENTRE, LOW), (LOW, HIGH), (HIGH, CENTRE)):
        for n in range(1, 41):  # 280 ms from end to end
            sticks(bus, [smooth(start, end, n, 40)] * 4)
            bus.send(1)
        bus.send(60)
    for n in range(1, 20):  # slow, and stopped dead
        sticks(bus, [CENTRE + 20 * n] * 4)
        bus.send(1)
    bus.send(60)
    for n in range(1, 11):  # a packet each 70 ms: values leap and rest
        sticks(bus, [LOW + 100 * n] * 4)
        bus.send(10)
    sticks(bus, [LOW + 1010] * 4)
    bus.send(60)
    bus.put(11, HIGH)
    first, end = bus.send(60)
    stands(s, first, "front", "middle", False, rule="four sticks that move together like hands cast no suspicion")
    s.end(end + 50 * MS)
    return s


def few_at_once():
    s = Sitting("two-switches-at-once", ["Jump"], sheets.ONE_SWITCH)
    s.up(20 * MS)
    bus = Bus(s)
    first, _ = bus.send(100)
    stands(s, first, "middle", "", False)
    bus.put(11, HIGH), bus.put(13, LOW)
    first, end = bus.send(100)
    stands(s, first, "front", "middle", False, rule="two switches flipped at once are not many channels")
    s.end(end + 50 * MS)
    return s


def three_wrong_frames():
    s = Sitting("jump-of-three-frames", ["Jump", "Cleaned"], sheets.ONE_SWITCH)
    s.up(20 * MS)
    bus = Bus(s)
    first, _ = bus.send(100)
    stands(s, first, "middle", "", False)
    was = bus.counts
    bus.counts = [300] * 16
    bus.send(3)
    bus.counts = was
    bus.send(60)
    s.never("values.jumped")  # three frames settle nothing, however many channels they move
    bus.put(13, LOW), bus.put(11, HIGH)
    first, end = bus.send(60)
    stands(s, first, "front", "middle", False, rule="nor do they cast a suspicion")
    s.end(end + 50 * MS)
    return s


def three_frames_while_suspected():
    s = Sitting("jump-and-three-frames", ["Jump", "Position", "Cleaned"], sheets.ONE_SWITCH)
    s.up(20 * MS)
    bus = Bus(s)
    sticks(bus, HELD)
    first, _ = bus.send(100)
    stands(s, first, "middle", "", False)
    sticks(bus, PRESET)
    bus.put(11, LOW)
    leap, _ = bus.send(5)
    bus.put(1, 1100)  # wrong frames among those that stand still
    bus.send(3)
    bus.put(1, PRESET[0])
    bus.send(60)
    s.expect(LEAP + ", three wrong frames aside", "values.jumped", at=after(leap, 50 * MS, 300 * MS), from_=near(leap),
             data={"channels": [1, 2, 3, 4, 11], "signal": "live"})
    stands(s, leap, "back", "middle", True, rule="nobody moved the switch: it proves nothing")
    bus.put(7, 600)  # wrong frames, of one channel
    bus.send(3)
    bus.put(7, CENTRE)
    bus.send(20)
    for n in range(1, 5):  # four times three counts: 7.5 us in all, and each less than a hand moves
        bus.put(11, LOW + 3 * n)
        first, _ = bus.send(10)
    _, end = bus.send(100)
    s.expect("three wrong frames of one channel lift no suspicion, nor does a tremor", "switch.moved", about="switch:inner", from_=near(first),
             data={"to": "back", "was": "back", "suspect": True, "width_ns": 995_000})
    bus.put(11, HIGH)
    first, end = bus.send(60)
    stands(s, first, "front", "back", False, rule="one channel moves by itself and stays: hands again")
    s.end(end + 50 * MS)
    return s


MEANWHILE = "what changed while nobody listened is no jump: there was time for hands"


def across_a_silence():
    s = Sitting("jump-across-silence", ["Jump", "Position"], sheets.ONE_SWITCH)
    s.up(20 * MS)
    bus = Bus(s)
    sticks(bus, HELD)
    first, last = bus.send(100)
    stands(s, first, "middle", "", False)
    s.expect("the line is silent for three seconds", "bus.silent", from_=near(last))
    bus.end = last + 3 * S
    sticks(bus, PRESET)
    bus.put(11, LOW)
    first, end = bus.send(60)
    stands(s, first, "back", "middle", False, rule=MEANWHILE)
    s.never("values.jumped")
    s.end(end + 50 * MS)
    return s


def across_a_replug():
    s = Sitting("jump-across-replug", ["Jump", "Position"], sheets.ONE_SWITCH)
    s.up(20 * MS)
    bus = Bus(s)
    sticks(bus, HELD)
    first, last = bus.send(100)
    stands(s, first, "middle", "", False)
    s.down(last + 3 * MS)
    s.expect("it goes", "tap.down", at=near(last + 3 * MS))
    s.up(last + 50 * MS)  # and is back before the line would count as silent
    bus.end = last + 84 * MS
    sticks(bus, PRESET)
    bus.put(11, LOW)
    first, end = bus.send(60)
    stands(s, first, "back", "middle", False, rule=MEANWHILE)
    s.never("values.jumped")
    s.end(end + 50 * MS)
    return s
