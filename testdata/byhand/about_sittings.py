"""What happens to the sitting itself: marks, a clock that was set, characters that
the port lost, a daemon that was killed and went on, a recording with a gap."""

import sheets
from bus import HIGH, LOST, LOW, Bus
from sitting import BASE, MS, S, Sitting, compact, near


def scenarios():
    return [ledger(), stalled(), set_while_stalled(), set_apart(), resumed(), resumed_long_after(), resumed_in_a_run(), nobody_listened(), recording_gap(), recording_hurt()]


def ledger():
    s = Sitting("ledger", ["SessionEvents"], sheets.PLAIN)
    s.expect("a sitting begins", "session.began", about="session", at=near(0), seq=1,
             data={"model": "By hand", "build": "by hand", "taps": [{"name": "main", "kind": "bus"}]})
    s.up(20 * MS)
    s.beating = False
    drift = {1: 0, 2: 150 * MS, 3: 5150 * MS, 4: 5150 * MS, 5: 150 * MS, 6: 150 * MS, 7: -100 * MS, 8: -100 * MS}
    for second, off in drift.items():
        s.beat(second * S, BASE + second * S + off)
    twice = {"about": "session", "kind": "clock.stepped"}
    s.expect("a wall clock set forward, as two beats say; 150 ms are none of it", **twice, at=near(4 * S), from_=near(3 * S), data={"step_ns": 5150 * MS})
    s.expect("and back", **twice, at=near(6 * S), from_=near(5 * S), data={"step_ns": -5 * S})
    s.expect("and a little more, which adds up", **twice, at=near(8 * S), from_=near(7 * S), data={"step_ns": -250 * MS})
    bus = Bus(s, first=1100 * MS)
    _, last = bus.send(150)
    s.add(2500 * MS, 0, "mark", "changed the gain".encode(), "changed the gain")
    s.expect("a mark is what the builder says", "mark", about="session", at=near(2500 * MS), data={"text": "changed the gain"})
    s.add(2600 * MS, 1, "overrun", b"17", "17")
    s.expect("characters that the port lost", "tap.overrun", at=near(2600 * MS), data={"count": 17})
    s.expect("the line ended", "bus.silent", from_=near(last))
    s.end(9 * S)
    s.expect("a sitting ends", "session.ended", about="session", at=near(9 * S))
    return s


def stalled():
    s = Sitting("clock-read-late", ["SessionEvents"], sheets.PLAIN)
    s.up(20 * MS)
    s.leave("bus.silent"), s.leave("line.fault")
    s.beating = False
    # The wall clock is read, the computer stalls, and only then is the beat dated.
    drift = {1: 0, 2: -2060 * MS, 3: 0, 4: -2060 * MS, 5: -1000 * MS, 6: 0, 7: -300 * MS, 8: -240 * MS, 9: -190 * MS, 10: -230 * MS}
    for second, off in drift.items():
        s.beat(second * S, BASE + second * S + off)
    s.never("clock.stepped")  # no two in a row say the same beyond 200 ms
    s.end(11 * S)
    s.expect("the sitting goes on to its end", "session.ended", about="session", at=near(11 * S))
    return s


def set_while_stalled():
    s = Sitting("clock-set-while-stalled", ["SessionEvents"], sheets.PLAIN)
    s.up(20 * MS)
    s.leave("bus.silent"), s.leave("line.fault")
    s.beating = False
    drift = {1: 0, 2: 700 * MS, 3: 3600 * S, 4: 3600 * S + 50 * MS, 5: 3600 * S}
    for second, off in drift.items():
        s.beat(second * S, BASE + second * S + off)
    s.expect("two in a row that are 50 ms apart", "clock.stepped", about="session", at=near(4 * S), from_=near(3 * S),
             data={"step_ns": 3600 * S + 50 * MS})
    s.end(6 * S)
    return s


def set_apart():
    s = Sitting("clock-set-apart", ["SessionEvents"], sheets.PLAIN)
    s.up(20 * MS)
    s.leave("bus.silent"), s.leave("line.fault")
    s.beating = False
    drift = {1: 0, 2: 700 * MS, 3: 751 * MS, 4: 699 * MS, 5: 0}
    for second, off in drift.items():
        s.beat(second * S, BASE + second * S + off)
    s.never("clock.stepped")  # more than 50 ms apart each time
    s.end(6 * S)
    s.expect("the sitting goes on to its end", "session.ended", about="session", at=near(6 * S))
    return s


def resumed():
    s = Sitting("resumed", ["SessionEvents", "Silence", "Position", "Missed"], sheets.ONE_SWITCH)
    s.up(20 * MS)
    bus = Bus(s)
    bus.put(11, LOW)
    first, last = bus.send(100)
    start = "what was known before a restart is asked anew"
    s.expect("locked", "bus.locked", from_=near(first), data={"silent_ns": 0})
    s.expect("where it stands", "switch.moved", about="switch:inner", from_=near(first), data={"to": "back", "was": ""})
    bus.put(11, HIGH)
    bus.send(15)  # the daemon is killed 105 ms after the switch was moved
    again = 9 * S
    s.killed(last=bus.end - 7 * MS, resumed=again, seq=6, wall=-3 * S)
    s.expect("the sitting goes on, whatever was done to the wall clock", "session.resumed", about="session",
             at=near(again), data={"build": "by hand"})
    s.up(again + 10 * MS)
    bus.end = again + 100 * MS
    first, end = bus.send(100)
    s.expect(start, "bus.locked", from_=near(first), data={"silent_ns": 0})
    s.expect(start, "switch.moved", about="switch:inner", from_=near(first), data={"to": "front", "was": ""})
    s.leave("bus.silent")  # the daemon was dead when the line could have been
    s.end(end + 50 * MS)
    return s


