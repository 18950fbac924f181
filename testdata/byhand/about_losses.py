"""Switch-off is not on the wire: times count from the last frame known live. What a
receiver does then is one of preset, hold, silence, for each channel, with flags or
without (common practice). A hold without flags shows only while something is known to
move; a preset can't be told from a hold on a channel that stood at it. Some receivers
hold for 2 to 4 s behind their flag and go elsewhere then (from memory), so a loss is
watched until the signal is back. A wrong frame comes up to three times. A gap of 0.1 s
is the line's, a second of silence the receiver's."""

import sheets
from about_jumps import smooth
from bus import CENTRE, FAILSAFE, HIGH, LOST, LOW, Bus
from sitting import MS, S, Sitting, after, near

MIDDLE = CENTRE  # inner's middle, the preset that the sheet wants
HALF = 1400


def scenarios():
    return [
        flagged(), hold_then_presets(), hold_then_full(), back_and_missed(), wrong_frames(), frozen(), leapt(), fell_silent(), hiccup(),
        nothing_lost(), not_switched_off(), said_too_soon(), not_told(), never_back(), two_receivers(), powered_up(), switched_on_later(),
    ]


class Drill:
    """The builder's side of a drill: one answer a prompt."""

    def __init__(self, s, name):
        self.s, self.name = s, name

    def step(self, at, do, prompt="", **more):
        data = {"drill": self.name, "do": do, **more}
        if prompt:
            data["prompt"] = prompt
        self.s.drill(at, data)

    def begin(self, bus, **more):
        self.step(bus.end - 2 * MS, "begin", **more)
        bus.send(1)
        self.step(bus.end - 2 * MS, "confirm")

    def done(self, bus, prompt, **more):
        self.step(bus.end - 2 * MS, "done", self.name + "/" + prompt, **more)


def start(name, subjects, sheet=sheets.LOSSES, taps=("main",)):
    s = Sitting(name, subjects, sheet, taps=taps)
    for kind in ("switch.moved", "mode.asked", "air.missed", "failsafe.entered", "failsafe.left", "link.lost", "values.jumped", "bus.silent", "clock.stepped"):
        s.leave(kind)
    s.up(20 * MS)
    bus = Bus(s)
    bus.put(3, LOW)
    bus.put(11, HIGH)
    bus.send(100)
    bus.put(3, HALF)
    bus.send(100)
    return s, bus


def circles(bus, frames):
    """A stick that goes round: both its axes move with each frame."""
    last = 0
    for i in range(frames):
        bus.put(1, CENTRE + 100 + 9 * (i % 40 if i % 80 < 40 else 40 - i % 40))
        bus.put(2, CENTRE + 80 + 7 * ((i + 20) % 40 if (i + 20) % 80 < 40 else 40 - (i + 20) % 40))
        last, _ = bus.send(1)
    return last


def measured(s, rule, live, **data):
    s.expect(rule, "loss.measured", from_=near(live), data={"tap": "main", **data["data"]}, within={"live_ns": near(live), **data["within"]})


def flagged():
    s, bus = start("loss-flagged", ["Loss"])
    _, live = bus.send(50)
    bus.send(3, flags=LOST)  # missed, no loss
    _, live = bus.send(50)
    lost, _ = bus.send(100, flags=LOST)
    bus.put(3, LOW)
    bus.put(11, MIDDLE)
    gone, _ = bus.send(200, flags=LOST | FAILSAFE)
    bus.put(3, HALF)
    bus.put(11, HIGH)
    back, end = bus.send(60)
    measured(s, "presets come with the flag; the sticks stood where they rest, which shows nothing", live,
             data={"class": "preset", "flag": "flagged", "dated_by": "flags", "mode": "plain", "silent_ns": -1, "on_ns": -1},
             within={"lost_ns": near(lost - live), "failsafe_ns": near(gone - live), "settled_ns": near(gone - live),
                     "mode_ns": near(gone - live), "back_ns": near(back - live)})
    s.end(end + 50 * MS)
    return s


def held(bus, seconds):
    """A failsafe that holds for so long behind the last live frame, which it gives."""
    _, live = bus.send(50)
    bus.send(100, flags=LOST)
    while bus.end - live <= seconds:
        bus.send(1, flags=LOST | FAILSAFE)
    return live


