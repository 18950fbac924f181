"""A long run is counted in outages and in occasions. An outage is a loss that flags say, a
heartbeat that stands, or a silence of a second or more, from the last live frame until the signal
is back; shorter silences are the line's, unless what follows looks like a receiver that
began anew. Occasions are runs of outages with more than 30 quiet minutes between them: fixed in
advance, since a source of trouble makes several. A port that goes away is no outage, nor is
anything while a phone is at the model, which is a radio of its own (common practice). Most
runs end because the transmitter does: a loss that never returns is the transmitter's or the receiver's, can't
be told, and is no outage counted."""

import sheets
from bus import CENTRE, FAILSAFE, HIGH, LOST, LOW, Bus, pack
from sitting import MS, S, Sitting, after, near

MINUTE = 60 * S
COUNTED = "soak.counted"


def scenarios():
    return [outages(), restarts(), no_outages(), occasions(30 * MINUTE + S, 2), occasions(30 * MINUTE - S, 1),
            last_loss(), last_loss_returns(), phone(), changed(), heartbeat(), pulled_out(), supply(), goal(), leapt(51 * 98 * MS),
            leapt(51 * 98 * MS + 7 * MS), leapt_unwatched(), lost_behind_late(), silent_then_late(0), silent_then_late(1), late_after_silence()]


def sitting(name, sheet=sheets.SOAK, subjects=("Account",), **more):
    s = Sitting(name, list(subjects), sheet, **more)
    s.up(20 * MS)
    for kind in ("bus.silent", "air.missed", "failsafe.entered", "failsafe.left", "link.lost", "link.restored", "loss.measured",
                 "failsafe.settled", "wire.gap", "mark", "tap.down", "session.resumed"):
        s.leave(kind)
    return s


def lose(bus, frames=200):
    """A loss that flags say. Gives the first live frame behind it."""
    bus.send(60, flags=LOST)
    bus.put(1, LOW), bus.put(2, HIGH), bus.put(3, LOW)  # its presets
    bus.send(frames, flags=FAILSAFE)
    bus.put(1, CENTRE), bus.put(2, CENTRE), bus.put(3, CENTRE)
    return bus.send(300)[0]


def over(s, back, rule, **data):
    """An outage is over with the fourth live frame; values come three frames late."""
    s.expect(rule, COUNTED, at=after(back, 20 * MS, 60 * MS), data=data)


def outages():
    s = sitting("soak-outages")
    bus = Bus(s)
    bus.send(600)
    over(s, lose(bus), "a loss that flags say", outages=1, occasions=1, ended=False)
    bus.skip(143)
    back, _ = bus.send(300)
    over(s, back, "a silence of 1 s, and then live frames", outages=2, occasions=1)
    bus.skip(80)  # 0.57 s
    bus.send(300)
    bus.send(40, flags=LOST)  # 0.28 s: a run of missed frames on a live link
    _, end = bus.send(300)
    s.expect("shorter ones, and missed frames on a live link, are no outages", COUNTED, about="tap:main", data={"outages": 2, "occasions": 1,
             "ended": True, "gone": False, "missed": 40, "known": False, "one_in_ns": 0, "broken_ns": 0},
             within={"live_ns": [1840 * 7 * MS - 2500 * MS, 1840 * 7 * MS]})  # less what beats, a second apart, can't tell
    s.end(end + 50 * MS)
    return s


def restarts():
    s = sitting("soak-restart")
    bus = Bus(s)
    bus.send(600)
    bus.skip(80)  # 0.57 s
    bus.send(60, flags=LOST)
    back, _ = bus.send(300)
    over(s, back, "a receiver that began anew had no signal for as long, however short its silence", outages=1, occasions=1)
    bus.skip(80)
    bus.send(20, flags=FAILSAFE)
    back, end = bus.send(300)
    over(s, back, "whichever flag it sends until it hears its transmitter", outages=2, occasions=1)
    s.expect("that is all", COUNTED, data={"outages": 2, "ended": True})
    s.end(end + 50 * MS)
    return s


