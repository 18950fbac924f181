// What happened: events as marks on the axis of time, and what lasted as outages; also those from
// before the page was opened.
import {text} from './api';
import type {Store} from './store';
import {step} from './tap_trace';
import type {Line, Verdict} from './types';

// Shape is how a mark looks. No two kinds of thing share one.
export type Shape = 'right' | 'wrong' | 'mark' | 'lost' | 'back' | 'drill' | 'other';

export interface Mark {
  seq: number;
  at: number; // ns
  shape: Shape;
  word: string; // beside the shape
  sentence: string;
}

// Outage is a stretch in which a tap, or all of them, carried no live values.
export interface Outage {
  tap: string; // '' for all
  from: number; // ns
  to: number; // ns, Infinity while it lasts
  word: string;
}

// Late is a stretch whose frames were read late, all at once: where columns lack in it the bus was not
// silent, the computer was.
export interface Late {
  tap: string;
  from: number; // ns
  to: number;
}

interface Data {
  text?: string;
  verdict?: Verdict;
  sentence?: string;
  mode?: string;
  passing?: boolean;
  what?: string;
  how?: string;
  why?: string;
  ended?: boolean;
}

function dataOf(line: Line): Data {
  return (line['data'] ?? {}) as Data;
}

function ns(line: Line, member: 't_ns' | 'from_ns'): number {
  return Number(line[member] ?? 0);
}

// of is what a line is about, behind the colon.
function of(line: Line): string {
  return line.about.slice(line.about.indexOf(':') + 1);
}

