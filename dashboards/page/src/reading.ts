// What a line of the sheet is about, as it is now. Old values never look live: what is not heard is --.
import type {Store} from './store';
import type {SheetRead, Tap} from './types';
import {micros} from './words';

const notHeard = '--';

export function reading(s: Store, r: SheetRead): string {
  if (r.kind === 'none') return '';
  if (s.gone || !s.now) return notHeard;
  const buses = s.now.taps.filter((t) => t.kind === 'bus');
  switch (r.kind) {
    case 'channel':
    case 'gain':
      return each(buses, (t) => channel(t, r));
    case 'mode':
      return each(buses, (t) => mode(t, r.name));
    case 'link':
      return each(r.name === '' ? buses : s.now.taps.filter((t) => t.name === r.name), (t) => t.condition);
    case 'output':
      return each(s.now.taps.filter((t) => t.kind === 'pulses'), (t) => output(t, r.number));
  }
}

// each joins what taps say: the name before each, unless all say the same.
function each(taps: Tap[], say: (t: Tap) => string): string {
  const all = taps.map(say);
  if (new Set(all).size <= 1) return all[0] ?? notHeard;
  return taps.map((t, i) => `${t.name} ${all[i]}`).join(', ');
}

// A line on a place says whether the channel is there, each other one where it is.
function channel(t: Tap, r: SheetRead): string {
  const c = t.channels.find((c) => c.number === r.number);
  if (!c) return notHeard;
  const width = micros(c.width_ns);
  if (r.place === '' || r.place === 'neutral') return c.place === '' ? width : `${width}, ${c.place}`;
  return c.place === r.place ? `${width}, now` : '';
}

function mode(t: Tap, name: string): string {
  if (!t.asked) return name === '' ? notHeard : '';
  if (name === '') return t.mode || 'no mode';
  return t.mode === name ? 'asked for now' : '';
}

function output(t: Tap, number: number): string {
  const o = t.outputs.find((o) => o.number === number);
  return o?.live ? micros(o.width_ns) : notHeard;
}