def no_outages():
    s = sitting("soak-none")
    bus = Bus(s)
    bus.send(50, flags=LOST)  # before the first link
    bus.send(50, flags=FAILSAFE)
    bus.send(400)
    down = bus.end + 10 * MS
    s.down(down)
    s.up(down + 2 * S)
    bus.end = down + 2100 * MS
    bus.send(300)
    bus.late(300, 5 * MS)  # the computer stood still for two seconds
    _, end = bus.send(300)
    s.leave("bus.late")
    s.expect("flags before the first link are neither proof nor fault; a port that went away, and frames that were read late, are not "
             "the receiver's", COUNTED, data={"outages": 0, "occasions": 0, "gone": False, "ended": True})
    s.end(end + 50 * MS)
    return s


def late_sitting(name):
    s = sitting(name)
    s.leave("bus.late")
    return s


def lost_behind_late():
    s = late_sitting("soak-lost-behind-late")
    bus = Bus(s)
    bus.send(600)
    bus.send(4, flags=LOST)
    at = bus.end + 40 * 7 * MS
    for _ in range(40):  # a busy computer reads nothing for 0.28 s
        bus._read(pack(bus.counts, LOST), ends=at)
        bus.skip(1)
    back = lose(bus)
    over(s, back, "flags say that the signal is gone, however late the frames before were read", outages=1, occasions=1)
    s.expect("that is all", COUNTED, data={"outages": 1, "gone": False, "ended": True})
    s.end(bus.end + 50 * MS)
    return s


def silent_then_late(on_time):
    s = late_sitting(f"soak-silent-then-late-{on_time}")
    bus = Bus(s)
    bus.send(600)
    bus.skip(500)  # 3.5 s
    for _ in range(on_time):
        bus.frame()
    bus.late(40, 5 * MS)  # 0.28 s of frames lay waiting: not 3.5 s of them
    back, _ = bus.send(300)
    s.expect("a silence of seconds that far too few late frames fill was one", COUNTED, at=after(back, 20 * MS, 200 * MS),
             data={"outages": 1, "occasions": 1})
    s.expect("that is all", COUNTED, data={"outages": 1, "gone": False, "ended": True})
    s.end(bus.end + 50 * MS)
    return s


def late_after_silence():
    s = late_sitting("soak-late-after-silence")
    bus = Bus(s)
    bus.send(600)
    bus.skip(500)
    bus.send(50, flags=LOST)  # it began anew, and has no signal yet
    bus.late(40, 5 * MS)
    back, _ = bus.send(300)
    s.expect("frames came on time in between: what is read late then lay waiting in another hole", COUNTED, at=after(back, 20 * MS, 200 * MS),
             data={"outages": 1, "occasions": 1})
    s.expect("that is all", COUNTED, data={"outages": 1, "gone": False, "ended": True})
    s.end(bus.end + 50 * MS)
    return s


def occasions(apart, count):
    """Nobody listens between: how long it was is bench time all the same."""
    s = sitting(f"soak-occasions-{count}")
    bus = Bus(s)
    bus.send(400)
    first = lose(bus)
    over(s, first, "the first", outages=1, occasions=1)
    lost = first + apart  # the last live frame
    again = lost - 399 * 7 * MS
    s.expect("the sitting ends", COUNTED, data={"outages": 1, "ended": True})
    s.add(bus.end + 20 * MS, 0, "end")
    s.killed(bus.end + 20 * MS, again - S, 0)
    s.up(again - S + 20 * MS)
    bus.end = again
    bus.send(400)
    back = lose(bus)
    over(s, back, "quiet for more than 30 minutes, and it is another occasion; counted from one's end to the other's begin",
         outages=2, occasions=count)
    s.expect("and so to the end", COUNTED, data={"outages": 2, "occasions": count, "ended": True})
    s.end(bus.end + 50 * MS)
    return s


def last_loss():
    s = sitting("soak-last-loss")
    bus = Bus(s)
    bus.send(600)
    bus.send(60, flags=LOST)
    _, end = bus.send(600, flags=FAILSAFE)
    s.expect("a last loss that never returns: transmitter or receiver, can't be told", COUNTED,
             data={"outages": 0, "occasions": 0, "gone": True, "ended": True})
    s.end(end + 50 * MS)
    return s


