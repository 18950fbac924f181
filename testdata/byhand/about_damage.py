"""Three facts that must never be blurred: the receiver missed the air (a flag),
the bus had a gap on the wire, a frame was damaged on the wire (a bad character,
a bad envelope)."""

import sheets
from bus import CENTRE, FAILSAFE, HIGH, LOST, Bus, pack
from sitting import MS, S, Sitting, after, near

BROKEN = "what is broken on the wire is told once it is over"
LATE = 15 * MS  # what two frames later shows to be no frame is dated then

# Sixteen channels at 992 are twice the bytes E0 03 1F F8 C0 07 3E F0 81 0F 7C: two
# of them look like a header, and have no footer 24 bytes on.
NO_HEADER = {"no-header": 23, "no-footer": 2}


def scenarios():
    return [three_facts(), forms_of_damage(), long_damage(), not_judged(), late_read(), gap_beside_damage(), long_late_read()]


def three_facts():
    s = Sitting("three-facts", ["Damage", "Gap", "Missed"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    bus.send(100)
    bad = bus.bad(marked=7)
    bus.send(300)
    s.expect("a character marked bad damages its frame, and that alone", "wire.damaged", at=after(bad, 0, 1500 * MS), from_=near(bad, 7 * MS),
             data={"bad_frames": 1, "refused": {}, "span_ns": 0})
    envelope = bus.raw(b"\x8F" + pack(bus.counts)[1:])
    bus.send(300)
    s.expect("25 bytes without a header are damage: no gap, nothing missed", "wire.damaged", at=after(envelope, 0, 1500 * MS),
             from_=near(envelope, LATE), data={"bad_frames": 0, "refused": NO_HEADER})
    _, last = bus.send(1)
    bus.skip(3)
    bus.send(100)
    s.expect("three frames were not sent: a gap, no damage, nothing missed", "wire.gap", at=after(last, 28 * MS, 200 * MS), from_=near(last),
             data={"frames": 3}, within={"span_ns": near(28 * MS)})
    first, last = bus.send(3, flags=LOST)
    live, end = bus.send(100)
    s.expect("three frames came and said that nothing was heard", "air.missed", at=near(live), from_=near(first),
             data={"frames": 3}, within={"span_ns": near(last - first)})
    s.end(end + 50 * MS)
    return s


def forms_of_damage():
    s = Sitting("damage-forms", ["Damage"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    bus.send(100)
    frame = pack(bus.counts)
    lost = bus.raw(frame[:10] + frame[11:])  # a 0x0F of the data is what got lost
    bus.send(20)
    torn = bus.raw(frame[:24] + b"\x01")
    bus.send(300)
    s.expect("a lost character spoils one frame, a wrong footer another; within a second they are one run", "wire.damaged",
             at=after(torn, 900 * MS, 1500 * MS), from_=near(lost, LATE),
             data={"bad_frames": 0, "refused": {"no-header": 22 + 22, "no-footer": 2 + 3}}, within={"span_ns": near(torn - lost, LATE)})
    noise = bus.raw(frame + b"\x55\xAA\x55")
    _, end = bus.send(300)
    s.expect("three characters of noise behind a frame cost no frame", "wire.damaged", at=after(noise, 0, 1500 * MS),
             from_=near(noise, LATE), data={"bad_frames": 0, "refused": {"no-header": 3}})
    s.end(end + 50 * MS)
    return s


def long_damage():
    s = Sitting("damage-long", ["Damage"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s, period=14 * MS)
    bus.send(100)
    bads = []
    for _ in range(25):  # one each 490 ms, 12 s in all
        bads.append(bus.bad(marked=3))
        bus.send(34)
    _, end = bus.send(100)
    s.expect("damage that goes on is told in pieces of ten seconds", "wire.damaged", at=after(bads[0], 9900 * MS, 10500 * MS),
             from_=near(bads[0], 14 * MS), data={"bad_frames": 21})
    s.expect("and the rest when it is over", "wire.damaged", at=after(bads[-1], 900 * MS, 1100 * MS),
             from_=near(bads[21], 14 * MS), data={"bad_frames": 4})
    s.end(end + 50 * MS)
    return s


def not_judged():
    s = Sitting("damaged-never-judged", ["Damage", "Failsafe", "Missed", "Position", "Jump"], sheets.ONE_SWITCH)
    s.up(20 * MS)
    bus = Bus(s)
    first, _ = bus.send(100)
    s.expect("where the switch stands", "switch.moved", about="switch:inner", from_=near(first), data={"to": "middle", "was": ""})
    for channel in (1, 2, 3, 4, 10):
        bus.put(channel, HIGH)
    began = bus.end
    for n in range(60):
        bus.bad(marked=n % 25, flags=LOST | FAILSAFE)
    for channel in (1, 2, 3, 4, 10):
        bus.put(channel, CENTRE)
    _, end = bus.send(300)
    s.expect("sixty damaged frames say failsafe and another position: damage and nothing else", "wire.damaged",
             from_=near(began, 7 * MS), data={"bad_frames": 60, "refused": {}})
    s.end(end + 50 * MS)
    return s


def late_read():
    s = Sitting("gap-or-late", ["Gap"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    bus.send(100)
    bus.late(6, by=200_000)
    bus.send(100)
    _, last = bus.send(1)
    bus.skip(2)
    bus.send(200)
    s.expect("six frames read 35 ms late are none missing; two that were not sent are", "wire.gap", from_=near(last),
             data={"frames": 2}, within={"span_ns": near(21 * MS)})
    s.end(bus.end + 50 * MS)
    return s


def gap_beside_damage():
    s = Sitting("gap-beside-damage", ["Gap", "Damage"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    _, last = bus.send(100)
    bus.raw(b"\x8F" + pack(bus.counts)[1:])
    bus.skip(3)
    bus.send(200)
    s.expect("the damaged frame came; the three behind it did not", "wire.gap", from_=near(last), data={"frames": 3})
    s.expect(BROKEN, "wire.damaged", data={"refused": NO_HEADER})
    _, last = bus.send(1)
    bus.skip(3)
    bus.send(4)
    bus.skip(2)
    _, end = bus.send(100)
    s.expect("gaps that follow each other within a few frames are one", "wire.gap", from_=near(last),
             data={"frames": 5}, within={"span_ns": near((4 + 3 + 3) * 7 * MS)})
    s.end(end + 50 * MS)
    return s


def long_late_read():
    s = Sitting("late-read-long", ["Gap", "Silence"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    start, _ = bus.send(100)
    bus.late(13, by=200_000)  # 91 ms: just short of a silence
    _, end = bus.send(200)
    s.expect("a computer that was busy for 91 ms reads thirteen frames at once; none is missing", "bus.locked", from_=near(start))
    s.never("wire.gap"), s.never("bus.silent")
    s.end(end + 50 * MS)
    return s
