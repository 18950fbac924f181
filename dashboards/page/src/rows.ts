// The rows of a strip: one for each channel and output, high where something moves, and a quiet line
// where it rests.
import type {Store} from './store';
import {notHeard, type TapTrace} from './tap_trace';
import type {SheetCell} from './types';

// Row is one channel, or output, of a tap.
export interface Row {
  tap: TapTrace;
  index: number; // of the channel, from 0
  more: number; // channels without a name that rest and share this row; 0: it is one channel
  name: string;
  moves: boolean;
  low: number; // of the scale, µs
  high: number;
  least: number; // in what is shown, µs; notHeard: nothing was
  most: number;
  y: number; // top, and height, CSS pixels
  h: number;
  bands: {word: string; from: number; to: number}[]; // µs
}

// moved is what counts as movement, µs: less is the jitter of a control at rest.
const moved = 8;

// leastScale is the least that a row spans, µs, so that a small movement does not look like a stroke.
const leastScale = 200;

const names = new WeakMap<TapTrace, Map<number, string>>();

// nameOf is what the sheet calls a channel or an output, kept from when it was last said; '' for none.
function nameOf(store: Store, tap: TapTrace, index: number): string {
  const kept = names.get(tap) ?? new Map<number, string>();
  names.set(tap, kept);
  const now = store.now?.taps.find((t) => t.name === tap.name);
  if (tap.kind === 'bus') {
    const name = now?.channels.find((c) => c.number === index + 1)?.name;
    if (name) kept.set(index, name);
    return kept.get(index) ?? elsewhere(store, index + 1);
  }
  const surface = now?.outputs.find((o) => o.number === index + 1)?.surface;
  if (surface) kept.set(index, `${index + 1} ${surface}`);
  return kept.get(index) ?? '';
}

// elsewhere is what another line of the sheet calls a channel that has no name, such as the heartbeat; '' for none.
function elsewhere(store: Store, number: number): string {
  const line = store.sheet?.lines.find((l) => l.reads.kind === 'channel' && l.reads.number === number && l.reads.name !== '');
  return line ? `${line.reads.name} (channel ${number})` : '';
}

const out = new Int16Array(2);

// rowsOf are the rows of the columns [from, to), in the order of the taps and their channels.
export function rowsOf(store: Store, taps: TapTrace[], from: number, to: number): Row[] {
  const list: Row[] = [];
  const all = store.sheet?.cells ?? [];
  for (const tap of taps) {
    const nameless: Row[] = [];
    for (let index = 0; index < tap.channels; index++) {
      tap.range(from, to, index, out);
      const [least = notHeard, most = notHeard] = out;
      if (least === notHeard && !known(store, tap, index)) continue;
      const bands = tap.kind === 'bus' ? bandsOf(all.filter((c) => c.channel === index + 1)) : [];
      const name = nameOf(store, tap, index);
      const row = {tap, index, more: 0, name: name || plain(tap, index), moves: moves(least, most), ...scale(least, most, bands), least, most, y: 0, h: 0, bands};
      (name === '' && !row.moves ? nameless : list).push(row);
    }
    list.push(...together(nameless));
  }
  return list;
}

// together has rows that nobody gave a name, and in which nothing moves, share one.
function together(rows: Row[]): Row[] {
  const [first] = rows;
  return first && rows.length > 1 ? [{...first, more: rows.length, name: `${rows.length} more at rest`}] : rows;
}

function plain(tap: TapTrace, index: number): string {
  return `${tap.kind === 'bus' ? 'channel' : 'output'} ${index + 1}`;
}

function known(store: Store, tap: TapTrace, index: number): boolean {
  const now = store.now?.taps.find((t) => t.name === tap.name);
  return tap.kind === 'bus'
    ? (now?.channels.some((c) => c.number === index + 1) ?? false)
    : (now?.outputs.some((o) => o.number === index + 1) ?? false);
}

// moves reports movement; one that is off or on has 0 and 1.
function moves(least: number, most: number): boolean {
  return most - least >= moved || (most === 1 && least === 0);
}

// bandsOf joins the cells of one channel that lie at the same widths: several modes may.
function bandsOf(of: SheetCell[]): Row['bands'] {
  const list: Row['bands'] = [];
  for (const c of of) {
    const band = {word: c.mode, from: c.from_ns / 1000, to: c.to_ns / 1000};
    const same = list.find((b) => b.from === band.from && b.to === band.to);
    if (!same) list.push(band);
    else if (!same.word.split(', ').includes(c.mode)) same.word += `, ${c.mode}`;
  }
  return list.sort((a, b) => a.from - b.from);
}

// scale is what a row spans, in whole hundreds so that it seldom changes.
function scale(least: number, most: number, bands: Row['bands']): {low: number; high: number} {
  if (least === notHeard) return {low: 1000, high: 2000};
  if (most <= 1) return {low: -0.5, high: 1.5};
  if (bands.length > 0) [least, most] = [Math.min(least, 1000), Math.max(most, 2000)];
  const lack = Math.max(0, leastScale - (most - least));
  return {low: Math.floor((least - lack / 2) / 100) * 100, high: Math.ceil((most + lack / 2) / 100) * 100};
}

// quiet is the height of a row in which nothing moves, and of a tap's name, CSS pixels.
export const quiet = 16;
const highest = 120;

// heightOf is how high all rows are together: room for so many that something moves in a few.
export function heightOf(rows: Row[]): number {
  const enough = Math.max(16, Math.ceil(rows.length / 4) * 4); // so that it seldom changes, nor as taps come one by one
  return (enough + 14) * quiet;
}

// weight is how much of the height a row has that moves: one with cells of modes has names in it.
function weight(r: Row): number {
  return r.bands.length > 0 ? 2 : 1;
}

// place gives the rows their places between top and bottom; what moves shares what quiet rows leave.
export function place(rows: Row[], top: number, bottom: number): void {
  const moving = rows.filter((r) => r.moves);
  const rest = Math.min(quiet, (bottom - top) / Math.max(1, rows.length));
  const left = bottom - top - (rows.length - moving.length) * rest;
  const each = Math.max(rest, left / Math.max(1, moving.reduce((sum, r) => sum + weight(r), 0)));
  let y = top;
  for (const r of rows) {
    r.y = y;
    r.h = r.moves ? Math.min(weight(r) * each, weight(r) * highest) : rest;
    y += r.h;
  }
}

// sameRows reports whether a picture that was drawn with some rows is right for others.
export function sameRows(a: Row[], b: Row[]): boolean {
  return (
    a.length === b.length &&
    a.every((r, i) => {
      const s = b[i];
      return s !== undefined && r.tap === s.tap && r.index === s.index && r.more === s.more && r.moves === s.moves && r.low === s.low && r.high === s.high && r.bands.length === s.bands.length;
    })
  );
}

// widthText is a width, or how far it went, in words.
export function widthText(least: number, most: number): string {
  if (least === notHeard) return 'not heard';
  if (most <= 1) return least === most ? (most === 1 ? 'on' : 'off') : 'off and on';
  return least === most ? `${most} µs` : `${least}–${most} µs`;
}