def hold_then_presets():
    s, bus = start("loss-hold-then-presets", ["Loss"])
    live = held(bus, 4500 * MS)
    s.expect("held, as it seems", "failsafe.settled", at=after(live, 1500 * MS, 1530 * MS), within={"live_ns": near(live)})
    bus.put(3, LOW)
    bus.put(11, MIDDLE)
    went, _ = bus.send(300, flags=LOST | FAILSAFE)
    s.expect("and gone to presets after all", "failsafe.settled", from_=near(went), within={"live_ns": near(live)})
    bus.put(3, HALF)
    bus.put(11, HIGH)
    back, end = bus.send(60)
    measured(s, "what a receiver does last is what it does", live,
             data={"class": "preset", "flag": "flagged", "dated_by": "flags", "mode": "plain"},
             within={"settled_ns": near(went - live), "channels.2.held_ns": near(went - live), "channels.2.now_ns": near(987_500),
                     "channels.10.now_ns": near(1_500_000), "back_ns": near(back - live)})
    s.end(end + 50 * MS)
    return s


def hold_then_full():
    s, bus = start("loss-hold-then-full", ["Loss"])
    live = held(bus, 3300 * MS)
    bus.put(2, HIGH)  # one stick alone is driven to its end
    went, _ = bus.send(600, flags=LOST | FAILSAFE)
    bus.put(2, CENTRE)
    back, end = bus.send(60)
    s.leave("failsafe.settled")
    measured(s, "the others are held", live, data={"class": "mixed", "flag": "flagged", "mode": "upright"},
             within={"settled_ns": near(went - live), "channels.1.held_ns": near(went - live), "channels.1.now_ns": near(2_011_875),
                     "channels.2.now_ns": near(1_755_000), "back_ns": near(back - live)})
    s.end(end + 50 * MS)
    return s


def back_and_missed():
    s, bus = start("loss-back-and-missed", ["Loss", "Link"])
    live = held(bus, 6 * S)
    bus.put(3, LOW)  # everything is home when the transmitter comes on
    bus.put(11, LOW)
    bus.send(1)
    bus.send(1, flags=LOST)
    bus.send(2)
    bus.send(1, flags=LOST)
    back, end = bus.send(60)
    s.leave("failsafe.settled")
    measured(s, "live frames between missed ones are not the receiver's doing", live, data={"class": "hold", "mode": "upright"},
             within={"channels.2.now_ns": near(1_755_000), "channels.10.now_ns": near(2_011_875), "back_ns": near(back - live)})
    s.end(end + 50 * MS)
    return s


def wrong_frames():
    s, bus = start("loss-wrong-frames", ["Loss", "Cleaned"])
    bus.send(50)
    right = list(bus.counts)

    def wrong(frames, flags):
        bus.counts = [300 + 50 * n for n in range(16)]
        ends = bus.send(frames, flags=flags)
        bus.counts = list(right)
        return ends

    _, live = wrong(3, 0)  # the last live ones
    bus.send(90, flags=LOST)
    gone, _ = bus.send(100, flags=LOST | FAILSAFE)
    wrong(3, LOST | FAILSAFE)
    bus.send(100, flags=LOST | FAILSAFE)
    wrong(3, 0)
    bus.send(600, flags=LOST | FAILSAFE)
    wrong(3, LOST | FAILSAFE)  # those next to the return
    bus.send(100)
    rule = "three wrong frames at a border, or in the middle, are neither what was nor what is"
    right_all_the_time = {"channels.2.was_ns": near(1_755_000), "channels.2.now_ns": near(1_755_000), "channels.2.settled_ns": [0, 0],
                          "channels.10.was_ns": near(2_011_875), "channels.10.now_ns": near(2_011_875), "channels.10.settled_ns": [0, 0]}
    s.expect(rule, "loss.measured", from_=[live - 50 * MS, live + MS],
             data={"class": "hold", "flag": "flagged", "mode": "upright", "mode_ns": 0, "settled_ns": 0},
             within={"failsafe_ns": [gone - live - MS, gone - live + 50 * MS], **right_all_the_time})
    _, live = bus.send(100)
    wrong(3, LOST)  # the first that were not heard
    bus.send(90, flags=LOST)
    bus.send(700, flags=LOST | FAILSAFE)
    wrong(3, 0)  # the first live ones
    _, end = bus.send(60)
    s.leave("failsafe.settled")
    s.expect(rule, "loss.measured", from_=near(live), data={"class": "hold", "mode": "upright", "mode_ns": 0, "settled_ns": 0}, within=right_all_the_time)
    s.end(end + 50 * MS)
    return s


def into_the_drill(name, sheet=sheets.LOSSES, subjects=("Loss",)):
    s, bus = start(name, list(subjects), sheet)
    drill = Drill(s, "failsafe")
    drill.begin(bus)
    bus.send(120)  # all stands away from its preset: the wire answers the first prompt
    return s, bus, drill


def home_and_on(bus, drill):
    drill.done(bus, "soon/on")
    bus.send(30)
    bus.put(3, LOW)
    bus.put(1, CENTRE)
    bus.put(2, CENTRE)
    back, _ = bus.send(60)
    return back


