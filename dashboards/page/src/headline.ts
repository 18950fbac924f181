// The one line on top: the present in words, wrong things first. It is read from two metres.
import {html, nothing, type TemplateResult} from './html';
import type {Store} from './store';
import type {Part} from './types';

// asked are the parts of the lower row, in their order; what does not fit there is folded away.
const asked = ['listening', 'mode', 'throttle', 'gain'];

// nowhere are parts that the sheet has on its own lines.
const nowhere = ['outputs'];

let open = false; // nothing is folded away

// headline is two rows: what is wrong, and the link; and what the switches ask for. awaited says that a
// loss of the signal is what the drill asked for. While the daemon is silent that is said in place of both; the
// button stays, or a keyboard that is on it would lose its place.
export function headline(s: Store, awaited: boolean): TemplateResult {
  const now = s.gone ? undefined : s.now;
  if (now) silentSince = '';
  const parts = now?.headline.filter((p) => !nowhere.includes(p.part)) ?? [];
  const trouble = parts.filter((p) => p.grade !== 'plain');
  const plain = parts.filter((p) => p.grade === 'plain');
  const link = plain.filter((p) => p.part === 'link');
  const first = asked.flatMap((name) => plain.filter((p) => p.part === name));
  const rest = plain.filter((p) => p.part !== 'link' && !asked.includes(p.part));
  return html`
    <div class=${'headline' + (open ? ' open' : '')}>
      ${now
        ? html`<ul class="wrongs">
              ${[...(trouble.length > 0 ? together(worst(trouble)) : tally(s)), ...link].map((p) => big(p, awaited, modeIs(s)))}
            </ul>
            <ul class="asked" id="asked">
              ${first.map((p) => big(p, awaited, modeIs(s)))} ${rest.map((p) => html`<li class="part rest">${p.text}</li>`)}
            </ul>`
        : html`<p class=${s.heard === 0 ? '' : 'wrong'} role="alert">${silent(s)}</p>`}
      <button class="fold" aria-expanded=${open} aria-controls=${now ? 'asked' : nothing} aria-label="All that is so now" @click=${() => fold(s)}></button>
    </div>
    <p class="unseen" role="status">${now ? spoken(s) : nothing}</p>
    <p class="unseen" role="alert">${trouble.filter((p) => p.part === 'link').map((p) => p.text)}</p>
  `;
}

function fold(s: Store): void {
  open = !open;
  s.changed();
}

// together names taps of which the same is said in one breath, as 'main, leads SILENT'.
function together(parts: Part[]): Part[] {
  const list: Part[] = [];
  for (const p of parts) {
    const [name = '', ...rest] = p.text.split(' ');
    const same = list.findIndex((x) => ofTap(x) && ofTap(p) && x.grade === p.grade && x.text.endsWith(' ' + rest.join(' ')));
    const before = list[same];
    if (before) list[same] = {...before, text: before.text.replace(' ' + rest.join(' '), `, ${name} ${rest.join(' ')}`)};
    else list.push(p);
  }
  return list;
}

function ofTap(p: Part): boolean {
  return p.part === 'link' || p.part === 'board';
}

let silentSince = ''; // the time of day, '' while the daemon answers

// silent is said in place of all values while the daemon does not answer.
function silent(s: Store): TemplateResult | string {
  if (s.heard === 0) return 'Waiting for benchproof.';
  silentSince ||= new Date(Date.now() - s.silence * 1000).toLocaleTimeString();
  return html`benchproof has not answered since ${silentSince}. <small>What is below is old. Look at its computer; this page goes on by itself.</small>`;
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
function big(p: Part, awaited: boolean, modeIs: string): TemplateResult {
  const [label, named] = split(p, modeIs);
  const wanted = awaited && p.part === 'link' && p.grade !== 'plain';
  return html`<li class=${`part ${p.part} ${p.grade} ${wanted ? 'awaited' : ''}`}>
    ${label === '' ? nothing : html`<span class="label">${label} </span>`}<span class="value">${p.part === 'wrong' ? html`<a href="#sheet">${named}</a>` : named}</span
    >${wanted ? html`<span class="why">, as the drill asks</span>` : nothing}
  </li>`;
}

// modeIs says who chose the mode: a receiver in failsafe does so by itself.
function modeIs(s: Store): string {
  return s.now?.taps.some((t) => t.condition === 'failsafe') ? 'set by failsafe' : 'asked for';
}

// split takes the name of what is said off the front of it.
function split(p: Part, modeIs: string): [string, string] {
  const at = p.text.indexOf(' ');
  switch (p.part) {
    case 'mode':
      return [modeIs, p.text];
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
  const now = parts.map((p) => (p.part === 'mode' ? `${modeIs(s)}: ${p.text}` : p.text)).join(', ');
  if (now !== heard) {
    heard = now;
    since = performance.now();
  }
  if (performance.now() - since >= settled) said = heard;
  return said;
}
