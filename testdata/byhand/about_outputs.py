"""Servo leads: pulses that come and stop, widths and periods, how still an output
stands, and what a receiver does with what it hears. A board's lines come in the order
in which things happened, so that no pulse is missed because the computer was busy."""

import itertools
import math

import sheets
from bus import CENTRE, FAILSAFE, HIGH, LOST, LOW, Bus
from leads import Leads
from sitting import MS, S, US, Sitting, after, near

NEUTRAL = 1_500_000
LATE = 1500 * US  # a line takes as long to come, and the board's clock is tied to ours within it


def scenarios():
    return [
        board_heard(), board_lost(), board_loses_most(), board_other_rate(),
        silent(), silent_all(), silent_not(), supply_cut(), silent_clumped(), noise_on_a_lead(),
        odd(), odd_narrow(), odd_apart(), paced(),
        jitter(), jitter_not(), unsteady(), unsteady_not(),
        follows(), circle(), clipped(), motor_low_end(), lost_outputs(), lost_outputs_held(), lost_outputs_back(),
    ]


def start(name, subjects, sheet=sheets.LEADS, latency=16 * MS, period=20 * MS):
    """A bus at rest and a board, both heard from the beginning. What is told of every
    output that comes is left out where it is not the subject."""
    s = Sitting(name, subjects, sheet, taps=("main", "leads"), leads=("leads",))
    s.up(20 * MS)
    s.up(20 * MS, tap=2, port="board", settings="500000 8N1")
    for kind in ("output.jitter", "output.follows", "output.paced", "switch.moved", "mode.asked"):
        s.leave(kind)
    bus = Bus(s, period=period)
    bus.put(3, LOW)
    return s, bus, Leads(s, latency=latency)


def both(bus, leads, until):
    """Bus and leads go on until then."""
    while bus.end < until:
        bus.send(1)
    leads.run(until)


def silence(bus, leads, until):
    """Nothing of what the board prints arrives."""
    while bus.end < until:
        bus.send(1)
    leads.run(until, silent=True)


# The board.


def board_heard():
    s, bus, leads = start("board-heard", ["Board"], latency=0)
    leads.output(1, NEUTRAL)
    leads.speaks += 300 * MS
    leads.raw(leads.now, b"1,A0B0,BB8*4F\r\n")
    both(bus, leads, 5 * S)
    told = 400 * MS
    s.expect("a tap that opens in the middle hears half a line and pulses whose tick is not known: no trouble",
             "board.heard", about="tap:leads", at=after(told, 0, 5 * MS), from_=near(told, LATE), data={"silent_ns": 0, "tick_ns": 500, "restarts": 0})
    last = leads.last[1]
    leads.speaks = last + 2990 * MS
    silence(bus, leads, last + 2980 * MS)
    both(bus, leads, 10 * S)
    last = leads.last[1]
    silence(bus, leads, last + 5 * S)
    s.expect("a board speaks each second: 2.99 s without a line are none of its silences, more than 3 s are", "board.silent",
             about="tap:leads", at=after(last, 3 * S, 3010 * MS), from_=near(last, LATE), data={"limit_ns": 3 * S})
    again = leads.speaks = leads.now
    both(bus, leads, again + 3 * S)
    s.expect("and then it is heard again", "board.heard", about="tap:leads", at=after(again, 0, 30 * MS), data={"tick_ns": 500},
             within={"silent_ns": near(again - last, 30 * MS)})
    for lines in (149, 250):
        s.expect("what it printed meanwhile is lacking, by its numbers", "board.lost", about="tap:leads", data={"restarts": 0, "refused": {}},
                 within={"lines": [lines - 2, lines + 2]})
    s.leave("output.back")
    s.end(leads.now + 50 * MS)
    return s


