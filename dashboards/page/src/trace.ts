// What moved, in columns of 50 ms: as the stream brings them, and as they are asked for where they are
// lacking.
import {get} from './api';
import type {Store} from './store';
import {step, TapTrace} from './tap_trace';

// silence is how many columns a gap has at least: of a tenth of a second none is left out then.
const silence = 3;

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
  taps: {tap: string; kind: 'bus' | 'pulses' | 'tilt'; first: number; until: number; columns: number[][]}[];
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
      if (t.kind === 'tilt') continue; // how a phone lies is no width
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
