"""A sitting at the bench, input by input, and what it must and must not yield."""

import json
import struct

from pcapng import Section

US, MS, S = 10**3, 10**6, 10**9
BASE = 1_780_000_000 * S  # Unix ns of bench time 0, fixed: files come out the same each time
EXACT = 100 * US  # dates are exact here; what an estimate may round

# What no healthy line yields: absent, unless a scenario lists some.
FAULTS = (
    "judgement.failed", "tap.down", "tap.overrun", "bus.silent", "bus.late", "air.missed", "wire.gap", "wire.damaged", "line.fault",
    "failsafe.entered", "failsafe.left", "link.lost", "link.restored", "values.jumped", "switch.moved", "mode.asked",
    "recording.gap", "clock.stepped", "session.resumed", "mark",
)

# The same, where servo leads are tapped too.
LEAD_FAULTS = (
    "board.silent", "board.lost", "output.silent", "output.odd", "output.unsteady", "output.calm", "output.clipped", "loss.outputs",
)


def compact(value):
    return json.dumps(value, separators=(",", ":")).encode()


def near(t, by=EXACT):
    return [t - by, t + by]


def after(t, least, most):
    """A date from least to most after t."""
    return [t + least, t + most]


def unread(due):
    """When a deadline is believed that passed while no input came: nobody may have
    been reading, and what lay waiting is read soon when somebody does. So 200 ms
    after the next input, which on a silent line is a beat."""
    return near((due // S + 1) * S + 200 * MS)


class Sitting:
    """subjects are the watchers that it puts to the test; leads names the taps that
    are on servo leads, phones those that are on a phone."""

    def __init__(self, name, subjects, sheet, taps=("main",), wall=0, leads=(), phones=()):
        self.name, self.subjects, self.sheet, self.taps, self.leads, self.phones = name, subjects, sheet, taps, leads, phones
        self.base, self.begun = BASE + wall, 0
        self.sections, self.inputs, self.number = [], [], 0
        self.beating = True
        self.events, self.absent, self.left = [], [], set()
        self.add(0, 0, "begin", self._start())

    def _start(self, **more):
        taps = [{"name": tap, "kind": "pulses" if tap in self.leads else "tilt" if tap in self.phones else "bus"} for tap in self.taps]
        return compact({"build": "by hand", "wall_ns": self.base + self.begun, "taps": taps, **more})

    def add(self, at, tap, kind, data=b"", text=""):
        if self.inputs and kind == "bytes":
            when, place, of, what, before, _ = self.inputs[-1]
            if (when, of, what) == (at, tap, kind):  # one read
                self.inputs[-1] = (at, place, tap, kind, before + data, "")
                return
        self.inputs.append((at, len(self.inputs), tap, kind, data, text))

    def up(self, at, tap=1, port="by-hand", settings="100000 8E2"):
        port = {"port": port, "settings": settings, "latency": "1 ms"}
        self.add(at, tap, "tap-up", compact(port), port["port"])

    def down(self, at, tap=1, why="unplugged"):
        self.add(at, tap, "tap-down", why.encode(), why)

    def drill(self, at, step):
        self.add(at, 0, "drill-step", compact(step))

    def beat(self, at, wall):
        self.add(at, 0, "beat", struct.pack(">Q", wall))

    def _close(self, until):
        beats = []
        if self.beating:
            first = self.begun // S + 1
            beats = [(n * S, -1, 0, "beat", struct.pack(">Q", self.base + n * S), "") for n in range(first, until // S + 1)]
        section = Section(self.base, self.number, self.taps)
        for at, _, tap, kind, data, text in sorted(beats + self.inputs):
            section.packet(at, tap, kind, data, text)
        self.number = section.next
        self.sections.append(section)
        self.inputs = []

    def killed(self, last, resumed, seq, wall=0):
        """The daemon is killed after last and started again; the wall clock may
        have been set in between."""
        self._close(last)
        self.base, self.begun = self.base + wall, resumed
        self.add(resumed, 0, "resume", self._start(seq=seq))

    def end(self, at):
        self.add(at, 0, "end")
        self._close(at)

    def expect(self, rule, kind, about="tap:main", at=None, from_=None, data=None, within=None, seq=None):
        """One event; events of a kind must come in this order, and no others.
        data: members as they must be; within: members from least to most."""
        event = {"rule": rule, "seq": seq, "kind": kind, "about": about, "at": at, "from": from_, "data": data, "between": within}
        self.events.append({k: v for k, v in event.items() if v is not None})

    def never(self, kind, about=None):
        self.absent.append({"kind": kind, **({"about": about} if about else {})})

    def leave(self, kind):
        """Holds the timeline to nothing about a kind."""
        self.left.add(kind)

    def write(self, folder):
        listed = {e["kind"] for e in self.events} | {a["kind"] for a in self.absent} | self.left
        for kind in FAULTS + (LEAD_FAULTS if self.leads else ()):
            if kind not in listed:
                self.never(kind)
        expected = {"subjects": self.subjects, "events": self.events, "absent": self.absent}
        home = folder / self.name
        home.mkdir(parents=True, exist_ok=True)
        (home / "recording.pcapng").write_bytes(b"".join(s.bytes() for s in self.sections))
        (home / "sheet.yaml").write_bytes(self.sheet.encode())
        text = json.dumps(expected, indent=1, ensure_ascii=False) + "\n"
        (home / "expect.json").write_bytes(text.encode())
