"""Lines on which nothing can be read. What a serial input makes of them is worked out here
bit by bit: a character begins where an idle line becomes active, each bit is looked at in
its middle, and the first stop bit has to be idle. Common practice: 100 000 baud 8E2; the
bus idles low, a serial input wants high. Posix: a character with an error may be marked."""

import sheets
from bus import HIGH, LOW, Bus, pack
from sitting import MS, S, US, Sitting, after, near, unread

BIT = 10 * US
SOON = "what is wrong with a line is told within three seconds, once"


def scenarios():
    return [inverted(), inverted_then_right(), pulses(), parity(), damaged_for_a_while(), in_a_drill(), another_cause(), lost()]


def levels(data):
    """A bus as it leaves the receiver: True is high. 12 bits a character."""
    line = []
    for byte in data:
        bits = [byte >> n & 1 for n in range(8)]
        line += [not bit for bit in [0] + bits + [sum(bits) & 1, 1, 1]]
    return line


def received(line):
    """What an input reads that idles high: (bit at which it is complete, byte, bad)."""
    out, at = [], 1
    while at + 10 < len(line):
        if not (line[at - 1] and not line[at]):
            at += 1
            continue
        bits = line[at + 1:at + 9]
        byte = sum(bit << n for n, bit in enumerate(bits))
        bad = line[at + 9] != sum(bits) & 1 or not line[at + 10]
        at += 10  # the middle of the stop bit: what becomes active behind it begins the next
        out.append((at + 1, byte, bad))
        at += line[at]
    return out


def upside_down(s, start, frames, period=7 * MS):
    """Frames without the inverter; one read a frame, split where marks differ."""
    counts = [992, 1100, LOW, 700, 992, HIGH, LOW, 992] + [992] * 8
    for n in range(frames):
        counts[1] = 1100 + 3 * (n % 40)
        line = [False] * 20 + levels(pack(counts)) + [False] * 20
        for _, byte, bad in received(line):
            s.add(start + n * period + 3 * MS, 1, "bad-bytes" if bad else "bytes", bytes((byte,)))
    return start + frames * period


def inverted():
    s = Sitting("line-inverted", ["LineFault"], sheets.PLAIN)
    s.up(20 * MS)
    end = upside_down(s, 100 * MS, 1000)
    s.expect(SOON, "line.fault", at=[1800 * MS, 3020 * MS], from_=[20 * MS, 400 * MS], data={"cause": "inverted"}, within={"sure": [60, 100]})
    s.leave("wire.damaged"), s.leave("bus.silent"), s.never("bus.locked")
    s.end(end)
    return s


def inverted_then_right():
    s = Sitting("line-inverted-then-right", ["LineFault"], sheets.PLAIN)
    s.up(20 * MS)
    end = upside_down(s, 100 * MS, 400)
    bus = Bus(s, first=end + 200 * MS)
    first, end = bus.send(700)
    s.expect("and never of a healthy line", "line.fault", at=[1800 * MS, 3020 * MS], data={"cause": "inverted"})
    s.expect("the inverter is put in: frames come", "bus.locked", from_=near(first))
    s.leave("wire.damaged"), s.leave("bus.silent")
    s.end(end + 50 * MS)
    return s


def pulses():
    s = Sitting("line-pulses", ["LineFault"], sheets.PLAIN)
    s.up(20 * MS)
    for n in range(300):  # a servo lead rests low: a break, each time that the pulse ends
        s.add(100 * MS + n * 20 * MS, 1, "bad-bytes", b"\0")
    s.expect(SOON, "line.fault", at=[1800 * MS, 3020 * MS], data={"cause": "pulses"})
    s.leave("wire.damaged"), s.leave("bus.silent")
    s.end(100 * MS + 300 * 20 * MS)
    return s


def parity():
    s = Sitting("line-parity", ["LineFault"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    for n in range(700):
        bus.put(2, 1000 + n % 50)
        s.add(bus.end, 1, "bad-bytes", pack(bus.counts))
        bus.end += bus.period
    s.expect("each character is bad and all else is right: another parity", "line.fault", at=[1800 * MS, 3120 * MS],
             data={"cause": "parity"})
    s.leave("wire.damaged"), s.leave("bus.locked"), s.leave("bus.silent")
    s.end(bus.end)
    return s


def damaged_for_a_while():
    s = Sitting("line-damaged-for-a-while", ["LineFault"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    first, _ = bus.send(100)
    s.expect("frames come, then damaged ones, then frames", "bus.locked", from_=near(first))
    for n in range(200):  # 1.4 s
        bus.bad(marked=n % 25)
    bus.send(300)
    s.never("line.fault")  # two seconds of it would be
    s.leave("wire.damaged")
    s.end(bus.end)
    return s


def in_a_drill():
    s = Sitting("line-nothing-in-a-drill", ["LineFault"], sheets.PLAIN)
    s.up(20 * MS)
    s.drill(1 * S, {"drill": "order", "do": "begin"})
    s.never("line.fault")  # many begin with a receiver that is off
    s.expect("that no frame comes is told", "bus.silent", at=unread(2020 * MS), from_=near(20 * MS))
    s.end(6 * S)
    return s


def another_cause():
    s = Sitting("line-other-cause", ["LineFault"], sheets.PLAIN)
    s.up(20 * MS)
    end = upside_down(s, 100 * MS, 430)
    for n in range(300):
        s.add(end + n * 20 * MS, 1, "bad-bytes", b"\0")
    s.expect("upside down", "line.fault", at=[1800 * MS, 3020 * MS], data={"cause": "inverted"})
    s.expect("then on a servo output: said once two stretches show it", "line.fault", at=after(end, 3 * S, 5 * S), data={"cause": "pulses"})
    s.leave("wire.damaged"), s.leave("bus.silent")
    s.end(end + 300 * 20 * MS)
    return s


def lost():
    s = Sitting("line-lost-characters", ["LineFault"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    for n in range(700):  # of each frame the port loses a third, and counts them once in a while
        bus.put(2, 1000 + n % 50)
        s.add(bus.end, 1, "bytes", pack(bus.counts)[:5] + pack(bus.counts)[13:])
        if n % 100 == 99:
            s.add(bus.end, 1, "overrun", b"800", "800")
        bus.end += bus.period
    s.expect("the port says so itself, whatever else the characters look like", "line.fault", at=[1800 * MS, 3120 * MS], data={"cause": "driver"})
    s.leave("wire.damaged"), s.leave("bus.locked"), s.leave("bus.silent"), s.leave("tap.overrun")
    s.end(bus.end)
    return s