def frozen():
    s, bus, drill = into_the_drill("loss-frozen")
    live = circles(bus, 200)
    s.left.discard("values.jumped")  # that all leaps back when the transmitter is on is no news
    bus.send(1400)  # eight seconds past the 1.5 that the sheet allows: a flag is waited for
    back = home_and_on(bus, drill)
    measured(s, "both axes of a stick broke off in motion, and nothing changed: a hold without a flag", live,
             data={"class": "hold", "flag": "never flagged", "dated_by": "stirred", "lost_ns": -1, "failsafe_ns": -1, "silent_ns": -1, "drill": "failsafe"},
             within={"back_ns": near(back - live)})
    s.end(bus.end + 50 * MS)
    return s


def leapt():
    s, bus, drill = into_the_drill("loss-leapt")
    live = circles(bus, 200)
    bus.send(100)
    bus.put(3, LOW)
    bus.put(11, MIDDLE)
    went, _ = bus.send(1300)
    back = home_and_on(bus, drill)
    measured(s, "held, then some of it leapt to presets and the rest stayed, without a flag", live,
             data={"class": "mixed", "flag": "never flagged", "dated_by": "stirred", "mode": "plain", "failsafe_ns": -1},
             within={"settled_ns": near(went - live), "mode_ns": near(went - live), "back_ns": near(back - live)})
    s.end(bus.end + 50 * MS)
    return s


def fell_silent():
    s, bus, drill = into_the_drill("loss-silent")
    live = circles(bus, 200)
    bus.skip(1000)
    drill.done(bus, "soon/on")
    back, _ = bus.send(60)
    measured(s, "the bus stopped in motion; the last frame was live", live,
             data={"class": "silent", "flag": "never flagged", "silent_ns": 0, "mode_ns": -1},
             within={"back_ns": near(back - live)})
    s.end(bus.end + 50 * MS)
    return s


def hiccup():
    s, bus, drill = into_the_drill("loss-hiccup")
    circles(bus, 200)
    bus.skip(16)  # 0.1 s of nothing while the builder is still on the way to the switch
    live = circles(bus, 300)
    bus.send(1400)
    back = home_and_on(bus, drill)
    measured(s, "a gap of the line is no silence of the receiver, and the link goes on", live,
             data={"class": "hold", "dated_by": "stirred", "silent_ns": -1}, within={"up_ns": near(live - 100 * MS), "back_ns": near(back - live)})
    s.leave("wire.gap"), s.leave("period.changed")
    s.end(bus.end + 50 * MS)
    return s


def nothing_lost():
    s, bus, drill = into_the_drill("loss-none")
    circles(bus, 400)
    drill.done(bus, "soon/off")
    circles(bus, 1400)
    drill.done(bus, "soon/on")
    circles(bus, 100)
    s.never("drill.refused")
    s.expect("said to be off, and values went on moving without a flag", "loss.measured",
             data={"class": "none", "flag": "never flagged", "dated_by": "builder"})
    s.end(bus.end + 50 * MS)
    return s


def not_switched_off():
    s, bus, drill = into_the_drill("loss-not-switched-off")
    circles(bus, 300)
    drill.done(bus, "soon/off")
    circles(bus, 430)  # three seconds
    for channel in (1, 2):  # and both axes come to rest as hands bring them to rest
        for n in range(1, 31):
            bus.put(channel, smooth(bus.counts[channel - 1], CENTRE, n, 30))
            bus.send(1)
    bus.send(1500)
    drill.done(bus, "soon/on")
    bus.send(60)
    s.expect("what moves on for three seconds after the word was not switched off", "loss.measured",
             data={"class": "none", "flag": "never flagged", "failsafe_ns": -1})
    s.end(bus.end + 50 * MS)
    return s


def said_too_soon():
    s, bus, drill = into_the_drill("loss-said-too-soon")
    bus.put(1, 700)
    bus.send(100)
    drill.done(bus, "soon/off")  # the hand was quicker with Enter than with the switch
    _, live = bus.send(350)
    bus.send(100, flags=LOST)
    bus.put(3, LOW)
    bus.put(11, MIDDLE)
    gone, _ = bus.send(700, flags=LOST | FAILSAFE)
    drill.done(bus, "soon/on")
    bus.send(30, flags=LOST | FAILSAFE)
    back, _ = bus.send(60)
    s.leave("failsafe.settled")
    measured(s, "flags date a loss, not the builder's word: this flag came in time", live,
             data={"class": "mixed", "flag": "flagged", "dated_by": "flags"}, within={"failsafe_ns": near(gone - live), "back_ns": near(back - live)})
    s.end(bus.end + 50 * MS)
    return s


