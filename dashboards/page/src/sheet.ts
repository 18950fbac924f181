// The sheet: its own lines in their order, each with its verdict, what is so now, and its evidence.
import {evidence} from './evidence';
import {hold} from './hold';
import {html, nothing, type TemplateResult} from './html';
import {next} from './next';
import {heedAddress, isOpen, toggle} from './opened';
import {reading} from './reading';
import type {Store} from './store';
import type {Claim, Sheet, SheetClaim, SheetLine, Verdict} from './types';
import {strip} from './strip';
import {byGravity, verdictShape} from './verdict';
import {micros} from './words';
import {wrongOne} from './wrong_one';

export function sheet(s: Store): TemplateResult {
  const of = s.sheet;
  if (!of || !s.now) return html`<p>The sheet is on its way.</p>`;
  const fixed = new Map(of.claims.map((c) => [c.claim, c]));
  heedAddress(s);
  return html`<div class="sheet-view">
    <div class="beside">${wrongOnes(s)} ${next(s)}</div>
    <div class="strip-and-sheet">
      ${strip(s)}
      <section aria-labelledby="title-lines">
        <h2 id="title-lines">${of.name}</h2>
        ${of.claims.length === 0 ? channels(s) : nothing}
        <ol class="lines">
          ${said(of).map((l, i, all) => html`<li id=${`line-${l.number}`} class=${place(l, all[i + 1])}>${line(s, l, fixed)}</li>`)}
        </ol>
      </section>
    </div>
  </div>`;
}

// said are the lines that say something.
function said(of: Sheet): SheetLine[] {
  return of.lines.filter((l) => l.says !== '');
}

// depth is how far a line is set in, in levels.
function depth(l: SheetLine): number {
  return Math.min(5, Math.floor((l.says.length - l.says.trimStart().length) / 2));
}

// place is how a line stands among the others: how far in, and whether a section begins with it.
function place(l: SheetLine, below: SheetLine | undefined): string {
  const begins = depth(l) === 0 && below !== undefined && depth(below) > 0;
  return `in-${depth(l)}` + (begins ? ' section' : '');
}

function line(s: Store, l: SheetLine, fixed: Map<string, SheetClaim>): TemplateResult {
  const claims = l.claims.flatMap((id) => s.claims.get(id) ?? []);
  const text = html`<code><span class="at" aria-hidden="true">${l.number}</span>${l.says.trim()}</code>`;
  const now = html`<span class="now">${reading(s, l.reads)}</span>`;
  if (claims.length === 0) return html`<div class="line">${text} ${now}</div>`;
  const open = isOpen(l.number);
  const id = `evidence-${l.number}`;
  return html`
    <button class="line" aria-expanded=${open} aria-controls=${id} @click=${() => toggle(s, l.number)}>
      ${text} ${verdictShape(verdictOf(claims, fixed))}<span class="count">${count(claims)}</span> ${now}
    </button>
    <div id=${id} class="evidence" ?hidden=${!open}>
      ${open ? evidence(s, hold(id, claims), fixed) : nothing}
    </div>
  `;
}

// verdictOf is the gravest of a line's claims; one that can never be seen right keeps nothing open.
function verdictOf(claims: Claim[], fixed: Map<string, SheetClaim>): Verdict {
  const counts = claims.filter((c) => c.verdict !== 'open' || !fixed.get(c.claim)?.only_wrong);
  return byGravity(counts)[0]?.verdict ?? 'open';
}

// count is how many of several claims were seen right.
function count(claims: Claim[]): string {
  if (claims.length < 2) return '';
  return `${claims.filter((c) => c.verdict === 'seen right').length} of ${claims.length} right`;
}

// wrongOnes are the claims that were seen wrong, as links to their lines.
function wrongOnes(s: Store): TemplateResult | typeof nothing {
  const wrong = hold('wrong', [...s.claims.values()].filter((c) => c.verdict === 'seen wrong'));
  if (wrong.length === 0) return nothing;
  return html`<section class="wrong-ones" aria-labelledby="title-wrong">
    <h2 id="title-wrong">Seen wrong</h2>
    <ul>
      ${wrong.map((c) => html`<li>${wrongOne(s, c)}</li>`)}
    </ul>
  </section>`;
}

// channels are those that are heard where no sheet says what they are.
function channels(s: Store): TemplateResult | typeof nothing {
  const taps = s.gone ? [] : (s.now?.taps.filter((t) => t.channels.length > 0) ?? []);
  return html`${taps.map(
    (t) => html`<table class="channels">
      <caption>${t.name}: what its channels are at</caption>
      <tbody>
        ${t.channels.map((c) => html`<tr><th scope="row">channel ${c.number}</th><td>${c.width_ns > 0 ? micros(c.width_ns) : c.count}</td></tr>`)}
      </tbody>
    </table>`,
  )}`;
}
