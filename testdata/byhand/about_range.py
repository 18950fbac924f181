"""A range walk with marks. It is no maker's range check: walking away with marks is only a
comparison between marks (common practice), so how frames are counted is all that it says.
Frames are missed in bursts, so blocks of two seconds are what is compared."""

import sheets
from about_late import waiting
from about_losses import Drill
from bus import FAILSAFE, LOST, LOW, Bus
from sitting import MS, S, Sitting, after, near

TOLD = {"power": "reduced", "heights": "1 m", "antennas": "upright", "who": "Ann"}


def scenarios():
    return [marks(), walked_on(), silent(), read_late(), told(), no_figure_of_the_link()]


def start(name, subjects=("Runner",)):
    s = Sitting(name, list(subjects), sheets.STICKS)
    for kind in ("drill.began", "drill.prompted", "drill.hint", "drill.ended", "air.missed"):
        s.leave(kind)
    s.up(20 * MS)
    bus = Bus(s)
    bus.put(3, LOW)
    bus.send(150)
    drill = Drill(s, "range")
    drill.begin(bus, asks=True)
    return s, bus, drill


def say(bus, drill, prompt, words=""):
    more = {"words": words} if words else {}
    drill.step(bus.end - 2 * MS, "done", "range/" + prompt, **more)


def walking(name, subjects=("Runner",)):
    s, bus, drill = start(name, subjects)
    s.leave("drill.answered")
    for prompt, words in TOLD.items():
        bus.send(20)
        say(bus, drill, prompt, words)
    bus.send(20)  # four plain ones make a link
    return s, bus, drill


def mark(s, rule, at, **data):
    more = {"within": data.pop("within")} if "within" in data else {}
    s.expect(rule, "range.mark", about="drill:range", at=near(at), data=data, **more)


def ends(s, bus, drill):
    bus.send(20)
    say(bus, drill, "walk")
    bus.send(20)
    say(bus, drill, "walk")
    bus.send(20)
    s.end(bus.end + 50 * MS)
    return s


def marks():
    s, bus, drill = walking("range-marks")
    say(bus, drill, "walk", "10 m")
    bus.send(300)
    bus.send(5, flags=LOST)
    bus.send(300)
    say(bus, drill, "walk")
    # A frame each 7 ms: 286 fall into the first two seconds, 286 into the next, the rest is no whole block.
    mark(s, "each flagged frame is missed; blocks of two seconds", bus.end - 2 * MS, mark="10 m", by="typed", left=True, frames=605,
         missed=5, runs=1, longest=5, missed_2s=[0, 5], none_ns=0)
    bus.send(300, flags=LOST)  # on the way: nobody stands there
    bus.send(100)
    say(bus, drill, "walk", "20 m")
    bus.send(100)
    bus.send(2, flags=LOST)
    bus.send(1)
    bus.send(40, flags=LOST | FAILSAFE)  # the receiver gives up: missed too
    bus.send(100)
    say(bus, drill, "walk")
    s.leave("failsafe.entered")
    s.leave("failsafe.left")
    s.leave("link.lost")
    s.leave("link.restored")
    mark(s, "what was missed on the way belongs to no mark", bus.end - 2 * MS, mark="20 m", frames=243, missed=42, runs=2, longest=40, missed_2s=[])
    return ends(s, bus, drill)


def walked_on():
    s, bus, drill = walking("range-walked-on")
    s.leave("mark")
    s.add(bus.end - 2 * MS, 0, "mark", b"10 m")
    bus.send(100)
    s.add(bus.end - 2 * MS, 0, "mark", b"the wing looks odd")  # a remark is no distance
    bus.send(100)
    s.add(bus.end - 2 * MS, 0, "mark", b"20 m")
    mark(s, "nobody said that they walked on: the way is in it", bus.end - 2 * MS, mark="10 m", by="mark", left=True, way=True, frames=200, missed=0)
    bus.send(1600)  # 11.2 s
    mark(s, "each ten seconds while somebody stands there; without a frame missed nothing more can be said", 0, left=False, mark="20 m", need_ns=0)
    s.events[-1]["at"] = after(bus.end - 1600 * 7 * MS, 10 * S, 11 * S)
    s.add(bus.end - 2 * MS, 0, "mark", b"walking on")
    mark(s, "left from another terminal", bus.end - 2 * MS, mark="20 m", left=True, frames=1600)
    return ends(s, bus, drill)


def silent():
    s, bus, drill = walking("range-silent")
    for kind in ("bus.silent", "bus.locked", "wire.gap"):
        s.leave(kind)
    say(bus, drill, "walk", "10 m")
    bus.send(200)
    bus.end += 3 * S
    bus.send(50, flags=LOST)  # behind a silence a flag means nothing until four plain frames came
    bus.send(203)
    say(bus, drill, "walk")
    mark(s, "a silence is no share; it stands beside it", bus.end - 2 * MS, mark="10 m", frames=400, missed=0, missed_2s=[],
         within={"none_ns": near(3 * S + 7 * MS, MS)})
    return ends(s, bus, drill)


def read_late():
    s, bus, drill = walking("range-late")
    for kind in ("bus.late", "bus.silent", "bus.locked"):
        s.leave(kind)
    say(bus, drill, "walk", "10 m")
    bus.send(500)
    waiting(bus, bus.end + 2 * S)
    bus.send(500)
    say(bus, drill, "walk")
    mark(s, "a computer that stood still makes no silence; what was read late has no dates to count by", bus.end - 2 * MS, mark="10 m", none_ns=0,
         missed=0, within={"frames": [990, 1010], "for_ns": [6_900 * MS, 7_100 * MS]})
    return ends(s, bus, drill)


def told():
    s, bus, drill = start("range-told")
    for prompt, words in TOLD.items():
        bus.send(200)
        if prompt == "antennas":
            say(bus, drill, prompt)  # asked about
            bus.send(200)
            say(bus, drill, prompt)
            s.expect("what nobody said is no condition", "drill.answered", about="drill:range",
                     data={"prompt": "range/antennas", "doubt": "nobody said it"})
            continue
        say(bus, drill, prompt, words)
        s.expect("under what it was done", "drill.answered", about="drill:range", data={"prompt": "range/" + prompt, "words": words})
    s.expect("nothing more to do", "drill.answered", about="drill:range", data={"prompt": "range/walk"})
    s.never("range.mark")
    return ends(s, bus, drill)


def no_figure_of_the_link():
    s, bus, drill = walking("range-no-figure-of-the-link", ("Runner", "Missed"))
    say(bus, drill, "walk", "80 m")
    for _ in range(120):
        bus.send(80)
        bus.send(30, flags=LOST)
    bus.send(80)
    say(bus, drill, "walk")
    for _ in range(9):  # of 93 s
        s.expect("each ten seconds while somebody stands there", "range.mark", about="drill:range", data={"left": False})
    mark(s, "the whole stand", bus.end - 2 * MS, mark="80 m", frames=120 * 110 + 80, missed=3600, runs=120, longest=30)
    s.never("verdict.changed", about="claim:link/missed")  # missed far away, with less power: no fault of the bench
    return ends(s, bus, drill)