def resumed_long_after():
    s = Sitting("resumed-after-silence", ["SessionEvents", "Silence", "Missed"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    _, last = bus.send(100)
    s.expect("the line fell silent while someone listened", "bus.silent", from_=near(last))
    s.killed(last=last + 3 * S, resumed=20 * S, seq=40)
    s.expect("numbers that the journal has given are not given again", "session.resumed", about="session", at=near(20 * S), seq=40)
    s.up(20 * S + 10 * MS)
    bus.end = 20 * S + 100 * MS
    first, end = bus.send(100)
    s.expect("nobody listened in between: no silence is measured", "bus.locked", from_=near(100 * MS), data={"silent_ns": 0})
    s.expect("nobody listened in between: no silence is measured", "bus.locked", from_=near(first), data={"silent_ns": 0})
    s.end(end + 50 * MS)
    return s


def resumed_in_a_run():
    s = Sitting("resumed-in-a-run", ["Missed", "Damage", "Gap"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    bus.send(100)
    _, last = bus.send(1)
    bus.skip(2)
    bad = bus.bad(marked=0)
    first, end = bus.send(4, flags=LOST)
    again = end + 400 * MS
    s.killed(last=end, resumed=again, seq=6)
    what = "what was under way when the daemon was killed is told when it goes on"
    s.expect("the sitting goes on", "session.resumed", about="session", at=near(again))
    s.expect(what, "air.missed", at=near(again), from_=near(first), data={"frames": 4}, within={"span_ns": near(21 * MS)})
    s.expect(what, "wire.damaged", at=near(again), from_=near(bad), data={"bad_frames": 1})
    s.expect(what, "wire.gap", at=near(again), from_=near(last), data={"frames": 2})
    s.leave("bus.silent")
    s.up(again + 10 * MS)
    bus.end = again + 100 * MS
    _, end = bus.send(100)
    s.end(end + 50 * MS)
    return s


def recording_gap():
    s = Sitting("recording-gap", ["SessionEvents", "Position"], sheets.ONE_SWITCH)
    s.up(20 * MS)
    bus = Bus(s)
    bus.put(11, LOW)
    first, last = bus.send(100)
    s.expect("where it stands", "switch.moved", about="switch:inner", from_=near(first), data={"to": "back", "was": ""})
    bus.put(11, HIGH)
    bus.send(15)
    began, ended = bus.end, bus.end + 4 * S
    s.add(began, 0, "recording-gap", compact({"ended": False, "why": "disk full"}), "disk full")
    s.expect("a recording that stops says so", "recording.gap", about="session", at=near(began), data={"ended": False, "why": "disk full", "inputs": 0})
    s.add(ended, 0, "recording-gap", compact({"ended": True, "why": "room again", "inputs": 600, "seq": 30}), "room again")
    s.expect("and what it lacks when it goes on, under a number that nothing in between has taken", "recording.gap", about="session",
             at=near(ended), seq=30, data={"ended": True, "why": "room again", "inputs": 600})
    bus.end = ended + 20 * MS
    first, end = bus.send(100)
    s.expect("what was known before a gap is asked anew", "switch.moved", about="switch:inner", from_=near(first), data={"to": "front", "was": ""})
    s.end(end + 50 * MS)
    return s


def recording_hurt():
    s = Sitting("recording-hurt", ["SessionEvents", "Position"], sheets.ONE_SWITCH)
    s.up(20 * MS)
    bus = Bus(s)
    bus.put(11, LOW)
    first, _ = bus.send(100)
    s.expect("where it stands", "switch.moved", about="switch:inner", from_=near(first), data={"to": "back", "was": ""})
    found = {"part": "recording-000002.pcapng.zst", "why": "packed data damaged or cut short"}
    s.add(bus.end, 0, "recording-hurt", compact(found))
    s.expect("what was found in a part from before is a fact by itself", "recording.hurt", about="session", at=near(bus.end), data=found)
    _, end = bus.send(100)
    s.end(end + 50 * MS)
    return s


def nobody_listened():
    s = Sitting("resumed-nobody-listened", ["Silence", "Missed", "Damage"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    first, last = bus.send(100)
    s.killed(last=last, resumed=20 * S, seq=5)
    s.expect("the sitting goes on", "session.resumed", about="session", at=near(20 * S))
    s.never("bus.silent")  # whether the line was silent while the daemon was dead nobody knows
    s.up(20 * S + 10 * MS)
    bus.end = 20 * S + 100 * MS
    again, end = bus.send(100)
    s.expect("the line", "bus.locked", from_=near(first), data={"silent_ns": 0})
    s.expect("the line again, asked anew", "bus.locked", from_=near(again), data={"silent_ns": 0})
    s.end(end + 50 * MS)
    return s
