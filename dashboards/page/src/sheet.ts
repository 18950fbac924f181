// The sheet, with a verdict for each of its lines.
import {html, type TemplateResult} from './html';
import type {Store} from './store';
import {verdictShape} from './verdict';

export function sheet(s: Store): TemplateResult {
  return html`<ul class="claims">
    ${[...s.claims.values()].map((c) => html`<li>${verdictShape(c.verdict)} <span>${c.sentence}</span></li>`)}
  </ul>`;
}
