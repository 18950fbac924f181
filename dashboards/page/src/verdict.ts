// A verdict as a shape and its word: colour says it once more, and never alone.
import {html, svg, type TemplateResult} from './html';
import type {Claim, Verdict} from './types';

const shapes: Record<Verdict, TemplateResult> = {
  'seen right': svg`<circle cx="8" cy="8" r="7"/><path class="sign" d="M4.5 8.5l2.5 2.5 4.5-5.5"/>`,
  'seen wrong': svg`<path d="M8 .8L15.6 14.6H.4z"/><path class="sign" d="M8 5v5M8 11.6v1.6"/>`,
  open: svg`<circle class="ring" cx="8" cy="8" r="6"/>`,
  stale: svg`<circle class="ring" cx="8" cy="8" r="6"/><path d="M8 2a6 6 0 0 0 0 12z"/>`,
};

export function verdictShape(v: Verdict): TemplateResult {
  return html`<span class=${'verdict ' + v.replace(' ', '-')}
    ><svg viewBox="0 0 16 16" aria-hidden="true">${shapes[v]}</svg><span class="word">${v}</span></span
  >`;
}

// sentence is that of a claim. What stands behind the first colon of one that was seen wrong is what to
// do about it, or why, and is set apart.
export function sentence(c: Claim): TemplateResult {
  const at = c.verdict === 'seen wrong' ? c.sentence.indexOf(': ') + 1 : 0;
  if (at === 0) return html`<span>${c.sentence}</span>`;
  return html`<span>${c.sentence.slice(0, at)} <strong>${c.sentence.slice(at + 1)}</strong></span>`;
}

const gravity: Verdict[] = ['seen wrong', 'open', 'stale', 'seen right'];

// byGravity has what was seen wrong first, and what was seen right last.
export function byGravity(claims: Claim[]): Claim[] {
  return claims.toSorted((a, b) => gravity.indexOf(a.verdict) - gravity.indexOf(b.verdict));
}
