"""Servo leads, and a capture board that prints a line for each pulse.

Common practice: a servo follows the width of a positive pulse, 1500 us at neutral,
about 50 times a second. The board's lines are framed like those of NMEA 0183: a
dollar sign, fields, an asterisk and the exclusive or of what stands between as two
hexadecimal digits. $PBPX,seq,output,rise,width: hexadecimal but for the output,
ticks of 0.5 us modulo 2^32, seq modulo 2^16, sent at the falling edge.
$PBPI,name,tick in ns,outputs,dropped: decimal, at its start and once a second.
500 000 baud 8N1, so a character takes 20 us.
"""

from sitting import MS, S, US

CHARACTER = 20 * US
TICK = 500  # ns


def line(text):
    total = 0
    for character in text.encode():
        total ^= character
    return ("$%s*%02X\r\n" % (text, total)).encode()


class Leads:
    """What a board on one tap prints. widths has the width of each output's pulses,
    ns, or a function that gives it for the moment at which one rises, None for none;
    periods how often they come. Everything before now has been printed. With a
    latency the adapter hands over at its ticks what had ended by then."""

    def __init__(self, sitting, tap=2, now=100 * MS, latency=0, clock=0xFFFFF000, spoke=0):
        self.sitting, self.tap, self.now, self.latency = sitting, tap, now, latency
        self.widths, self.periods, self.next = {}, {}, {}
        self.zero, self.clock = now, clock  # bench time and ticks that belong together
        self.seq, self.dropped = 0xFFF0, 0
        self.free = 0  # when the line can take another character
        self.speaks = now + spoke
        self.losing = self.spoiling = self.fell = 0
        self.last = {}  # falling edge of each output's latest pulse

    def output(self, number, width, period=20 * MS, phase=None):
        self.widths[number], self.periods[number] = width, period
        self.next.setdefault(number, self.now + (phase if phase is not None else number * MS))

    def pause(self, number, by):
        """Puts an output's next pulse off."""
        self.next[number] += by

    def ticks(self, at):
        return (self.clock + (at - self.zero) // TICK) % 2**32

    def _print(self, at, data):
        start = max(at, self.free)
        self.free = start + len(data) * CHARACTER
        ends = self.free
        if self.latency:
            ends += -ends % self.latency
        self.sitting.add(-(-ends // US) * US, self.tap, "bytes", data)

    def raw(self, at, data):
        self._print(at, data)

    def _speak(self, at):
        self._print(at, line("PBPI,by-hand,%d,8,%d" % (TICK, self.dropped)))

    def _pulse(self, number, rise, width, silent):
        text = "PBPX,%X,%d,%X,%X" % (self.seq, number, self.ticks(rise), width // TICK)
        self.seq = (self.seq + 1) % 2**16
        data = line(text)
        if silent or self.losing:
            self.losing -= not silent
            return
        if self.spoiling:
            self.spoiling -= 1
            data = data[:7] + b"~" + data[8:]
        self._print(rise + width, data)
        self.last[number] = rise + width

    def run(self, until, silent=False):
        """Goes on until then; silent: nothing of what the board prints arrives."""
        lines = []
        for number, width in self.widths.items():
            while self.next[number] < until - 3 * MS:
                rise = self.next[number]
                self.next[number] += self.periods[number]
                w = width(rise) if callable(width) else width
                if w:
                    rise -= rise % TICK
                    lines.append((rise + w - w % TICK, number, rise, w - w % TICK))
        while self.speaks < until:
            lines.append((self.speaks, 0, 0, 0))
            self.speaks += S
        for fall, number, rise, width in sorted(lines):
            if number:
                self._pulse(number, rise, width, silent)
            elif not silent:
                self._speak(fall)
        self.now = until

    def restart(self):
        """The board begins anew: its clock, its numbers, its count."""
        self.zero, self.clock, self.seq, self.dropped = self.now, 0, 0, 0
        self.speaks = self.now
