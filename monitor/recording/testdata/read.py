"""Reads every input of a recording, by DEVELOPERS.md ("The recording") alone.

    python3 read.py FOLDER|FILE

prints one line an input: its number, date (Unix ns), tap, kind, data in hex. It is no part of
the program: it shows that what is written down is enough. Packed parts are unpacked by zstd.
What does not agree with its checksum ends the reading: mending is not what this is for.
"""
import json, pathlib, re, struct, subprocess, sys, zlib

RECEIVED = {2: "bytes", 8: "bad-bytes"}


def parts(path):
    """The content of each part, in order."""
    path = pathlib.Path(path)
    files = [path]
    if path.is_dir():
        closed = {}
        for f in sorted(path.iterdir()):  # the plain one comes before the packed one
            found = re.fullmatch(r"recording-(\d{6,9})\.pcapng(\.zst)?", f.name)
            if found:
                closed.setdefault(int(found[1]), f)
        files = [closed[n] for n in sorted(closed)] + [f for f in [path / "recording.pcapng"] if f.exists()]
    for f in files:
        if f.suffix == ".zst":
            yield subprocess.run(["zstd", "-dc", f], check=True, capture_output=True).stdout
        else:
            yield f.read_bytes()


def blocks(content):
    """Type and body of each pcapng block."""
    at = 0
    while at < len(content):
        kind, length = struct.unpack_from("<II", content, at)
        assert struct.unpack_from("<I", content, at + length - 4)[0] == length
        yield kind, content[at + 8:at + length - 4]
        at += length


def options(b):
    """The first value of each option."""
    found, at = {}, 0
    while at < len(b):
        code, length = struct.unpack_from("<HH", b, at)
        if code == 0:
            break
        found.setdefault(code, b[at + 4:at + 4 + length])
        at += 4 + (length + 3) // 4 * 4
    return found


class Columns:
    """What a bundle is read from: varints, and columns with their length before them."""

    def __init__(self, b):
        self.b, self.at = b, 0

    def number(self):
        value = shift = 0
        while True:
            byte = self.b[self.at]
            self.at += 1
            value |= (byte & 0x7F) << shift
            shift += 7
            if byte < 0x80:
                return value

    def take(self, n):
        self.at += n
        return self.b[self.at - n:self.at]

    def column(self):
        return self.take(self.number())


def turned_back(data, lengths):
    """The data of inputs with these lengths, of which bytes at one place stood together."""
    found, at = {}, 0
    for length in sorted(set(lengths)):
        which = [i for i, n in enumerate(lengths) if n == length]
        for k, i in enumerate(which):
            found[i] = bytes(data[at + place * len(which) + k] for place in range(length))
        at += length * len(which)
    assert at == len(data)
    return b"".join(found[i] for i in range(len(lengths)))


def bundle(data, stamp, transposed):
    """Date, tap, kind and data of each input in a bundle."""
    c = Columns(data)
    count, sorts, turned = c.number(), [], []
    for _ in range(c.number()):
        word = c.column().decode()
        sorts.append((word, c.number()))
        turned.append(transposed and c.number() == 1)
    which, dates, lengths = c.column(), Columns(c.column()), Columns(c.column())
    lengths = [lengths.number() for _ in which]
    columns = [c.column() for _ in sorts]
    assert c.at == len(data) and len(which) == count
    for i, x in enumerate(columns):
        if turned[i]:
            x = turned_back(x, [n for n, w in zip(lengths, which) if w == i])
        columns[i] = Columns(x)
    for i, length in zip(which, lengths):
        stamp += dates.number() * 1000
        yield stamp, sorts[i][1], sorts[i][0], columns[i].take(length)


def inputs(path):
    for content in parts(path):
        for kind, body in blocks(content):
            if kind == 0x0A0D0D0A:
                says = json.loads(options(body[16:])[1])
                assert says["recording"] in (1, 2, 3), "a newer program wrote this recording"
            if kind != 6:
                continue
            _, high, low, size, _ = struct.unpack_from("<IIIII", body)
            stamp, packet = high << 32 | low, body[20:20 + size]
            about = options(body[20 + (size + 3) // 4 * 4:])
            assert about[3] == b"\x02" + struct.pack(">I", zlib.crc32(packet))
            number, data = struct.unpack("<Q", about[5])[0], packet[12:]
            word = RECEIVED.get(packet[8]) or about[1].decode().split(":")[0]
            if word in ("transposed", "bundle"):
                for i, one in enumerate(bundle(data, stamp, word == "transposed")):
                    yield ((number >> 8) + i,) + one
            elif word != "checkpoint":
                yield number >> 8, stamp, number & 0xFF, word, data


for number, stamp, tap, word, data in inputs(sys.argv[1]):
    print(number, stamp, tap, word, data.hex())
