// What a strip says in words: what happened at its cursor, and what all that moves was at then.
import type {Mark} from './history';
import {widthText, type Row} from './rows';
import type {StripSpan} from './strip_span';
import {notHeard, step} from './tap_trace';

// recent is for how many columns a width is so.
const recent = 6;

// near is how many dots from the cursor an event is still at it.
const near = 3;

const out = new Int16Array(2);

// widthAt is what a row has at the moment that is read, least and most: what is a third of a second old
// is not taken for what is so.
export function widthAt(r: Row, span: StripSpan): [number, number] {
  const k = Math.floor((span.cursor >= 0 ? span.cursor : Math.min(span.told, span.axis.ns(span.end) - 1)) / step);
  for (let i = k; i > k - recent; i--) {
    r.tap.range(i, i + 1, r.index, out);
    if (out[0] !== notHeard) break;
  }
  return [out[0] ?? notHeard, out[1] ?? notHeard];
}

// valueText is the same as it stands beside the row.
export function valueText(r: Row, span: StripSpan): string {
  if (r.more > 0) return '';
  const [least, most] = widthAt(r, span);
  if (least === notHeard) return '–';
  if (most <= 1) return most === 1 ? 'on' : 'off';
  return String(Math.round((least + most) / 2));
}

// happened are the sentences of the events at the cursor.
export function happened(marks: Mark[], span: StripSpan): string[] {
  if (span.cursor < 0) return [];
  return marks.filter((m) => Math.abs(m.at - span.cursor) < near * span.axis.perDot * step).map((m) => m.sentence);
}

// widthsText names what moves, or else all, with their widths.
export function widthsText(rows: Row[], span: StripSpan): string {
  const several = new Set(rows.map((r) => r.tap)).size > 1;
  const some = rows.filter((r) => r.moves);
  return (some.length > 0 ? some : rows.filter((r) => r.more === 0))
    .map((r) => `${several ? r.tap.name + ' ' : ''}${r.name} ${widthText(...widthAt(r, span))}`)
    .join(' · ');
}
