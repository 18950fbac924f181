"""Recordings, written from the description of the file format alone.

pcapng, little-endian, link type 250 (LINKTYPE_RTAC_SERIAL): a section header for
each run, interface 0 for what belongs to no tap, an interface for each tap that
came up, an enhanced packet for each input. Nothing here is shared with the
program that reads them.
"""

import json
import struct
import zlib

LINK_TYPE = 250
EVENTS = {"bytes": 2, "bad-bytes": 8, "overrun": 10, "recording-gap": 5, "end": 6}
SILENT = ("bytes", "bad-bytes")  # kinds that the event byte tells without a word


def crc32c(data):
    """CRC32 with the Castagnoli polynomial, reflected, bit by bit."""
    crc = 0xFFFFFFFF
    for byte in data:
        crc ^= byte
        for _ in range(8):
            crc = crc >> 1 ^ (0x82F63B78 if crc & 1 else 0)
    return crc ^ 0xFFFFFFFF


def sealed(members):
    """A JSON object whose last member is the sum of what stands before it."""
    body = json.dumps(members, separators=(",", ":"), ensure_ascii=False).encode()[:-1]
    return body + b',"crc":"%08x"}' % crc32c(body)


def padded(data):
    return data + bytes(-len(data) % 4)


def option(code, value):
    return struct.pack("<HH", code, len(value)) + padded(value)


END_OF_OPTIONS = struct.pack("<HH", 0, 0)


def block(kind, body):
    length = struct.pack("<I", len(body) + 12)
    return struct.pack("<I", kind) + length + body + length


class Section:
    """One run of the daemon: base is Unix ns of bench time 0, first the number
    of its first input."""

    def __init__(self, base, first, taps):
        self.base, self.next, self.taps = base, first, taps
        self.interfaces = 0
        self.current = {}  # tap -> interface
        comment = sealed({"recording": 1, "base_ns": base, "first": first, "build": "by hand"})
        fixed = struct.pack("<IHHq", 0x1A2B3C4D, 1, 0, -1)
        self.blocks = [block(0x0A0D0D0A, fixed + option(1, comment) + END_OF_OPTIONS)]
        self._interface(0, "bench", {})

    def _interface(self, tap, name, port):
        members = {"interface": self.interfaces, "tap": tap, "base_ns": self.base}
        members.update((k, port[k]) for k in ("settings", "latency") if k in port)
        options = option(2, name.encode())
        if "port" in port:
            options += option(3, port["port"].encode())
        options += option(1, sealed(members)) + option(9, b"\x09") + END_OF_OPTIONS
        self.blocks.append(block(1, struct.pack("<HHI", LINK_TYPE, 0, 0) + options))
        self.current[tap] = self.interfaces
        self.interfaces += 1

    def packet(self, at, tap, kind, data, text=""):
        """One input; at is bench time in ns, whole microseconds."""
        if tap and (kind == "tap-up" or tap not in self.current):
            self._interface(tap, self.taps[tap - 1], json.loads(data) if kind == "tap-up" else {})
        stamp = self.base + at
        seconds, rest = divmod(stamp, 10**9)
        micros, odd = divmod(rest, 1000)
        assert odd == 0, "dates are whole microseconds"
        payload = struct.pack(">IIBBH", seconds, micros, EVENTS.get(kind, 0), 0, 0) + data
        options = b""
        if kind not in SILENT:
            options += option(1, (kind + (": " + text if text else "")).encode())
        options += option(3, b"\x02" + struct.pack(">I", zlib.crc32(payload)))
        options += option(5, struct.pack("<Q", self.next << 8 | tap))
        fixed = struct.pack("<IIIII", self.current[tap], stamp >> 32, stamp & 0xFFFFFFFF, len(payload), len(payload))
        self.blocks.append(block(6, fixed + padded(payload) + options + END_OF_OPTIONS))
        self.next += 1

    def bytes(self):
        return b"".join(self.blocks)
