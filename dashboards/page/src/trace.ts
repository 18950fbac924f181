// What moved: the least and the greatest width of each channel, or output, in columns of 50 ms, as
// the stream brings them and as they are asked for where they are lacking.
import {get} from './api';
import type {Store} from './store';

// step is how long a column is, ns of bench time.
export const step = 50e6;

// notHeard stands for both ends of a channel that nothing was heard of.
export const notHeard = -1;

// What is known of a column.
export const unknown = 0;
export const gap = 1;
export const heard = 2;

// silence is how many columns a gap has at least: of a tenth of a second none is left out then.
const silence = 3;

// A block is a minute of a tap; so many of a tap are kept: half an hour.
const blockColumns = 1200;
const keptBlocks = 30;

// mostAsked is how many columns one question asks for.
const mostAsked = 4800;

// settles is after how many columns what has not come is asked for: the stream brings what a tap that
// fell silent did not say two seconds later.
const settles = 60;

// late is how many columns a frame may be on its way, at most, as a rule.
const late = 4;

// heardConditions are those of a tap from which something comes.
const heardConditions = new Set(['live', 'failsafe', 'no live frame']);

// askAgain is after how many ms the same is asked for again.
const askAgain = 2000;

// Answer is columns as the server sends them.
export interface Answer {
  step_ns: number;
  taps: {tap: string; kind: 'bus' | 'pulses'; first: number; until: number; columns: number[][]}[];
}

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

// Traces are all taps.
export class Traces {
  taps: TapTrace[] = []; // in the order of the session's
  version = 0; // rises with each change
  private listeners = new Set<(first: number) => void>();
  private asking = false;
  private asked = -1; // first column of the latest question
  private askedAt = -Infinity;
  refused = ''; // why the latest question had no answer

  constructor(private store: Store) {
    store.on('trace', (data) => this.take(data as Answer));
  }

  // until is the column behind the latest that is known of any tap.
  get until(): number {
    return Math.max(0, ...this.taps.map((t) => t.until));
  }

  // onChange has a listener called with the first column that is new, or changed.
  onChange(listener: (first: number) => void): () => void {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  // presume has taps that are silent by the latest word look so at once. It gives the first column
  // that this may have changed.
  presume(): number {
    const now = this.store.now;
    if (!now) return Infinity;
    const to = Math.floor(now.seen_ns / step) - late;
    let first = Infinity;
    for (const t of this.taps) {
      const word = now.taps.find((n) => n.name === t.name);
      if (!word || heardConditions.has(word.condition) || t.lacks(Math.max(t.until, to - settles), to) < 0) continue;
      t.presume(to - settles, to);
      first = Math.min(first, Math.max(t.until, to - settles));
    }
    return first;
  }

  // want asks for what is lacking in the columns [from, to), one question at a time.
  want(from: number, to: number): void {
    const now = this.store.now ? Math.floor(this.store.now.seen_ns / step) : 0;
    to = Math.min(to, now - settles);
    from = Math.max(0, from);
    const first = this.lacks(from, to);
    if (this.asking || first < 0) return;
    if (first === this.asked && performance.now() - this.askedAt < askAgain) return;
    void this.ask(first, Math.min(to, first + mostAsked));
  }

  private lacks(from: number, to: number): number {
    if (to <= from) return -1;
    if (this.taps.length === 0) return from;
    const all = this.taps.map((t) => t.lacks(from, to)).filter((k) => k >= 0);
    return all.length > 0 ? Math.min(...all) : -1;
  }

  private async ask(from: number, to: number): Promise<void> {
    this.asking = true;
    this.asked = from;
    this.askedAt = performance.now();
    try {
      this.take(await get<Answer>(`/api/trace?from_ns=${from * step}&to_ns=${to * step}&columns=${to - from}`));
      this.refused = '';
    } catch (e) {
      this.refused = e instanceof Error ? e.message : String(e);
    } finally {
      this.asking = false;
    }
    this.store.changed();
  }

  private take(a: Answer): void {
    if (a.step_ns !== step) return;
    let first = Infinity;
    for (const t of a.taps) {
      this.tap(t.tap, t.kind).take(t.first, t.until, t.columns);
      first = Math.min(first, t.first);
    }
    this.version++;
    for (const listener of this.listeners) listener(first);
  }

  private tap(name: string, kind: 'bus' | 'pulses'): TapTrace {
    let tap = this.taps.find((t) => t.name === name);
    if (tap) return tap;
    tap = new TapTrace(name, kind, silence);
    this.taps.push(tap);
    const order = this.store.now?.taps.map((t) => t.name) ?? [];
    this.taps.sort((a, b) => order.indexOf(a.name) - order.indexOf(b.name));
    return tap;
  }
}

const made = new WeakMap<Store, Traces>();

// tracesOf are those of a store: all who show some share them.
export function tracesOf(store: Store): Traces {
  let t = made.get(store);
  if (!t) {
    t = new Traces(store);
    made.set(store, t);
  }
  return t;
}
