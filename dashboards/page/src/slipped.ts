// What was seen wrong while a drill runs, and how it is seen anew where a hand slipped.
import {reopen} from './anew';
import type {Desk} from './desk';
import type {Running} from './drills';
import {html, nothing, type TemplateResult} from './html';
import {verdictShape} from './verdict';

// slipped offers to see anew what was just seen wrong: it may have been a hand.
export function slipped(d: Desk, r: Running): TemplateResult | typeof nothing {
  if (r.wrong.length === 0) return nothing;
  const back = d.drills.plan(r.drill)?.again === true && (r.prompt?.number ?? 1) > 1;
  const anew = async (what: string): Promise<void> => {
    await reopen(d.s, what);
    if (back) await d.drills.put('back');
  };
  return html`<h3>Seen wrong in this drill</h3>
    <ul class="plain claims">
      ${r.wrong.map(
        (c) => html`<li>
          ${verdictShape('seen wrong')} <span>${c.sentence}</span>
          ${c.reopens !== '' && d.may && d.drills.mine
            ? html`<button @click=${() => void anew(c.reopens)}>My hand slipped: see ${c.reopens} anew${back ? ', and go back' : ''}</button>`
            : nothing}
        </li>`,
      )}
    </ul>`;
}