def board_lost():
    s, bus, leads = start("board-lost", ["Board"], latency=0)
    leads.output(1, NEUTRAL)
    both(bus, leads, 3 * S)
    leads.losing = 3
    both(bus, leads, 3900 * MS)
    leads.spoiling = 1
    both(bus, leads, 6 * S)
    s.expect("three lines are lacking, by their numbers, and 0.9 s later a sum does not fit: one run, for no second was quiet", "board.lost",
             about="tap:leads", at=[4880 * MS, 4960 * MS], from_=[3 * S, 3100 * MS], data={"lines": 4, "dropped": 0, "restarts": 0},
             within={"span_ns": [780 * MS, 940 * MS]})
    leads.dropped = 2
    both(bus, leads, 9 * S)
    s.expect("the board says that it could not tell two pulses", "board.lost", about="tap:leads", from_=near(6100 * MS, 5 * MS),
             data={"lines": 0, "dropped": 2, "refused": {}, "span_ns": 0})
    leads.now += 50 * MS
    leads.next[1] += 100 * MS
    leads.restart()
    both(bus, leads, 12 * S)
    s.expect("it begins anew: clock and numbers go back", "board.lost", about="tap:leads", data={"lines": 0, "dropped": 0, "restarts": 1})
    s.expect("heard all along", "board.heard", about="tap:leads", data={"silent_ns": 0})
    s.expect("seen once", "output.back", about="output:1")
    s.end(leads.now + 50 * MS)
    return s


class Losing(Leads):
    """One line of twenty comes through."""

    count = 0

    def _pulse(self, number, rise, width, silent):
        self.count += 1
        super()._pulse(number, rise, width, silent or self.count % 20 != 0)


def board_loses_most():
    s, bus, _ = start("board-loses-most", ["Board"], latency=0)
    leads = Losing(s, latency=0)
    leads.output(1, NEUTRAL)
    leads.output(2, NEUTRAL)
    both(bus, leads, 25 * S)
    # 100 lines a second, 95 of them lost; each twentieth is one of output 2.
    for seconds in (10, 10, 4.4):
        s.expect("by their numbers 95 of 100 lines a second are lacking, told each 10 s and at the end", "board.lost", about="tap:leads",
                 data={"dropped": 0, "restarts": 0}, within={"lines": near(round(95 * seconds), 25)})
    s.never("output.back")  # no three pulses in a row came through
    s.never("verdict.changed")  # what was in lost lines is not known: output 1 may have been in them
    s.end(leads.now + 50 * MS)
    return s


def board_other_rate():
    s, bus, leads = start("board-other-rate", ["Board"], latency=0)
    for n in range(40):
        leads.raw(200 * MS + n * 20 * MS, bytes((0x80, 0xF8, 0x1E, 0x00, 0x40 + n)))
    while bus.end < 6 * S:
        bus.send(1)
    s.expect("bytes that are no lines are not heard as a board", "board.silent", about="tap:leads", at=[3 * S, 3100 * MS], data={"limit_ns": 3 * S, "never": True, "refused": 200})
    s.expect("and counted", "board.lost", about="tap:leads", from_=near(200 * MS, MS), data={"lines": 0, "refused": {"outside": 200}})
    s.never("board.heard")
    s.end(6 * S)
    return s


# Pulses that stop.

STOPS = "silent after about five periods, 100 ms at least (common practice), while another output goes on"


def silent():
    s, bus, leads = start("output-silent", ["OutputSilence"], latency=0)
    leads.output(1, NEUTRAL)
    leads.output(2, 1_400_000)
    leads.output(3, 1_000_000, period=30 * MS, phase=0)
    first = {n: leads.next[n] for n in (1, 2, 3)}
    both(bus, leads, 3 * S)
    for number in (1, 2, 3):
        width = leads.widths[number]
        s.expect("three pulses in a row: it is there", "output.back", about="output:%d" % number, from_=near(first[number] + width, LATE),
                 data={"silent_ns": 0, "width_ns": width})
    last = leads.last[2]
    leads.output(2, None)
    both(bus, leads, 4 * S)
    s.expect(STOPS + "; it began with the last pulse", "output.silent", about="output:2", at=after(last, 100 * MS, 125 * MS),
             from_=near(last, LATE), data={"limit_ns": 100 * MS})
    leads.output(2, 1_600_000)
    again = leads.next[2] + 1_600_000
    both(bus, leads, 5 * S)
    s.expect("and back", "output.back", about="output:2", from_=near(again, LATE), data={"width_ns": 1_600_000},
             within={"silent_ns": near(again - last, MS)})
    leads.pause(1, 80 * MS)  # 100 ms from pulse to pulse
    leads.pause(3, 120 * MS)  # 150 ms
    both(bus, leads, 6 * S)
    last = leads.last[3]
    leads.pause(3, 180 * MS)
    both(bus, leads, 7 * S)
    s.expect("pulses each 30 ms are waited for 150 ms", "output.silent", about="output:3", at=after(last, 150 * MS, 175 * MS),
             from_=near(last, LATE), data={"limit_ns": 150 * MS})
    s.expect("and come again", "output.back", about="output:3", within={"silent_ns": near(210 * MS, MS)})
    s.expect("heard", "board.heard", about="tap:leads")
    s.end(leads.now + 50 * MS)
    return s


