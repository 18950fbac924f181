// A claim that was seen wrong: its sentence with the remedy, the way to its evidence, and beside it the
// touch that has it seen anew.
import {anew} from './anew';
import {html, type TemplateResult} from './html';
import {lineLink} from './opened';
import type {Store} from './store';
import type {Claim} from './types';
import {sentence, verdictShape} from './verdict';

export function wrongOne(s: Store, c: Claim): TemplateResult {
  const fixed = s.sheet?.claims.find((f) => f.claim === c.claim);
  const number = fixed?.line ?? 0;
  return html`<div class="wrong-one">
    ${lineLink(s, number, html`${verdictShape(c.verdict)} ${sentence(c)} <span class="to">line ${number}: evidence</span>`)}
    ${anew(s, fixed?.reopens ?? '')}
  </div>`;
}
