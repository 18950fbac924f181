// The one line on top: the present in words, wrong things first. It is read from two metres.
import {html, nothing, type TemplateResult} from './html';
import type {Store} from './store';
import type {Part} from './types';

// first are the parts of the upper row, in their order; the others stand below, smaller.
const first = ['wrong', 'recorder', 'late', 'listening', 'mode', 'throttle', 'gain', 'link'];

// nowhere are parts that the sheet has on its own lines.
const nowhere = ['outputs'];

// awaited says that a loss of the signal is what the drill asked for.
export function headline(s: Store, awaited: boolean): TemplateResult {
  if (s.gone || !s.now) return html`<p class="headline wrong" role="alert">${silent(s)}</p>`;
  silentSince = '';
  const parts = s.now.headline.filter((p) => !nowhere.includes(p.part));
  const trouble = parts.filter((p) => p.grade !== 'plain');
  const plain = parts.filter((p) => p.grade === 'plain');
  const upper = first.flatMap((name) => plain.filter((p) => p.part === name));
  const lower = plain.filter((p) => !first.includes(p.part));
  return html`
    <ul class="headline">
      ${[...(trouble.length > 0 ? worst(trouble) : tally(s)), ...upper].map((p) => big(p, awaited))}
      <li class="besides">
        <ul>
          ${lower.map((p) => html`<li>${p.text}</li>`)}
        </ul>
      </li>
    </ul>
    <p class="unseen" role="status">${spoken(s)}</p>
    <p class="unseen" role="alert">${trouble.filter((p) => p.part === 'link').map((p) => p.text)}</p>
  `;
}

let silentSince = ''; // the time of day, '' while the daemon answers

// silent is said in place of all values while the daemon does not answer.
function silent(s: Store): string {
  if (s.heard === 0) return 'Waiting for benchproof.';
  silentSince ||= new Date(Date.now() - s.silence * 1000).toLocaleTimeString();
  return `benchproof has not answered since ${silentSince}. What is below is old.`;
}

// worst puts what is wrong before what is only trouble.
function worst(parts: Part[]): Part[] {
  return [...parts.filter((p) => p.grade === 'wrong'), ...parts.filter((p) => p.grade === 'trouble')];
}

// tally stands where nothing is wrong, so that the line keeps its length.
function tally(s: Store): Part[] {
  const all = [...s.claims.values()];
  if (all.length === 0) return [];
  const right = all.filter((c) => c.verdict === 'seen right').length;
  return [{part: 'tally', text: `${right} of ${all.length} seen right`, grade: 'plain'}];
}

// big is a part as a word above and a large one below.
function big(p: Part, awaited: boolean): TemplateResult {
  const [label, named] = split(p);
  const asked = awaited && p.part === 'link' && p.grade !== 'plain';
  const value = asked ? `${named}, as the drill asks` : named;
  return html`<li class=${`part ${p.part} ${p.grade} ${asked ? 'awaited' : ''}`}>
    ${label === '' ? nothing : html`<span class="label">${label} </span>`}<span class="value">${p.part === 'wrong' ? html`<a href="#sheet">${value}</a>` : value}</span>
  </li>`;
}

// split takes the name of what is said off the front of it.
function split(p: Part): [string, string] {
  const at = p.text.indexOf(' ');
  switch (p.part) {
    case 'mode':
      return ['asked for', p.text];
    case 'throttle':
    case 'gain':
      return [p.text.slice(0, at), p.text.slice(at + 1)];
    case 'wrong':
    case 'tally':
      return ['claims', p.text];
    case 'link':
    case 'board':
      return ['link', p.text];
  }
  return ['', p.text];
}

// settled is for how long something stands until it is said, ms: a switch on its way says nothing.
const settled = 1200;

let said = '';
let heard = '';
let since = 0;

// spoken is what a screen reader says when it changes.
function spoken(s: Store): string {
  const parts = [...(s.now?.headline.filter((p) => ['wrong', 'mode', 'link'].includes(p.part)) ?? [])];
  const now = parts.map((p) => (p.part === 'mode' ? `asked for: ${p.text}` : p.text)).join(', ');
  if (now !== heard) {
    heard = now;
    since = performance.now();
  }
  if (performance.now() - since >= settled) said = heard;
  return said;
}