// first is what a sentence says before it gives the figures and the reason.
function first(sentence: string): string {
  return sentence.split(/[,:(]/, 1)[0]?.trim() ?? '';
}

type Teller = (line: Line, d: Data) => {shape: Shape; word: string; sentence: string} | undefined;

const lost = (word: string): Teller => (line) => ({shape: 'lost', word, sentence: `${of(line)}: ${word}`});
const back = (word: string): Teller => (line) => ({shape: 'back', word, sentence: `${of(line)}: ${word}`});

// marked are the kinds that have a mark.
const marked: Record<string, Teller> = {
  'verdict.changed': (line, d) =>
    d.verdict === 'seen wrong' || d.verdict === 'seen right'
      ? {shape: d.verdict === 'seen right' ? 'right' : 'wrong', word: `${d.verdict}: ${first(d.sentence ?? '')}`, sentence: `${d.verdict}: ${d.sentence ?? of(line)}`}
      : undefined,
  mark: (_, d) => ({shape: 'mark', word: d.text || 'mark', sentence: `mark: ${d.text ?? ''}`}),
  reopened: (_, d) => ({shape: 'mark', word: `reopened: ${d.what ?? ''}`, sentence: `reopened: ${d.what ?? ''}`}),
  'mode.asked': (_, d) =>
    d.passing ? undefined : {shape: 'other', word: d.mode || 'no mode', sentence: d.mode ? `mode asked for: ${d.mode}` : 'no mode is asked for'},
  'drill.began': (line) => ({shape: 'drill', word: `drill ${of(line)}`, sentence: `drill ${of(line)} began`}),
  'drill.ended': (line, d) => ({shape: 'drill', word: `${of(line)} ${d.how ?? 'ended'}`, sentence: `drill ${of(line)} ${d.how ?? 'ended'}`}),
  'link.lost': lost('link lost'),
  'link.restored': back('link back'),
  'failsafe.entered': lost('failsafe'),
  'failsafe.left': back('failsafe over'),
  'bus.silent': lost('bus silent'),
  'bus.locked': back('frames'),
  'tap.down': lost('port gone'),
  'tap.up': back('port open'),
  'board.silent': lost('board silent'),
  'board.heard': back('board heard'),
  'recording.gap': (_, d) =>
    d.ended
      ? {shape: 'back', word: 'recording again', sentence: 'recording goes on'}
      : {shape: 'lost', word: 'not recorded', sentence: `recording stopped: ${d.why ?? ''}`},
  'judgement.failed': () => ({shape: 'wrong', word: 'judgement failed', sentence: 'judgement failed and began afresh'}),
  'session.resumed': () => ({shape: 'other', word: 'resumed', sentence: 'the session goes on'}),
  'bus.late': (line) => ({shape: 'other', word: 'read late', sentence: `${of(line)}: the computer read late, the bus went on`}),
  'values.jumped': (line) => ({shape: 'other', word: 'values jumped', sentence: `${of(line)}: many values jumped at once`}),
};

// begins and ends are the kinds with which an outage begins and ends.
const begins: Record<string, string> = {
  'link.lost': 'link lost',
  'failsafe.entered': 'failsafe',
  'bus.silent': 'silent',
  'tap.down': 'port gone',
  'board.silent': 'silent',
};
const ends: Record<string, string[]> = {
  'link.restored': ['link lost', 'failsafe'],
  'failsafe.left': ['failsafe', 'link lost'],
  'bus.locked': ['silent'],
  'tap.up': ['port gone'],
  'board.heard': ['silent'],
};

// overviewed is how many events older than those of the stream are known in any case.
const overviewed = 2000;

// askedLines is how many older events are asked for at a time.
const askedLines = 500;

// History is what happened, oldest first.
export class History {
  marks: Mark[] = [];
  outages: Outage[] = [];
  late: Late[] = [];
  private first = Infinity; // number of the first line that is known
  private read = 0; // lines of the store that were looked at
  private older: Line[] = []; // than those of the store
  private asking = false;

  constructor(private store: Store) {}

  // look takes what the store has got since.
  look(): void {
    const lines = this.store.lines;
    const first = lines[0]?.seq ?? Infinity;
    const last = lines.at(-1)?.seq ?? 0;
    if (first >= this.first && this.read === last) return;
    if (first < this.first || this.first === Infinity) {
      this.first = Math.min(this.first, first);
      this.tell();
    } else {
      for (let i = lines.length - 1, from = this.read; i >= 0; i--) {
        if ((lines[i]?.seq ?? 0) > from) continue;
        this.add(lines.slice(i + 1));
        break;
      }
    }
    this.read = last;
  }

  // readLate reports whether what is lacking at a tap in a stretch was read late.
  readLate(tap: string, from: number, to: number): boolean {
    return this.late.some((l) => l.tap === tap && l.from <= to && l.to >= from);
  }

  // want asks for the events of a moment, if the oldest that is known is later; and bit by bit for so many
  // as an overview is to show.
  want(from: number): void {
    const oldest = this.older[0] ?? this.store.lines[0];
    if (this.asking || !oldest || oldest.seq <= 1) return;
    if (ns(oldest, 't_ns') < from && this.older.length >= overviewed) return;
    void this.ask(oldest.seq);
  }

  private async ask(before: number): Promise<void> {
    this.asking = true;
    try {
      const after = Math.max(0, before - 1 - askedLines);
      const got = (await text(`/api/timeline?after=${after}&limit=${askedLines}`))
        .split('\n')
        .filter((l) => l !== '')
        .map((l) => JSON.parse(l) as Line)
        .filter((l) => l.seq < before);
      this.older.unshift(...got);
      this.first = Math.min(this.first, got[0]?.seq ?? this.first);
      this.tell();
      this.store.changed();
    } catch {
      // It is asked for again when somebody looks there again.
    } finally {
      setTimeout(() => (this.asking = false), 500);
    }
  }

  // tell begins anew with all lines that are known.
  private tell(): void {
    this.marks = [];
    this.outages = [];
    this.late = [];
    const known = this.store.lines[0]?.seq ?? Infinity;
    this.add(this.older.filter((l) => l.seq < known));
    this.add(this.store.lines);
  }

  private add(lines: Line[]): void {
    for (const line of lines) {
      const told = marked[line.kind]?.(line, dataOf(line));
      const verdict = line.kind === 'verdict.changed';
      if (told) this.marks.push({seq: line.seq, at: ns(line, verdict ? 't_ns' : 'from_ns'), ...told});
      this.lasts(line);
    }
  }

  private lasts(line: Line): void {
    const tap = line.about.startsWith('tap:') ? of(line) : '';
    const word = begins[line.kind];
    if (line.kind === 'bus.late') this.late.push({tap, from: ns(line, 'from_ns') - step, to: ns(line, 't_ns') + step});
    if (word) this.outages.push({tap, from: ns(line, 'from_ns'), to: Infinity, word});
    const over = ends[line.kind] ?? [];
    if (over.length === 0 && line.kind !== 'session.resumed') return;
    for (const o of this.outages) {
      if (o.to !== Infinity) continue;
      if (line.kind === 'session.resumed' || (o.tap === tap && over.includes(o.word))) o.to = ns(line, 't_ns');
    }
  }
}

const made = new WeakMap<Store, History>();

// historyOf is that of a store: all who show some share it.
export function historyOf(store: Store): History {
  let h = made.get(store);
  if (!h) {
    h = new History(store);
    made.set(store, h);
  }
  return h;
}