def silent_all():
    s, bus, leads = start("output-silent-all", ["OutputSilence"], latency=0)
    leads.output(1, NEUTRAL)
    leads.output(2, 1_400_000)
    both(bus, leads, 3500 * MS)
    last = dict(leads.last)
    leads.output(1, None), leads.output(2, None)
    both(bus, leads, 8 * S)
    for number in (1, 2):
        s.expect("all outputs stop: the board's second line about itself comes a second behind the first, and nothing in between", "output.silent",
                 about="output:%d" % number, at=near(5100 * MS, 5 * MS), from_=near(last[number], LATE))
        s.expect("seen once", "output.back", about="output:%d" % number)
    s.end(leads.now)
    return s


def supply_cut():
    s, bus, leads = start("output-supply-cut", ["OutputSilence"], latency=0)
    for kind in ("air.missed", "link.lost", "failsafe.entered", "bus.silent", "bus.locked", "board.heard"):
        s.leave(kind)
    leads.output(1, NEUTRAL)
    both(bus, leads, 4 * S)
    lost = bus.send(20, flags=LOST)[1]  # the transmitter is off, and no failsafe flag has come
    leads.run(lost)
    last = dict(leads.last)
    leads.output(1, None)
    bus.skip(105)  # the supply is off for 2.1 s
    again = bus.end
    leads.run(again)
    leads.output(1, NEUTRAL)
    leads.next[1] = again + 100 * MS  # behind the failsafe flag
    end = bus.send(150, flags=LOST | FAILSAFE)[1]
    leads.run(end)
    s.expect("first heard", "output.back", about="output:1", data={"silent_ns": 0})
    s.expect("it stops with its receiver", "output.silent", about="output:1", from_=near(last[1], LATE))
    s.expect("and is back with it", "output.back", about="output:1", at=after(again, 100 * MS, 200 * MS))
    s.never("verdict.changed", about="claim:pulses/output:1")  # what the supply does is no fault of the output
    s.end(end + 50 * MS)
    return s


def silent_not():
    s, bus, leads = start("output-silent-not", ["OutputSilence", "Board"], latency=0)
    leads.output(1, NEUTRAL)
    leads.output(2, 1_400_000)
    both(bus, leads, 3 * S)
    leads.output(2, None)
    both(bus, leads, 3070 * MS)
    leads.output(2, 1_400_000, phase=0)
    leads.next[2] = leads.now
    leads.losing = 60  # 0.6 s
    both(bus, leads, 6 * S)
    s.expect("what was in lost lines may have been its pulses", "board.lost", about="tap:leads", data={"lines": 60, "restarts": 0})
    silence(bus, leads, 7500 * MS)
    both(bus, leads, 9 * S)
    s.expect("nor do those of a cable that was off for a while", "board.lost", about="tap:leads", data={"restarts": 0}, within={"lines": [148, 152]})
    leads.restart()
    both(bus, leads, 11 * S)
    s.expect("a board that begins anew shows nothing of its outputs", "board.lost", about="tap:leads",
             data={"restarts": 1})
    s.expect("seen once", "output.back", about="output:1")
    s.expect("seen once", "output.back", about="output:2")
    s.end(leads.now + 50 * MS)
    return s


