// What changed, in words, for those who do not see the traces.
import {clock} from './axis';
import {html, type TemplateResult} from './html';
import type {Mark} from './history';
import {widthText, type Row} from './rows';
import {notHeard, step} from './tap_trace';

export interface Change {
  at: number; // ns
  what: string;
}

// mostChanges is how many a table has.
const mostChanges = 40;

// near is how far two widths at rest may be apart and still be the same, µs.
const near = 8;

// rested is how many columns a channel must stand until it counts as at rest.
const rested = 6;

const out = new Int16Array(2);

// changesOf are the changes of some rows and the marks in the columns [from, to), the latest first.
function changesOf(rows: Row[], marks: Mark[], from: number, to: number): Change[] {
  const list: Change[] = marks.map((m) => ({at: m.at, what: m.sentence}));
  for (const r of rows) if (r.moves) list.push(...movesOf(r, from, to));
  return list.sort((a, b) => b.at - a.at).slice(0, mostChanges);
}

// movesOf are the ways of one channel from a rest to the next, and its gaps.
function movesOf(r: Row, from: number, to: number): Change[] {
  const list: Change[] = [];
  let rest = notHeard; // where it stood last
  let stands = 0; // for so many columns
  let at = notHeard; // where it stands now
  let began = -1; // the column in which it left
  for (let k = from; k < to; k++) {
    r.tap.range(k, k + 1, r.index, out);
    const [least = notHeard, most = notHeard] = out;
    if (least === notHeard) {
      [stands, at] = [0, notHeard];
      continue;
    }
    const still = at !== notHeard && most - least < near && Math.abs(most - at) < near;
    stands = still ? stands + 1 : 1;
    if (!still) at = most;
    if (!still && rest !== notHeard && began < 0 && Math.abs(most - rest) >= near) began = k;
    if (stands < rested) continue;
    if (rest !== notHeard && Math.abs(at - rest) >= near) {
      list.push({at: Math.max(from, began) * step, what: `${r.name} from ${widthText(rest, rest)} to ${widthText(at, at)}`});
    }
    [rest, began] = [at, -1];
  }
  if (began >= 0) list.push({at: began * step, what: `${r.name} moves, from ${widthText(rest, rest)}`});
  return list;
}

// changesTable has those of the moments [from, to), ns.
export function changesTable(rows: Row[], marks: Mark[], from: number, to: number): TemplateResult {
  const list = changesOf(rows, marks, Math.floor(from / step), Math.floor(to / step));
  return html`<table>
    <caption>${clock(Math.max(0, from))} to ${clock(to)}, the latest first</caption>
    <thead><tr><th scope="col">time</th><th scope="col">what</th></tr></thead>
    <tbody>${list.map((l) => html`<tr><td>${clock(l.at, 1)}</td><td>${l.what}</td></tr>`)}</tbody>
  </table>`;
}
