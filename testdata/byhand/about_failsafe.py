"""Switch-off is not on the wire: times count from the last frame known live.
Failsafe comes after a run of losses, typically 0.5 to 1.5 s; flags before the
first link are neither proof nor fault (common practice). A receiver repeats a wrong
frame once or twice, so four frames in a row are the least that settles a flag, and
seven are looked at for a value, which comes three frames late. Where no frame was
flagged as lost before the failsafe flag, the last live frame is not known."""

import sheets
from bus import FAILSAFE, HIGH, LOST, LOW, Bus
from sitting import MS, S, Sitting, after, near


def scenarios():
    return [
        entered_and_left(), single_flags(), before_link(), with_both_flags(), presets(), late_presets(),
        left_but_lost(), flags_around_a_replug(), presets_told_anew(), flickers(),
        frame_lost_alone(), brown_out(),
    ]


def entered_and_left():
    s = Sitting("failsafe", ["Failsafe", "Missed"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    _, live = bus.send(150)
    missed, _ = bus.send(100, flags=LOST)
    first, _ = bus.send(200, flags=FAILSAFE)
    s.expect("from the last live frame to the first with the flag, believed with the fourth", "failsafe.entered",
             at=near(first + 21 * MS), from_=near(first), data={"before_link": False},
             within={"live_ns": near(live), "after_ns": near(101 * 7 * MS)})
    s.expect("no live frame for half a second, whatever flag they carry", "link.lost", at=after(missed, 500 * MS, 507 * MS), from_=near(live),
             within={"live_ns": near(live), "lost_ns": [500 * MS, 512 * MS]})
    s.never("link.restored")  # failsafe.left says that

    back, _ = bus.send(1)
    s.expect("from the first frame with the flag to the first without it, believed with the fourth", "failsafe.left",
             at=near(back + 21 * MS), from_=near(back), data={"before_link": False},
             within={"live_ns": near(back), "after_ns": near(1400 * MS)})
    s.expect("all that time nothing was heard", "air.missed", at=near(back), from_=near(missed), data={"frames": 300})
    bus.send(100)
    first, _ = bus.send(50, flags=FAILSAFE)
    s.expect("a second time, and no frame was flagged as lost: how long it took is not known", "failsafe.entered", from_=near(first),
             data={"live_ns": -1, "after_ns": -1})
    s.expect("the silence ends the run: the line stops in the middle of it", "air.missed", from_=near(first), data={"frames": 50})
    s.expect("some receivers stop sending", "bus.silent", from_=near(bus.end - 7 * MS))
    s.end(bus.end + 3 * S)
    return s


def single_flags():
    s = Sitting("failsafe-few-flags", ["Failsafe", "Link"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    bus.send(100)
    bus.send(1, flags=FAILSAFE)
    bus.send(3)
    bus.send(3, flags=FAILSAFE)
    bus.send(1)
    bus.send(3, flags=FAILSAFE)
    _, live = bus.send(50)
    bus.send(10, flags=LOST)
    first, _ = bus.send(30, flags=FAILSAFE)
    s.expect("a wrong frame comes up to three times: three flags in a row are no failsafe, thirty are", "failsafe.entered",
             at=near(first + 21 * MS), from_=near(first), within={"live_ns": near(live), "after_ns": near(11 * 7 * MS)})
    bus.send(1)
    bus.send(20, flags=FAILSAFE)
    bus.send(3)
    bus.send(1, flags=FAILSAFE)
    bus.send(2)
    bus.send(20, flags=FAILSAFE)
    back, end = bus.send(100)
    s.expect("nor do three live frames end it", "failsafe.left", at=near(back + 21 * MS), from_=near(back),
             within={"after_ns": near(back - first)})
    for frames in (1, 3, 3):
        s.expect("flags that stand alone were still not heard", "air.missed", data={"frames": frames, "loss": False})
    s.expect("with the failsafe flag they are a loss; behind it one live frame is no link that could miss anything", "air.missed",
             data={"frames": 40, "loss": True})
    s.end(end + 50 * MS)
    return s


def before_link():
    s = Sitting("failsafe-before-link", ["Failsafe"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    first, _ = bus.send(100, flags=FAILSAFE)
    s.expect("flags before the first link are neither proof nor fault, and no time counts from them", "failsafe.entered",
             from_=near(first), data={"before_link": True, "live_ns": -1, "after_ns": -1})
    back, _ = bus.send(100)
    s.expect("the first link", "failsafe.left", from_=near(back), data={"before_link": True}, within={"live_ns": near(back)})
    first, _ = bus.send(100, flags=FAILSAFE)
    s.expect("what the receiver does without a signal is told of a signal that was there", "failsafe.settled", data={"live_ns": -1})
    s.expect("after it failsafe is failsafe, since when no frame tells", "failsafe.entered", from_=near(first),
             data={"before_link": False, "live_ns": -1, "after_ns": -1})
    back, end = bus.send(50)
    s.expect("and its end is an end", "failsafe.left", from_=near(back), data={"before_link": False})
    s.leave("air.missed")
    s.end(end + 50 * MS)
    return s


def with_both_flags():
    s = Sitting("failsafe-both-flags", ["Failsafe"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    _, live = bus.send(100)
    bus.send(70, flags=LOST)
    first, _ = bus.send(1, flags=LOST | FAILSAFE)
    bus.send(60, flags=LOST | FAILSAFE)
    back, end = bus.send(50)
    s.expect("a receiver that sets both flags is in failsafe", "failsafe.entered", from_=near(first),
             within={"live_ns": near(live), "after_ns": near(71 * 7 * MS)})
    s.expect("until both are gone", "failsafe.left", from_=near(back), within={"live_ns": near(back), "after_ns": near(back - first)})
    s.expect("one run", "air.missed", data={"frames": 131})
    s.leave("link.lost")
    s.end(end + 50 * MS)
    return s


STANDS = "what the values come to stand at, beside what they were with the last live frame"


def widths(**channels):
    """All at 1500 us but those named, in ns."""
    return [channels.get("ch%d" % n, 1_500_000) for n in range(1, 17)]


def presets():
    s = Sitting("failsafe-presets", ["Loss"], sheets.FAILSAFE)
    s.up(20 * MS)
    bus = Bus(s)
    bus.put(1, 600), bus.put(2, 1400)  # 1255 and 1755 us
    _, live = bus.send(150)
    bus.put(1, 700)  # frames that were not heard say nothing of what was heard
    bus.send(100, flags=LOST)
    bus.send(30, flags=FAILSAFE)  # held for a moment, then preset
    bus.put(1, LOW), bus.put(2, HIGH)
    preset, _ = bus.send(150, flags=FAILSAFE)
    s.expect(STANDS + ", once the sheet's 1.5 s are over, and three frames later", "failsafe.settled", at=after(live, 1521 * MS, 1530 * MS), from_=near(preset),
             data={"was_ns": widths(ch1=1_255_000, ch2=1_755_000), "now_ns": widths(ch1=987_500, ch2=2_011_875)},
             within={"live_ns": near(live), "stands_ns": [500 * MS, 600 * MS]})
    bus.send(100)
    bus.send(200, flags=FAILSAFE)  # 1.4 s: not long enough to say
    _, live = bus.send(100)
    bus.send(250, flags=FAILSAFE)
    s.expect("held: the same as before; when the signal went no frame tells", "failsafe.settled", at=after(live, 1521 * MS, 1530 * MS),
             data={"live_ns": -1, "was_ns": widths(ch1=987_500, ch2=2_011_875), "now_ns": widths(ch1=987_500, ch2=2_011_875)})
    s.leave("link.lost"), s.leave("failsafe.entered"), s.leave("failsafe.left"), s.leave("air.missed")
    s.end(bus.end + 20 * MS)
    return s


def late_presets():
    s = Sitting("failsafe-presets-late", ["Loss"], sheets.FAILSAFE)
    s.up(20 * MS)
    bus = Bus(s)
    bus.put(1, 600)
    _, live = bus.send(150)
    bus.send(1, flags=LOST)
    bus.send(200, flags=FAILSAFE)  # 1.4 s
    bus.put(1, 800)
    bus.send(20, flags=FAILSAFE)
    bus.put(1, LOW)
    preset, _ = bus.send(20, flags=FAILSAFE)
    for _ in range(3):  # damaged frames say nothing
        bus.put(1, 100), bus.bad(marked=3, flags=FAILSAFE), bus.put(1, LOW)
        bus.send(8, flags=FAILSAFE)
    bus.send(60, flags=FAILSAFE)
    s.expect(STANDS + ", and not before they stand", "failsafe.settled", at=after(preset, 200 * MS, 350 * MS), from_=near(preset),
             data={"was_ns": widths(ch1=1_255_000), "now_ns": widths(ch1=987_500)}, within={"live_ns": near(live)})
    s.leave("failsafe.entered"), s.leave("air.missed"), s.leave("wire.damaged")
    s.end(bus.end + 20 * MS)
    return s


def left_but_lost():
    s = Sitting("failsafe-left-still-lost", ["Failsafe"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    bus.send(100)
    first, _ = bus.send(60, flags=LOST | FAILSAFE)
    s.expect("failsafe, with both flags at once", "failsafe.entered", from_=near(first), data={"live_ns": -1})
    back, _ = bus.send(20, flags=LOST)
    s.expect("the flag is gone, but these frames were still not heard: nothing live yet", "failsafe.left",
             at=near(back + 21 * MS), from_=near(back), data={"live_ns": -1}, within={"after_ns": near(60 * 7 * MS)})
    heard, end = bus.send(50)
    s.expect("one run from the loss until it was heard again", "air.missed", at=near(heard), from_=near(first), data={"frames": 80})
    s.end(end + 50 * MS)
    return s


def flags_around_a_replug():
    s = Sitting("failsafe-flags-around-replug", ["Failsafe"], sheets.PLAIN)
    s.up(20 * MS)
    bus = Bus(s)
    bus.send(100)
    _, last = bus.send(3, flags=FAILSAFE)
    gone = last + 4 * MS
    s.down(gone)
    s.expect("it goes", "tap.down", at=near(gone))
    s.up(gone + S)
    bus.end = gone + S + 40 * MS
    bus.send(3, flags=FAILSAFE)
    _, end = bus.send(100)
    s.never("failsafe.entered")  # three frames before and three behind a replug are not four in a row
    s.expect("three flags were still not heard, perhaps the first of a loss; the other came before any link", "air.missed", at=near(gone),
             data={"frames": 3, "loss": True})
    s.end(end + 50 * MS)
    return s


def presets_told_anew():
    s = Sitting("failsafe-presets-anew", ["Loss"], sheets.FAILSAFE)
    s.up(20 * MS)
    bus = Bus(s)
    bus.put(1, 600)
    bus.send(100)
    was = widths(ch1=1_255_000)
    bus.put(1, LOW)
    preset, _ = bus.send(300, flags=FAILSAFE)
    s.expect(STANDS, "failsafe.settled", from_=near(preset), data={"live_ns": -1, "was_ns": was, "now_ns": widths(ch1=987_500)})
    bus.put(1, 800)
    bus.send(3)  # wrong frames, and no flag: the same loss goes on
    bus.put(1, LOW)
    bus.send(300, flags=FAILSAFE)
    bus.put(1, 900)
    bus.send(3, flags=FAILSAFE)  # wrong frames, with the flag
    bus.put(1, LOW)
    bus.send(300, flags=FAILSAFE)
    for count, width in ((HIGH, 2_011_875), (900, 1_442_500)):
        bus.put(1, count)
        preset, _ = bus.send(300, flags=FAILSAFE)
        s.expect("a receiver that goes on to something else is told anew", "failsafe.settled", from_=near(preset),
                 data={"was_ns": was, "now_ns": widths(ch1=width)})
    bus.put(1, LOW)
    bus.send(300, flags=FAILSAFE)  # three times at most: a stabiliser may move values for ever
    bus.put(1, 700)
    _, live = bus.send(60)
    bus.send(10, flags=LOST)
    bus.put(1, LOW)
    preset, end = bus.send(300, flags=FAILSAFE)
    s.expect("once more for another loss", "failsafe.settled", from_=near(preset),
             data={"was_ns": widths(ch1=1_317_500), "now_ns": widths(ch1=987_500)}, within={"live_ns": near(live)})
    s.leave("failsafe.entered"), s.leave("failsafe.left"), s.leave("air.missed")
    s.end(end + 50 * MS)
    return s


def flickers():
    s = Sitting("failsafe-flickers", ["Failsafe"], sheets.FAILSAFE)
    s.up(20 * MS)
    bus = Bus(s)
    _, live = bus.send(300)
    bus.send(60, flags=LOST)
    first, _ = bus.send(100, flags=FAILSAFE)
    gone, _ = bus.send(40, flags=LOST)
    again, _ = bus.send(200, flags=FAILSAFE)
    back, end = bus.send(100)
    s.expect("it comes in time", "failsafe.entered", from_=near(first), data={"again": False}, within={"live_ns": near(live), "after_ns": near(61 * 7 * MS)})
    s.expect("with no live frame between it is the same failsafe, not a late one", "failsafe.entered", from_=near(again), data={"again": True})
    s.expect("the flag alone is gone", "failsafe.left", from_=near(gone), data={"live_ns": -1})
    s.expect("the signal is back", "failsafe.left", from_=near(back), within={"live_ns": near(back)})
    s.expect("one loss, whose flag came in time", "loss.measured", from_=near(live), data={"dated_by": "flags", "flag": "flagged", "class": "unclear"},
             within={"failsafe_ns": near(61 * 7 * MS), "lost_ns": near(7 * MS), "back_ns": near(back - live)})
    s.leave("air.missed"), s.leave("link.lost")
    s.end(end + 50 * MS)
    return s


def frame_lost_alone():
    s = Sitting("link-lost", ["Link", "Loss"], sheets.FAILSAFE)
    s.up(20 * MS)
    bus = Bus(s)
    _, live = bus.send(300)
    first, _ = bus.send(71, flags=LOST)  # 490 ms: not yet
    bus.send(5)
    _, live = bus.send(100)
    first, _ = bus.send(300, flags=LOST)
    s.expect("no live frame for half a second is a loss, whatever flag says so; told at once", "link.lost", at=after(first, 500 * MS, 507 * MS),
             from_=near(live), within={"live_ns": near(live)})
    bus.send(3)  # wrong frames end none
    _, last = bus.send(100, flags=LOST)
    back, end = bus.send(100)
    s.expect("from the first of four live frames", "link.restored", at=near(back + 21 * MS), from_=near(back), within={"lost_ns": near(back - live)})
    s.expect("the loss was watched until then, and no failsafe flag came", "loss.measured", from_=near(live),
             data={"dated_by": "flags", "flag": "frame lost only", "failsafe_ns": -1}, within={"lost_ns": near(7 * MS), "back_ns": near(back - live)})
    s.leave("air.missed"), s.never("failsafe.settled")
    s.end(end + 50 * MS)
    return s


def brown_out():
    s = Sitting("failsafe-brown-out", ["Failsafe", "Link", "Loss"], sheets.FAILSAFE)
    s.up(20 * MS)
    bus = Bus(s)
    bus.put(3, 1200)
    bus.send(300)
    bus.skip(100)  # 0.7 s: the supply dips, and the receiver begins anew
    bus.put(3, LOW)
    bus.send(10, flags=LOST)
    first, _ = bus.send(300, flags=FAILSAFE)
    s.expect("flags of a restart are neither proof nor fault, as before the first link", "failsafe.entered", from_=near(first),
             data={"live_ns": -1, "after_ns": -1, "after_silence": True})
    bus.put(3, 1200)
    back, end = bus.send(100)
    s.expect("until it hears its transmitter", "failsafe.left", from_=near(back), within={"live_ns": near(back)})
    s.never("loss.measured"), s.never("failsafe.settled")
    s.leave("air.missed"), s.leave("bus.silent")
    s.end(end + 50 * MS)
    return s