def not_told():
    s, bus, drill = into_the_drill("loss-not-told")
    bus.send(300)
    drill.done(bus, "soon/off")
    bus.send(1400)
    drill.done(bus, "soon/on")
    bus.send(30)
    bus.put(3, LOW)
    bus.send(60)
    s.expect("nothing moved and no flag came: nobody can tell", "loss.measured",
             data={"class": "unclear", "flag": "never flagged", "dated_by": "builder"})
    s.end(bus.end + 50 * MS)
    return s


def never_back():
    s, bus, drill = into_the_drill("loss-never-back")
    circles(bus, 200)
    _, live = bus.send(1)
    lost, _ = bus.send(100, flags=LOST)
    gone, _ = bus.send(620, flags=LOST | FAILSAFE)  # five seconds in all, and three frames late: presets may come so late
    drill.done(bus, "soon/on")
    on = bus.end - 2 * MS
    bus.send(600, flags=LOST | FAILSAFE)
    drill.step(bus.end - 2 * MS, "abandon")
    bus.send(2, flags=LOST | FAILSAFE)
    s.expect("the transmitter was said to be on, and no live frame came while it was watched", "loss.measured", from_=near(live),
             data={"class": "hold", "flag": "flagged", "back_ns": -1}, within={"failsafe_ns": near(gone - live), "on_ns": near(on - live, 8 * MS)})
    s.end(bus.end + 50 * MS)
    return s


def two_receivers():
    s, first = start("loss-two-receivers", ["Loss"], sheets.TWO_LOSSES, taps=("main", "second"))
    s.up(21 * MS, 2)
    second = Bus(s, tap=2, first=first.end + 3 * MS)
    second.counts = list(first.counts)

    def both(frames, flags=0):
        ends = 0
        for _ in range(frames):
            (_, ends), (_, other) = first.send(1, flags), second.send(1, flags)
        return ends, other

    drill = Drill(s, "failsafe")
    both(100)
    drill.begin(first)
    second.send(1)
    both(120)
    live = both(50)
    both(100, LOST)
    both(800, LOST | FAILSAFE)
    drill.done(first, "soon/on")
    both(30, LOST | FAILSAFE)
    back, _ = first.send(1)  # the one that is found first
    second.send(1, LOST | FAILSAFE)
    for _ in range(143):  # a second later the other
        first.send(1)
        second.send(1, LOST | FAILSAFE)
    first.send(1)
    again, _ = second.send(1)
    both(60)
    rule = "each receiver's loss ends with its own return"
    for about, last, home in (("main", live[0], back), ("second", live[1], again)):
        s.expect(rule, "loss.measured", about="tap:" + about, from_=near(last), data={"tap": about, "class": "hold", "flag": "flagged"},
                 within={"back_ns": near(home - last)})
    s.leave("failsafe.settled")
    s.end(second.end + 50 * MS)
    return s


def powered_up():
    s, bus = start("power-up", ["PowerUp"])
    drill = Drill(s, "power-up")
    drill.begin(bus)
    bus.send(10)
    bus.skip(400)  # its supply is cut
    drill.done(bus, "power-up/off".split("/", 1)[1])
    on = bus.end - 2 * MS
    bus.skip(200)
    bus.put(3, LOW)
    first, _ = bus.send(600, flags=LOST | FAILSAFE)
    bus.put(3, HIGH)
    bus.send(3, flags=LOST | FAILSAFE)  # three frames settle nothing
    bus.put(3, LOW + 30)
    bus.send(800, flags=LOST | FAILSAFE)
    s.expect("off, on again, and flagged all the while: where the channels stood", "powerup.measured", from_=near(on, 8 * MS),
             data={"tap": "main", "off": True},
             within={"first_ns": near(first - on, 8 * MS), "channels.2.least_ns": near(987_500), "channels.2.most_ns": near(1_006_250)})
    s.never("loss.measured"), s.never("failsafe.settled")  # the supply is cut: no signal was lost
    s.end(bus.end + 50 * MS)
    return s


def switched_on_later():
    s, bus = start("power-up-then-on", ["PowerUp"])
    drill = Drill(s, "power-up")
    drill.begin(bus)
    bus.send(10)
    bus.skip(400)
    drill.done(bus, "off")
    bus.skip(200)
    bus.put(3, LOW)
    bus.send(400, flags=LOST | FAILSAFE)
    bus.put(3, HALF)  # and now the transmitter is on, its throttle up
    bus.send(1000)
    s.expect("what stands before the first live frame is the receiver's, what comes then is not", "powerup.measured",
             data={"tap": "main", "off": True}, within={"frames": [400, 404], "flagged": [400, 400], "channels.2.most_ns": near(987_500)})
    s.never("loss.measured"), s.never("failsafe.settled")
    s.end(bus.end + 50 * MS)
    return s