def last_loss_returns():
    s = sitting("soak-last-loss-returns")
    bus = Bus(s)
    bus.send(600)
    bus.send(60, flags=LOST)
    _, end = bus.send(300, flags=FAILSAFE)
    s.expect("gone", COUNTED, data={"outages": 0, "gone": True, "ended": True})
    s.add(end + 50 * MS, 0, "end")
    s.killed(end + 50 * MS, end + 5 * MINUTE, 0)
    s.up(end + 5 * MINUTE + 20 * MS)
    bus.end = end + 5 * MINUTE + 100 * MS
    back, end = bus.send(300)
    over(s, back, "it is back, so it was an outage, however long", outages=1, occasions=1, gone=False)
    s.expect("and so to the end", COUNTED, data={"outages": 1, "ended": True})
    s.end(end + 50 * MS)
    return s


def phone():
    s = sitting("soak-phone")
    bus = Bus(s)
    bus.send(600)
    s.add(bus.end - 3 * MS, 0, "mark", b"phone at the model", "phone at the model")
    lose(bus)
    bus.send(300, flags=0)
    bus.send(20, flags=LOST)
    bus.send(300)
    s.add(bus.end - 3 * MS, 0, "mark", b"phone away", "phone away")
    bus.send(300)
    bus.send(10, flags=LOST)
    _, end = bus.send(300)
    s.expect("nothing counts while a phone is at the model", COUNTED, data={"outages": 0, "missed": 10, "ended": True})
    s.end(end + 50 * MS)
    return s


def changed():
    s = sitting("soak-changed")
    bus = Bus(s)
    bus.send(600)
    over(s, lose(bus), "an outage", outages=1, occasions=1)
    s.add(bus.end - 3 * MS, 0, "mark", b"I changed something", "I changed something")
    at = bus.end - 3 * MS
    _, end = bus.send(600)
    s.expect("what came before something was changed says nothing of what comes now", COUNTED, from_=near(at),
             data={"outages": 0, "occasions": 0, "ended": True})
    s.end(end + 50 * MS)
    return s