def silent_clumped():
    s, bus, leads = start("output-silent-clumped", ["OutputSilence"], latency=250 * MS)
    leads.output(1, NEUTRAL)
    leads.output(2, 1_400_000)
    both(bus, leads, 5 * S)
    last = leads.last[2]
    leads.output(2, None)
    both(bus, leads, 6 * S)
    s.expect("reads that lie 250 ms apart hide nothing and make nothing up", "output.silent", about="output:2", at=after(last, 100 * MS, 400 * MS),
             from_=near(last, 10 * MS))
    s.expect("seen once", "output.back", about="output:1")
    s.expect("seen once", "output.back", about="output:2")
    s.end(leads.now + 50 * MS)
    return s


def noise_on_a_lead():
    s, bus, leads = start("output-noise", ["OutputSilence"], latency=0)
    leads.output(1, NEUTRAL)
    leads.output(5, 1_300_000, period=350 * MS)
    leads.output(6, 1_300_000, period=350 * MS)
    leads.output(7, lambda rise: 1_300_000 if rise // (10 * MS) % 40 in (0, 1, 2, 3) else None)
    both(bus, leads, 6 * S)
    s.expect("one pulse settles nothing, nor do two: only one output is there", "output.back", about="output:1")
    s.end(leads.now + 50 * MS)
    return s


# Widths and periods.

ODD = "servo pulses are 700 to 2300 us wide (common practice)"


def expected_odd(s, rule, number, pulses, least, most, **more):
    s.expect(rule, "output.odd", about="output:%d" % number, data={"pulses": pulses, "least_ns": least, "most_ns": most}, **more)


def series(widths, otherwise=NEUTRAL, skip=50):
    """Widths one after the other, behind and before others."""
    rest = [otherwise] * skip + list(widths)

    def width(_):
        return rest.pop(0) if rest else otherwise
    return width


def odd():
    s, bus, leads = start("output-odd", ["OutputWidth"])
    leads.output(1, series([2_300_500, 2_310_000, 2_320_000]))
    leads.output(2, series([699_500, 690_000, 600_000, 610_000], skip=60))
    leads.output(3, series([2_400_000, 2_400_000, NEUTRAL, 600_000, 600_000] + [NEUTRAL] * 9 + [700_000, 2_300_000] * 9))
    both(bus, leads, 3 * S)
    leads.output(4, 2_500_000)
    first = leads.next[4] + 2_500_000
    both(bus, leads, 14600 * MS)
    expected_odd(s, ODD, 1, 3, 2_300_500, 2_320_000)
    expected_odd(s, ODD, 2, 4, 600_000, 699_500)
    expected_odd(s, "what goes on is told after a second", 4, 51, 2_500_000, 2_500_000, from_=near(first, LATE), at=after(first, S, 1020 * MS))
    expected_odd(s, "then in pieces of ten", 4, 501, 2_500_000, 2_500_000)
    end = leads.last[4]
    leads.output(4, None)
    both(bus, leads, 17 * S)
    expected_odd(s, "and the rest when the pulses stop", 4, (end - first) // (20 * MS) + 1 - 552, 2_500_000, 2_500_000)
    s.leave("output.back"), s.leave("output.silent")
    s.end(leads.now + 50 * MS)
    return s


def odd_narrow():
    s, bus, leads = start("output-odd-narrow", ["OutputWidth"], sheet=sheets.LEADS_NARROW, latency=0)
    leads.output(1, series([520_000, 420_000, 430_000], otherwise=760_000))
    leads.output(2, series([650_000] * 5, skip=30))
    both(bus, leads, 3 * S)
    leads.output(1, series([400_000] * 4, otherwise=760_000, skip=0))
    both(bus, leads, 5 * S)
    expected_odd(s, "what the sheet has narrow is not odd; an output that no narrow channel moves is", 2, 5, 650_000, 650_000)
    expected_odd(s, "nor is everything", 1, 4, 400_000, 400_000)
    s.leave("output.back")
    s.end(leads.now + 50 * MS)
    return s


def odd_apart():
    """75 of 1201 pulses are 420 or 2800 us wide, none of them beside another: a servo is
    sent neither. One each 1.2 s is left alone: glitches."""
    s, bus, leads = start("output-odd-apart", ["OutputWidth"])
    numbers = itertools.count()
    leads.output(1, lambda rise: NEUTRAL if (n := next(numbers)) % 16 != 8 else (420_000, 2_800_000)[n // 16 % 2])
    others = itertools.count()
    leads.output(2, lambda rise: NEUTRAL if next(others) % 60 else 420_000)
    first = leads.next[1] + 8 * 20 * MS + 420_000
    both(bus, leads, 100 * MS + 1201 * 20 * MS)
    for n in range(7):
        began = first + n * 160 * 20 * MS
        s.expect("ten of them within 10 s are no glitches any more", "output.odd", about="output:1", from_=near(began, 4 * MS),
                 data={"pulses": 10, "least_ns": 420_000, "most_ns": 2_800_000}, within={"span_ns": near(9 * 16 * 20 * MS, 4 * MS)})
    s.leave("output.back")
    s.end(leads.now + 50 * MS)
    return s


def paced():
    s, bus, leads = start("output-paced", ["OutputWidth"])
    s.left.discard("output.paced")
    leads.output(1, NEUTRAL)
    leads.output(2, NEUTRAL, period=3_003_000, phase=5 * MS)
    both(bus, leads, S)
    leads.output(2, None)
    both(bus, leads, 2 * S)
    leads.output(1, NEUTRAL, period=20_900_000)  # within a twentieth
    both(bus, leads, 4 * S)
    for _ in range(31):
        leads.periods[1] = 22 * MS
        both(bus, leads, leads.next[1] + 4 * MS)
    leads.periods[1] = 20 * MS
    both(bus, leads, 6 * S)
    leads.periods[1] = 14 * MS
    changed = leads.next[1] + 14 * MS + NEUTRAL
    both(bus, leads, 8 * S)
    s.expect("fast ones", "output.paced", about="output:2", at=[190 * MS, 220 * MS], data={"period_ns": 3_000_000, "was_ns": 0})
    s.expect("known after 32 periods", "output.paced", about="output:1", at=[740 * MS, 770 * MS], data={"period_ns": 20_000_000, "was_ns": 0})
    s.expect("31 others in a row are no change, 32 are", "output.paced", about="output:1", at=after(changed, 31 * 14 * MS, 32 * 14 * MS + 5 * MS),
             from_=near(changed, 22 * MS), data={"period_ns": 14_000_000, "was_ns": 20_000_000})
    s.leave("output.back"), s.leave("output.silent")
    s.end(leads.now + 50 * MS)
    return s


# At rest.


def jitter():
    s, bus, leads = start("output-jitter", ["OutputJitter"], sheet=sheets.LEADS_MODES)
    s.left.discard("output.jitter")
    bus.put(11, LOW)
    pulses = iter(range(10**6))
    leads.output(1, NEUTRAL)
    leads.output(2, lambda rise: 1_500_000 + 100 * (next(pulses) % 5 * 20))  # 1500 to 1508 us, all as often
    leads.output(4, lambda rise: 1_200_000 + rise // (20 * MS) * 500)  # a drift of 25 us a second, and no output of the sheet
    begun = bus.end
    both(bus, leads, 8 * S)
    quiet = "four seconds at rest, then a hundred pulses; a good receiver strays by less than 2.6 us (common practice)"
    for number, spread in ((1, [0, 0]), (2, [7_800, 8_200]), (4, [0, 2])):
        s.expect(quiet, "output.jitter", about="output:%d" % number, at=after(begun, 5900 * MS, 6300 * MS),
                 from_=after(begun, 4150 * MS, 4300 * MS), data={"pulses": 100, "mode": "off"}, within={"spread_ns": spread, "for_ns": near(1980 * MS, MS)})
    bus.put(11, HIGH)
    moved = bus.end
    both(bus, leads, 15 * S)
    for number in (1, 2, 4):
        s.expect("another mode, another figure", "output.jitter", about="output:%d" % number, at=after(moved, 5900 * MS, 6300 * MS),
                 data={"pulses": 100, "mode": "damping"})
    s.leave("output.back")
    s.end(leads.now + 50 * MS)
    return s


def jitter_not():
    s, bus, leads = start("output-jitter-not", ["OutputJitter", "OutputUnsteady"])
    s.left.discard("output.jitter")
    leads.output(1, lambda rise: NEUTRAL + round(60 * math.sin(rise / 1e8)) * 500)
    for n in range(6):
        both(bus, leads, leads.now + 3500 * MS)
        bus.put(2, CENTRE + 3 * ((n + 1) % 2))
    bus.send(1)
    for n in range(3):
        bus.frame(flags=FAILSAFE)
        both(bus, leads, leads.now + 3500 * MS)
    s.never("output.jitter")
    s.expect("a stick that moves by three counts may have moved it, and so may a receiver without a signal", "output.back", about="output:1")
    s.leave("air.missed"), s.leave("failsafe.entered"), s.leave("failsafe.left")
    s.end(leads.now + 50 * MS)
    return s


def swing(hz, us, middle=NEUTRAL):
    return lambda rise: middle + round(2 * us * math.sin(2 * math.pi * hz * rise / 1e9)) * 500


def unsteady():
    s, bus, leads = start("output-unsteady", ["OutputUnsteady"])
    leads.output(1, NEUTRAL)
    leads.output(2, NEUTRAL)
    both(bus, leads, 4 * S)
    began = leads.now
    leads.output(1, swing(2.5, 12))
    leads.output(2, swing(2.5, 4))
    both(bus, leads, 21 * S)
    ended = leads.now
    leads.output(1, NEUTRAL)
    both(bus, leads, 35 * S)
    s.expect("a swing of 12 us, two and a half times a second, that nothing commands; one of 4 us is left alone", "output.unsteady", about="output:1",
             at=after(began, 10 * S, 16 * S), from_=near(began, 3 * S), within={"milli_hz": [2480, 2520], "amplitude_ns": [11_500, 12_500], "for_ns": near(12 * S, MS)})
    s.expect("and its end", "output.calm", about="output:1", at=after(ended, 7500 * MS, 13500 * MS), from_=near(ended, 3 * S),
             within={"milli_hz": [2480, 2520], "for_ns": near(ended - began, 5 * S)})
    s.leave("output.back")
    s.end(leads.now + 50 * MS)
    return s


def unsteady_not():
    s, bus, leads = start("output-unsteady-not", ["OutputUnsteady"])

    def tilted(rise):  # by hand, there and back, now and then
        t = rise / 1e9 % 9
        return NEUTRAL + round(160 * (math.exp(-3 * (t - 2) ** 2) - math.exp(-9 * (t - 6.1) ** 2))) * 500

    def rings(rise):  # a knock that rings out
        t = rise / 1e9 % 10
        return NEUTRAL + round(300 * math.exp(-2 * t) * math.sin(14 * t)) * 500

    leads.output(1, tilted)
    leads.output(2, rings)
    leads.output(3, lambda rise: 1_000_000 + rise // (5 * S) % 2 * 80_000)
    leads.output(4, swing(14, 30))
    leads.output(5, swing(0.3, 30))
    leads.output(6, lambda rise: NEUTRAL + rise // (20 * MS) * 500)
    both(bus, leads, 20 * S)
    s.never("output.unsteady")
    for number in range(1, 7):
        s.expect("a tilt, a knock, steps, a swing too fast, one too slow, a drift: none is too much gain", "output.back", about="output:%d" % number)
    s.end(leads.now + 50 * MS)
    return s


# What a receiver makes of what it hears.


class Receiver:
    """Makes outputs of the frames, each so much later."""

    def __init__(self, bus, delay=30 * MS):
        self.bus, self.delay, self.sent = bus, delay, []

    def move(self, channel, count):
        self.bus.put(channel, count)
        _, end = self.bus.send(1)
        self.sent.append((end, list(self.bus.counts)))

    def rest(self, seconds):
        until = self.bus.end + seconds * S
        while self.bus.end < until:
            self.move(16, CENTRE)

    def stir(self, channel, seconds=4):
        """Once to one end, to the other, and back; it stands at both for a moment."""
        frames = seconds * S // self.bus.period
        for n in range(frames + 1):
            way = max(-1.0, min(1.0, 1.4 * math.sin(2 * math.pi * n / frames)))
            self.move(channel, CENTRE + round(way * (HIGH - CENTRE if way > 0 else CENTRE - LOW)))

    def width(self, channel, least=0, most=10**7):
        """The pulses of an output that follows a channel: 0.625 us a count."""
        def of(rise):
            before = [counts for end, counts in self.sent if end <= rise - self.delay]
            count = before[-1][channel - 1] if before else CENTRE
            return max(least, min(most, 880_000 + 625 * count)) // 500 * 500
        return of


def receiver(name, subjects, channels, most=10**7):
    """Sticks are moved to their ends, one after the other. Gives what was sent, too.
    Output 1 follows the aileron."""
    s, bus, leads = start(name, subjects, period=14 * MS)
    rx = Receiver(bus)
    rx.rest(2)
    for channel in channels:
        rx.stir(channel)
        rx.rest(2)
    leads.output(1, rx.width(1, most=most))
    leads.run(bus.end)
    s.left.discard("output.follows")
    s.leave("output.back")
    s.end(leads.now + 50 * MS)
    return s, rx


def follows():
    s, _ = receiver("output-follows", ["OutputFollows"], (1, 1, 1))
    s.expect("it follows the aileron over its whole range, some 30 ms later, and stands at 1500 us with it", "output.follows", about="output:1",
             data={"tap": "leads", "bus": "main", "unmoved": [2, 3]},
             within={"terms.0.channel": [1, 1], "terms.0.ppm": near(1_000_000, 20_000), "delay_ns": [20 * MS, 50 * MS], "neutral_ns": near(NEUTRAL, 5_000),
                     "least_ns": near(987_500, 600), "most_ns": near(2_011_875, 600), "low_ns": [0, 0], "high_ns": [0, 0], "dead_ns": [0, 5_000]})
    return s


def clipped():
    s, rx = receiver("output-clipped", ["OutputClip"], (1, 2, 1), most=1_900_000)
    s.leave("output.follows")
    beyond = [end + rx.delay for end, counts in rx.sent if 880_000 + 625 * counts[0] > 1_900_000]
    again = next(t for t in beyond if t - beyond[0] > 6 * S)
    data = {"width_ns": 1_900_000, "upper": True, "channels": [1]}
    s.expect("the bus went on to 2012 us, the output stood at 1900: the receiver's limit, told when the mix is known", "output.clipped", about="output:1",
             data=data, within={"beyond_ns": [100_000, 113_000]}, from_=after(beyond[0], -50 * MS, 1500 * MS))
    s.expect("and each time it comes there", "output.clipped", about="output:1", data=data, within={"beyond_ns": [100_000, 113_000]}, from_=after(again, 0, 100 * MS))
    return s


def circle():
    """Two sticks that go round at one rhythm: a delay and a share of the other channel
    look alike there. Outputs 1 and 2 follow one stick each, exactly."""
    s, bus, leads = start("output-circle", ["Board"], period=14 * MS)
    rx = Receiver(bus, delay=55 * MS)
    rx.rest(2)
    for n in range(30 * S // bus.period):
        turn = 2 * math.pi * n * bus.period / (1400 * MS)
        bus.put(2, CENTRE + round(700 * math.cos(turn)))
        rx.move(1, CENTRE + round(700 * math.sin(turn)))
    bus.put(2, CENTRE)
    bus.put(1, CENTRE)
    rx.rest(3)
    for channel in (1, 2, 1, 2):
        rx.stir(channel)
        rx.rest(2)
    leads.output(1, rx.width(1))
    leads.output(2, rx.width(2))
    leads.run(bus.end)
    s.leave("output.back")
    s.expect("heard", "board.heard", about="tap:leads")
    for number in (1, 2):  # right or open, never "0.13 of the other"
        s.never("verdict.changed", about="claim:moves/output:%d" % number)
    s.end(leads.now + 50 * MS)
    return s


def motor_low_end():
    """A motor's output that stands at 1010 us while the throttle goes down to 987.5."""
    s, bus, leads = start("output-motor-low-end", ["OutputClip"], period=14 * MS)
    rx = Receiver(bus)
    rx.rest(2)
    for _ in range(6):
        frames = 4 * S // bus.period
        for n in range(frames + 1):  # up and down again, from rest to rest
            rx.move(3, LOW + round(1600 * math.sin(math.pi * n / frames) ** 2))
        rx.rest(2)
    leads.output(3, rx.width(3, least=1_010_000))
    leads.run(bus.end)
    s.leave("output.follows"), s.leave("output.back")
    low = {"width_ns": 1_010_000, "upper": False, "channels": [3]}
    s.expect("the throttle went on down by 22 us, the output stood: the receiver's limit, at the low end as at the high one", "output.clipped",
             about="output:3", data=low, within={"beyond_ns": [18_000, 26_000]})
    below = [(end, counts[2] < 190) for end, counts in rx.sent]  # 998.75 us: 11 beyond
    came = [now[0] for before, now in zip(below, below[1:]) if now[1] and not before[1]]
    for end in came:
        s.expect("and each time it comes there", "output.clipped", about="output:3", data=low, from_=after(end, -100 * MS, 200 * MS),
                 within={"beyond_ns": [18_000, 26_000]})
    s.end(leads.now + 50 * MS)
    return s


def begin_loss(name):
    s, bus, leads = start(name, ["OutputLoss"], sheet=sheets.LEADS_FAILSAFE)
    bus.put(1, 1400)  # 1755 us
    bus.put(3, 600)  # 1255 us
    leads.output(1, 1_755_000)
    leads.output(2, NEUTRAL)
    leads.output(3, 1_255_000)
    both(bus, leads, 3 * S)
    live, _ = bus.send(1)
    bus.send(30, flags=LOST)
    leads.run(bus.end)
    for kind in ("air.missed", "failsafe.entered", "failsafe.left", "link.lost", "output.back", "output.silent", "values.jumped"):
        s.leave(kind)
    return s, bus, leads, live


def failsafe(bus, leads, until):
    while bus.end < until:
        bus.send(1, flags=LOST | FAILSAFE)
    leads.run(until)


def fate(number, was, now):
    """What one output did, ns."""
    return {"outputs.%d.%s" % (number - 1, name): [v, v] for name, v in
            (("output", number), ("was_ns", was), ("now_ns", now), ("least_ns", now), ("most_ns", now), ("silent_ns", -1))}


def lost_outputs():
    s, bus, leads, live = begin_loss("loss-outputs")
    bus.put(1, LOW)
    bus.put(3, LOW)
    leads.output(1, 987_500)
    leads.output(3, None)
    failsafe(bus, leads, 9 * S)
    gone = leads.last[3] - live
    both(bus, leads, 11 * S)
    s.expect("one goes to where its preset puts it, one stays, the motor's pulses stop", "loss.outputs", about="tap:leads", from_=near(live),
             data={"tap": "leads", "bus": "main"},
             within={"live_ns": near(live), **fate(1, 1_755_000, 987_500), **fate(2, NEUTRAL, NEUTRAL), "outputs.2.output": [3, 3],
                     "outputs.2.was_ns": [1_255_000, 1_255_000], "outputs.2.silent_ns": near(gone, 2 * MS)})
    s.end(leads.now + 50 * MS)
    return s


def lost_outputs_back():
    """The signal is back a second after the bus has settled, and the bus says so 40 ms later than the outputs move."""
    s, bus, leads, live = begin_loss("loss-outputs-back")
    failsafe(bus, leads, 9 * S)
    bus.put(1, LOW)
    leads.output(1, 987_500)
    leads.output(3, 1_800_000)
    failsafe(bus, leads, 9 * S + 40 * MS)
    both(bus, leads, 11 * S)
    s.expect("what they do once the signal is back is none of the loss", "loss.outputs", about="tap:leads", from_=near(live),
             within={**fate(1, 1_755_000, 1_755_000), **fate(2, NEUTRAL, NEUTRAL), **fate(3, 1_255_000, 1_255_000)})
    s.end(leads.now + 50 * MS)
    return s


def lost_outputs_held():
    s, bus, leads, live = begin_loss("loss-outputs-held")
    failsafe(bus, leads, 9 * S)
    both(bus, leads, 11 * S)
    s.expect("all go on as they were", "loss.outputs", about="tap:leads", from_=near(live),
             within={**fate(1, 1_755_000, 1_755_000), **fate(2, NEUTRAL, NEUTRAL), **fate(3, 1_255_000, 1_255_000)})
    _, live = bus.send(50)
    leads.run(bus.end)
    failsafe(bus, leads, bus.end + S)
    both(bus, leads, bus.end + 2 * S)  # a second: too short to say
    s.end(leads.now + 50 * MS)
    return s
