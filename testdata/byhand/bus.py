"""A servo bus, character by character.

Common practice: 100 000 baud 8E2, so a character takes 120 us and a frame of 25
characters 3 ms; header 0x0F; sixteen channels of 11 bits, least significant bit
first, as one number of 176 bits; flags with frame lost in bit 2 and failsafe in
bit 3; a footer. us = 0.625 * counts + 880.
"""

from sitting import MS, US

CHARACTER = 120 * US
LOST = 1 << 2
FAILSAFE = 1 << 3
CENTRE, LOW, HIGH = 992, 172, 1811  # 1500, 987.5 and 2011.875 us


def pack(counts, flags=0, footer=0):
    """The 25 characters of a frame, by one big number."""
    number = 0
    for place, count in enumerate(counts):
        assert 0 <= count < 2048
        number += count << 11 * place
    return b"\x0F" + number.to_bytes(22, "little") + bytes((flags, footer))


def unpack(data):
    """The counts of a frame."""
    number = int.from_bytes(data[1:23], "little")
    return [number >> 11 * place & 2047 for place in range(16)]


class Bus:
    """A receiver's bus on one tap. end is when the next frame's last character
    ends. Each frame is one read, dated then; with a latency the adapter hands
    over at its ticks what had ended by then."""

    def __init__(self, sitting, tap=1, first=100 * MS, period=7 * MS, latency=0, footers=(0,)):
        self.sitting, self.tap, self.end, self.period, self.latency = sitting, tap, first, period, latency
        self.counts = [CENTRE] * 16
        self.footers, self.sent = footers, 0

    def put(self, channel, count):
        self.counts[channel - 1] = count

    def _read(self, data, bad=False, ends=None):
        ends = self.end if ends is None else ends
        if self.latency:
            ends += -ends % self.latency
        self.sitting.add(ends, self.tap, "bad-bytes" if bad else "bytes", data)

    def _next(self):
        ended = self.end
        self.end += self.period
        self.sent += 1
        return ended

    def raw(self, data):
        """Other characters in the place of a frame."""
        self._read(data)
        return self._next()

    def frame(self, flags=0):
        data = pack(self.counts, flags, self.footers[self.sent % len(self.footers)])
        if self.latency:
            self._by_character(data)
        else:
            self._read(data)
        return self._next()

    def _by_character(self, data):
        for place, byte in enumerate(data):
            self._read(bytes((byte,)), ends=self.end - (len(data) - 1 - place) * CHARACTER)

    def send(self, frames, flags=0):
        """Gives when the first and the last of them ended."""
        ends = [self.frame(flags) for _ in range(frames)]
        return ends[0], ends[-1]

    def late(self, frames, by, at=None):
        """Frames that a busy computer reads all at once: at that date, or some
        time after the last of them."""
        at = at or self.end + (frames - 1) * self.period + by
        for _ in range(frames):
            self._read(pack(self.counts), ends=at)
            self._next()

    def bad(self, marked, flags=0):
        """A frame with one character that the port marks as bad."""
        data = pack(self.counts, flags)
        self._read(data[:marked])
        self._read(data[marked:marked + 1], bad=True)
        self._read(data[marked + 1:])
        return self._next()

    def skip(self, frames):
        """Frames that are not sent."""
        self.end += frames * self.period
