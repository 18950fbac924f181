"""A frame takes 3 ms on the wire. What a computer reads faster lay waiting while it, or
its adapter, stood still: it is late, and no bus is that fast. A bus that fell silent
for a moment is another thing: then the frames in between were never sent."""

import sheets
from about_outputs import both, start
from bus import CENTRE, HIGH, LOW, Bus, pack
from sitting import MS, S, US, Sitting, after, near

ONCE = "frames that lay waiting are told once, when they come on time again"
NEVER_SILENT = "the bus was never silent: what was sent meanwhile came late"
LEARNED = "how often frames come is the same as before"
READ = 20 * US  # for each frame that lay waiting


def scenarios():
    return [stall(), short_stall(), slow_stall(), clumped_stall(), opening(), for_good(), hiccups(), clumped_hiccup(), one_is_silent(), one_stands_still(), both_stand_still(), leads_too(), pause_meanwhile(), leads_in_lumps(), switch_meanwhile(), ends_late(), ends_unread()]


def beats(s, until, but=()):
    """A beat a second, but none while the computer stands still: the one that fell
    due meanwhile comes when it goes on."""
    s.beating = False
    late = set()
    for n in range(1, until // S + 1):
        at = n * S
        for begin, end in but:
            if begin < at < end:
                at = end
        if at == n * S or at not in late:
            s.beat(at, s.base + at)
        late.add(at)


def waiting(bus, until):
    """Reads at that moment what was sent up to it. Gives how many frames."""
    frames, at = 0, until
    while bus.end < at:
        bus.sitting.add(at, bus.tap, "bytes", pack(bus.counts))
        bus.skip(1)
        frames, at = frames + 1, at + READ
    return frames


def stood(name, subjects, stop, period=7 * MS, latency=0):
    """A computer that stands still for so long while the bus goes on."""
    s = Sitting(name, subjects, sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s, period=period, latency=latency)
    first, last = bus.send(2 * S // period)
    read = last + -last % latency if latency else last
    frames = waiting(bus, read + stop)
    _, end = bus.send(3 * S // period)
    s.expect("frames are being read", "bus.locked", from_=near(first, latency + US), data={"silent_ns": 0})
    s.expect(LEARNED, "period.changed", data={"period_ns": period, "was_ns": 0})
    s.expect(ONCE, "bus.late", at=after(read + stop, 100 * MS, 300 * MS), from_=near(read), data={"opened": False},
             within={"frames": [frames - 3, frames + 3], "silent_ns": near(stop)})
    beats(s, end, [(read, read + stop)])
    s.end(end + 50 * MS)
    return s


def stall():
    return stood("late-stall", ["Late", "Silence", "Gap", "Period"], 5100 * MS)


def short_stall():
    return stood("late-short-stall", ["Late", "Silence", "Gap"], 200 * MS)


def slow_stall():
    return stood("late-slow-bus", ["Late", "Silence", "Period"], 300 * MS, period=22 * MS)


def clumped_stall():
    return stood("late-clumped", ["Late", "Silence", "Period", "Gap"], 500 * MS, latency=16 * MS)


def opening():
    s = Sitting("late-opening", ["Late", "Period"], sheets.PLAIN)
    s.up(900 * MS)
    bus = Bus(s)
    frames = waiting(bus, 905 * MS)
    _, end = bus.send(300)
    s.expect("what a port has waiting when it is opened is older than its dates", "bus.late", from_=near(900 * MS),
             data={"opened": True}, within={"frames": [frames - 3, frames + 3], "silent_ns": near(5 * MS, MS)})
    s.expect("frames are being read", "bus.locked", data={"silent_ns": 0})
    s.expect("learned from what came on time", "period.changed", at=after(905 * MS, 300 * MS, 700 * MS), data={"period_ns": 7 * MS, "was_ns": 0})
    s.end(end + 50 * MS)
    return s


def for_good():
    """A port that hands over in batches all the time, as a bad hub or driver does: each is
    late, the bus is never silent, and it is said while it goes on."""
    s = Sitting("late-for-good", ["Late", "Silence"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    sent = [waiting(bus, at) for at in range(320 * MS, 12 * S, 300 * MS)]
    s.expect("frames are being read", "bus.locked", data={"silent_ns": 0})
    s.expect("what lay waiting at the opening is told by itself", "bus.late", at=near(620 * MS, 10 * MS), from_=near(20 * MS), data={"opened": True},
             within={"frames": [sent[0] - 3, sent[0] + 3]})
    s.expect("late deliveries that go on are told all the same", "bus.late", at=[5620 * MS, 5940 * MS], data={"opened": False},
             within={"frames": [sum(sent[1:17]), sum(sent[1:20])], "silent_ns": near(300 * MS, 30 * MS)})
    s.expect("and again", "bus.late", at=[10620 * MS, 11240 * MS], data={"opened": False}, within={"silent_ns": near(300 * MS, 30 * MS)})
    s.expect("the rest at the end", "bus.late", data={"opened": False})
    s.never("bus.silent")
    s.end(12100 * MS)
    return s


HICCUPS = (150 * MS, 300 * MS, 900 * MS)


def hiccups():
    """A bus that sends nothing for a moment and then goes on."""
    s = Sitting("late-hiccups", ["Silence", "Late", "Gap"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    first, last = bus.send(140)
    s.expect("frames are being read", "bus.locked", from_=near(first), data={"silent_ns": 0})
    for stop in HICCUPS:
        last = ((last // S) * S + 1010 * MS) // MS * MS  # no beat falls into it
        while bus.end < last:
            bus.send(1)
        _, last = bus.send(1)
        bus.end = last + stop
        again, _ = bus.send(150)
        s.expect("nothing came, and nothing came late: the bus was silent", "bus.silent", at=after(again, 0, 10 * MS), from_=near(last),
                 within={"limit_ns": near(100 * MS, 5 * MS)})
        s.expect("and is back with its first frame", "bus.locked", at=after(again, 0, 10 * MS), from_=near(again), within={"silent_ns": near(stop)})
        last = bus.end
    s.expect("of 150 ms, the frames that would have been sent are told too", "wire.gap", data={"frames": 20})
    s.end(bus.end + 50 * MS)
    return s


def clumped_hiccup():
    s = Sitting("late-clumped-hiccup", ["Silence", "Late"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s, latency=16 * MS)
    first, last = bus.send(300)
    bus.end = last + 300 * MS
    again, end = bus.send(300)
    s.expect("frames are being read", "bus.locked", from_=near(first, 16 * MS), data={"silent_ns": 0})
    s.expect("two or three at once are what the adapter does", "bus.silent", at=after(again, 0, 40 * MS), from_=near(last, 2 * MS))
    s.expect("and it is back", "bus.locked", from_=near(again, 16 * MS), within={"silent_ns": near(300 * MS, 18 * MS)})
    s.end(end + 50 * MS)
    return s


def two(name, subjects):
    s = Sitting(name, subjects, sheets.TWO_TAPS, taps=("main", "second"))
    s.up(20 * MS, 1, "first-port"), s.up(21 * MS, 2, "second-port")
    s.leave("switch.moved")
    return s, Bus(s, tap=1), Bus(s, tap=2, first=103 * MS)


def until(bus, end):
    while bus.end < end:
        _, last = bus.send(1)
    return last


def one_is_silent():
    s, main, second = two("late-one-is-silent", ["Silence", "Late"])
    until(main, 6 * S)
    last = until(second, 2 * S)
    second.end = last + 600 * MS
    until(second, 6 * S)
    s.expect("the other tap is read, so somebody listened: told when it is due", "bus.silent", about="tap:second",
             at=after(last, 100 * MS, 108 * MS), from_=near(last))
    s.expect("each tap by itself", "bus.locked"), s.expect("each tap by itself", "bus.locked", about="tap:second")
    s.expect("back", "bus.locked", about="tap:second", within={"silent_ns": near(600 * MS)})
    s.end(6 * S)
    return s


def one_stands_still():
    s, main, second = two("late-one-stands-still", ["Silence", "Late"])
    until(main, 6 * S)
    last = until(second, 2 * S)
    frames = waiting(second, last + 800 * MS)
    until(second, 6 * S)
    s.expect("nothing came: that is all that is known then", "bus.silent", about="tap:second", at=after(last, 100 * MS, 108 * MS), from_=near(last))
    s.expect("each tap by itself", "bus.locked"), s.expect("each tap by itself", "bus.locked", about="tap:second")
    s.expect("back", "bus.locked", about="tap:second", within={"silent_ns": near(800 * MS)})
    s.expect("an adapter that stood still, by what it brings then", "bus.late", about="tap:second", from_=near(last),
             within={"frames": [frames - 3, frames + 3], "silent_ns": near(800 * MS)})
    s.end(6 * S)
    return s


def both_stand_still():
    s, main, second = two("late-both-stand-still", ["Silence", "Late"])
    lasts = [until(main, 2 * S), until(second, 2 * S)]
    again = 4300 * MS
    counts = [waiting(bus, again + READ * 1000 * place) for place, bus in enumerate((main, second))]
    until(main, 7 * S), until(second, 7 * S)
    for name, last, frames in zip(("main", "second"), lasts, counts):
        s.expect("each tap by itself", "bus.locked", about="tap:" + name)
    for name, last, frames in zip(("main", "second"), lasts, counts):
        s.expect(ONCE, "bus.late", about="tap:" + name, from_=near(last), within={"frames": [frames - 3, frames + 3]})
    beats(s, 7 * S, [(max(lasts), again)])
    s.end(7 * S)
    return s


def stands_still(s, begin, end):
    """What was to be read in between is read at the end of it."""
    s.inputs = [(end if begin < at < end else at, *rest) for at, *rest in s.inputs]


def with_leads(name, subjects, pause=0):
    s, bus, leads = start(name, subjects, latency=0)
    begin, end = 4010 * MS, 9030 * MS
    for output in (1, 2):
        leads.output(output, 1500 * US)
    both(bus, leads, 6 * S)
    leads.pause(2, pause)
    both(bus, leads, 14 * S)
    stands_still(s, begin, end)
    beats(s, 14 * S, [(begin, end)])
    s.expect("the bus comes late", "bus.late", within={"frames": [248, 252], "silent_ns": near(end - begin, 30 * MS)})
    s.expect("the board is heard from the beginning", "board.heard", about="tap:leads")
    for output in (1, 2):
        s.expect("an output that is heard was never silent: the board dates its pulses itself", "output.back", about="output:%d" % output,
                 at=[100 * MS, S])
    return s


def leads_too():
    s = with_leads("late-leads", ["OutputSilence", "Board", "Late"])
    s.end(14 * S)
    return s


def pause_meanwhile():
    s = with_leads("late-leads-pause", ["OutputSilence"], pause=400 * MS)
    s.expect("what paused while nobody read is seen, by the board's clock", "output.silent", about="output:2")
    s.expect("and that it went on, and for how long it had paused", "output.back", about="output:2", within={"silent_ns": [400 * MS, 425 * MS]})
    s.end(14 * S)
    return s


def lumps(s, tap, ends):
    """What comes between two of these dates is handed over at the later one, but for its last
    characters: those come with a read of their own, so a line is cut in two."""
    held = {end: b"" for end in ends[1:]}
    kept = []
    for each in s.inputs:
        at, _, of, kind, data, _ = each
        end = next((end for begin, end in zip(ends, ends[1:]) if begin < at <= end), None)
        if of == tap and kind == "bytes" and end:
            held[end] += data
        else:
            kept.append(each)
    s.inputs = kept
    for end, data in held.items():
        cut = len(data) if end == ends[-1] else len(data) - 11
        s.add(end, tap, "bytes", data[:cut])
        if data[cut:]:
            s.add(end + MS, tap, "bytes", data[cut:])


def leads_in_lumps():
    """A board whose adapter hands over in lumps, while the bus comes on time."""
    s, bus, leads = start("late-leads-lumps", ["OutputSilence", "Board"], latency=0)
    for output in (1, 2):
        leads.output(output, 1500 * US)
    both(bus, leads, 9500 * MS)
    paused = leads.last[2]
    leads.pause(2, 400 * MS)
    both(bus, leads, 16 * S)
    lumps(s, 2, [3010 * MS, 3410 * MS, 4510 * MS, 7210 * MS, 8110 * MS, 9010 * MS, 10_910 * MS, 11_310 * MS])
    s.expect("2.7 s without a line are no silence of a board", "board.heard", about="tap:leads", data={"silent_ns": 0, "restarts": 0})
    for output in (1, 2):
        s.expect("an output that is heard was never silent: the board dates its pulses itself", "output.back", about="output:%d" % output,
                 at=[100 * MS, S])
    s.expect("what paused within a lump is seen, by the board's clock", "output.silent", about="output:2", at=[10_910 * MS, 10_920 * MS],
             from_=near(paused, 20 * MS))  # the last line of a lump may lie a period before its end
    s.expect("and that it went on, 0.4 s longer than a period behind that", "output.back", about="output:2", at=[10_910 * MS, 10_920 * MS], within={"silent_ns": near(420 * MS, MS)})
    s.never("board.lost")
    s.never("bus.late")
    s.end(16 * S)
    return s


def switch_meanwhile():
    """A lever goes through its middle while nobody reads, and is back before; then it
    goes to the front and stays there."""
    s = Sitting("late-switch-meanwhile", ["Mode", "Late"], sheets.TWO_CHANNELS)
    s.up(20 * MS)
    bus = Bus(s)
    bus.put(11, LOW), bus.put(13, LOW)
    _, last = bus.send(200)
    for count in (LOW, CENTRE, LOW, CENTRE, HIGH):
        bus.put(11, count)
        waiting(bus, bus.end + S)
    again, end = bus.send(300)
    stands_still(s, last, again - 7 * MS)
    beats(s, end, [(last, again - 7 * MS)])
    s.expect("where it stood", "mode.asked", about="stabiliser", data={"mode": "off", "was": ""})
    s.expect("where it stands when frames come on time again; how long it stood elsewhere meanwhile nobody knows", "mode.asked",
             about="stabiliser", from_=near(again, 8 * MS), data={"mode": "upright", "was": "off", "passing": False})
    s.expect("what came late", "bus.late", from_=near(last, 8 * MS))
    s.end(end + 50 * MS)
    return s


def ends_late():
    s = Sitting("late-at-the-end", ["Late"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    _, last = bus.send(200)
    frames = waiting(bus, last + S)
    _, end = bus.send(5)
    s.expect("what is under way is told when the sitting ends", "bus.late", at=near(end + 10 * MS), from_=near(last),
             within={"frames": [frames - 3, frames + 3]})
    beats(s, end, [(last, last + S)])
    s.end(end + 10 * MS)
    return s


def ends_unread():
    """A sitting that ends 30 ms after the first beat since the bus fell silent."""
    s = Sitting("late-end-of-silence", ["Silence"], sheets.PLAIN)
    s.up(20 * MS)
    _, last = Bus(s).send(200)
    end = (last // S + 1) * S + 30 * MS
    s.expect("nothing can come any more: what is due has passed", "bus.silent", at=near(end), from_=near(last))
    s.end(end)
    return s
