// What is known of one tap: the least and the greatest width of each channel, or output, in columns.

// step is how long a column is, ns of bench time.
export const step = 50e6;

// notHeard stands for both ends of a channel that nothing was heard of.
export const notHeard = -1;

// What is known of a column.
const unknown = 0;
const gap = 1;
const heard = 2;

// A block is a minute of a tap; so many of a tap are kept: half an hour.
const blockColumns = 1200;
const keptBlocks = 30;

interface Block {
  state: Uint8Array;
  ends: Int16Array; // of each column: least and greatest of each channel
  used: number;
}

// TapTrace is what is known of one tap.
export class TapTrace {
  channels = 0; // that were heard of so far
  until = 0; // the column behind the latest that is known
  private blocks = new Map<number, Block>();
  private uses = 0;

  // leastGap is how many columns in a row without a frame are a gap.
  constructor(
    readonly name: string,
    readonly kind: 'bus' | 'pulses',
    readonly leastGap: number,
  ) {}

  // take takes what an answer says of this tap.
  take(first: number, until: number, columns: number[][]): void {
    for (const c of columns) this.grow((c.length - 1) / 2);
    for (let k = first; k < until; k++) {
      const b = this.block(k);
      if (b.state[k % blockColumns] !== heard) b.state[k % blockColumns] = gap;
    }
    for (const c of columns) this.put(c);
    this.until = Math.max(this.until, until);
  }

  state(k: number): number {
    return this.blocks.get(Math.floor(k / blockColumns))?.state[k % blockColumns] ?? unknown;
  }

  // presume takes unknown columns for a gap: the tap has fallen silent, and is not said to be so yet.
  presume(from: number, to: number): void {
    for (let k = Math.max(from, this.until); k < to; k++) {
      const b = this.block(k);
      if (b.state[k % blockColumns] === unknown) b.state[k % blockColumns] = gap;
    }
  }

  // range is how far a channel, from 0, went in the columns [from, to): least and greatest into out,
  // notHeard where nothing is known. It says what there is in them: bit 0 a gap, bit 1 something heard,
  // bit 2 what is unknown; none of them: a column was left out in passing.
  range(from: number, to: number, channel: number, out: Int16Array): number {
    let least = notHeard;
    let most = notHeard;
    let what = 0;
    for (let k = from; k < to; k++) {
      const b = this.blocks.get(Math.floor(k / blockColumns));
      const i = k % blockColumns;
      const state = b?.state[i] ?? unknown;
      what |= state === unknown ? 4 : state === gap && !this.isGap(k) ? 0 : state;
      if (!b || state !== heard || channel >= this.channels) continue;
      const low = b.ends[2 * (i * this.channels + channel)] ?? notHeard;
      const high = b.ends[2 * (i * this.channels + channel) + 1] ?? notHeard;
      if (low === notHeard) continue;
      if (least === notHeard || low < least) least = low;
      if (high > most) most = high;
    }
    out[0] = least;
    out[1] = most;
    return what;
  }

  // isGap reports whether a column without frames is one of enough in a row: a frame or two that were
  // read a little late leave a column without any, and the bus was not silent.
  private isGap(k: number): boolean {
    let run = 1;
    for (let i = k - 1; run < this.leastGap && this.state(i) === gap; i--) run++;
    for (let i = k + 1; run < this.leastGap && this.state(i) === gap; i++) run++;
    return run >= this.leastGap;
  }

  // lacks is the first column in [from, to) of which nothing is known, -1 for none.
  lacks(from: number, to: number): number {
    for (let k = from; k < to; k++) if (this.state(k) === unknown) return k;
    return -1;
  }

  private put(c: number[]): void {
    const k = c[0] ?? 0;
    const b = this.block(k);
    const i = k % blockColumns;
    b.state[i] = heard;
    const at = 2 * i * this.channels;
    b.ends.fill(notHeard, at, at + 2 * this.channels);
    for (let j = 1; j < c.length; j++) b.ends[at + j - 1] = c[j] ?? notHeard;
  }

  private block(k: number): Block {
    const n = Math.floor(k / blockColumns);
    let b = this.blocks.get(n);
    if (!b) {
      b = {state: new Uint8Array(blockColumns), ends: new Int16Array(2 * blockColumns * this.channels).fill(notHeard), used: 0};
      this.blocks.set(n, b);
      if (this.blocks.size > keptBlocks) this.forget(n);
    }
    b.used = ++this.uses;
    return b;
  }

  // forget lets go of the block that was not needed for longest.
  private forget(but: number): void {
    let oldest = -1;
    let used = Infinity;
    for (const [n, b] of this.blocks) {
      if (n !== but && b.used < used) [oldest, used] = [n, b.used];
    }
    this.blocks.delete(oldest);
  }

  // grow has room for more channels: a capture board is known by the pulses that it hears.
  private grow(channels: number): void {
    if (channels <= this.channels) return;
    for (const b of this.blocks.values()) {
      const ends = new Int16Array(2 * blockColumns * channels).fill(notHeard);
      for (let i = 0; i < blockColumns; i++) {
        ends.set(b.ends.subarray(2 * i * this.channels, 2 * (i + 1) * this.channels), 2 * i * channels);
      }
      b.ends = ends;
    }
    this.channels = channels;
  }
}