def heartbeat():
    s = sitting("soak-heartbeat", sheets.SOAK + "heartbeat: {channel: 16}\n", ("Account", "Stillness"))
    s.leave("values.still"), s.leave("values.moving")
    bus = Bus(s)

    def beat(frames):
        for n in range(frames):
            bus.put(16, 400 + 40 * (n // 14 % 20))
            bus.send(1)
    beat(1400)
    bus.send(800)  # 5.6 s: it stands, and nothing says so
    again = bus.end
    beat(1400)
    s.expect("a heartbeat that stands is a loss without a flag, until it beats again", COUNTED, at=after(again, 0, 2 * S),
             data={"outages": 1, "occasions": 1, "ended": False})
    bus.send(800)
    s.expect("and it stands to the end", COUNTED, data={"outages": 1, "gone": True, "ended": True})
    s.end(bus.end + 50 * MS)
    return s


def leapt(beats_for):
    """Many channels leap in one frame and then stand, as presets do. A heartbeat that goes on beating
    for 5 s is the transmitter's, since presets move no channel; with a pause of 5 s or more it
    begins anew. Beats come each 98 ms, here for so long from the first to the last, six times with
    a pause between; the heartbeat paused for 2 s before, so three times as long is no stop."""
    ends = beats_for >= 5 * S
    s = sitting("soak-leapt-" + ("beats-on" if ends else "beats-less"), sheets.SOAK + "heartbeat: {channel: 16}\n", ("Account", "Jump"))
    s.leave("values.moving")
    bus = Bus(s)
    value = 400

    def beats(n, last=14):
        nonlocal value
        for k in range(n):
            value = 400 + (value - 360) % 800
            bus.put(16, value)
            bus.send(last if k == n - 2 else 14)
    bus.send(100)
    beats(100)
    bus.send(114)  # 0.9 s: no stop is shorter than a second
    beats(100)
    bus.send(271)  # 2 s: less than three times as long
    beats(100)
    for channel in 5, 6, 7:
        bus.put(channel, HIGH)
    leap, _ = bus.send(30)
    s.expect("three channels leap in one frame, and stand", "values.jumped", from_=near(leap))
    last = 14 + (beats_for - 51 * 98 * MS) // (7 * MS)  # frames from the last beat but one to the last
    for _ in range(6):
        beats(52, last)
        bus.send(743)  # 5.2 s, with the frames of the last beat more
    end = bus.end
    before = leap - 100 * MS  # the bus began then
    live = before if not ends else end - 100 * MS - beats_for - 30 * 7 * MS
    s.expect("5 s of beats end the suspicion, and less does not", COUNTED, about="tap:main", data={"outages": 0, "ended": True},
             within={"live_ns": [live - 4500 * MS, live]})  # time is counted from beat to beat, a second apart
    s.end(end + 50 * MS)
    return s


def leapt_unwatched():
    s = sitting("soak-leapt", subjects=("Account", "Jump"))
    bus = Bus(s)
    bus.send(1500)
    for channel in 5, 6, 7:
        bus.put(channel, HIGH)
    leap, _ = bus.send(9000)  # 63 s
    s.expect("three channels leap in one frame, and stand", "values.jumped", from_=near(leap))
    live = leap - 100 * MS
    s.expect("without a heartbeat, and with no hand, nothing shows whose values these are", COUNTED, about="tap:main",
             data={"outages": 0, "ended": True}, within={"live_ns": [live - 3500 * MS, live]})
    s.end(bus.end + 50 * MS)
    return s


def pulled_out():
    s = sitting("soak-pulled-out")
    bus = Bus(s)
    _, last = bus.send(600)
    s.down(last + 3 * S)
    s.up(last + 6 * S)
    bus.end = last + 6100 * MS
    _, last = bus.send(600)
    s.down(last + 8 * S)
    s.up(last + 9 * S)
    bus.end = last + 9100 * MS
    back, end = bus.send(600)
    over(s, back, "a port that goes within five seconds was pulled out; one that goes later ends a silence that was there before", outages=1)
    s.expect("and so to the end", COUNTED, data={"outages": 1, "ended": True})
    s.end(end + 50 * MS)
    return s


def supply():
    s = sitting("soak-two-taps", sheets.SOAK_TWO, taps=("main", "second"))
    s.up(20 * MS, tap=2)
    bus, other = Bus(s), Bus(s, tap=2, first=103 * MS)
    bus.send(600), other.send(600)
    back = lose(bus)
    other.send(560)
    over(s, back, "each bus by itself: one of two receivers had an outage", tap="main", outages=1)
    end = max(bus.end, other.end)
    s.expect("main", COUNTED, about="tap:main", data={"outages": 1, "ended": True})
    s.expect("second", COUNTED, about="tap:second", data={"outages": 0, "ended": True})
    s.end(end + 20 * MS)
    return s


def goal():
    s = Sitting("soak-goal", ["Account"], sheets.PLAIN)
    s.inputs.clear()
    s.add(0, 0, "begin", s._start(until="1min quiet"))
    s.up(20 * MS)
    for kind in ("air.missed", "failsafe.entered", "failsafe.left", "link.lost", "loss.measured", "failsafe.settled"):
        s.leave(kind)
    bus = Bus(s, period=20 * MS)
    bus.send(1500)  # 30 s
    bus.send(30, flags=LOST)
    bus.send(60, flags=FAILSAFE)
    back, _ = bus.send(1)
    s.expect("an outage ends the stretch", "goal.missed", at=after(back, 60 * MS, 160 * MS), data={"quiet_ns": MINUTE, "failed": 1},
             within={"after_ns": [27 * S, 30 * S]})
    _, end = bus.send(3200)  # 64 s
    s.expect("a minute of a live link without one; a second is lost at its begin, and beats are a second apart", "goal.reached",
             at=after(back, MINUTE, MINUTE + 3 * S), data={"quiet_ns": MINUTE, "failed": 1})
    s.never(COUNTED)  # no sheet asks for it
    s.end(end + 50 * MS)
    return s
