// The drills: their list, the one under way, and what came of the last.
import {cuesSwitch} from './cues';
import {focusSoon, needsToken, type Desk} from './desk';
import {underWay} from './drill_prompt';
import {result} from './drill_result';
import type {Drill} from './drills';
import {html, nothing, type TemplateResult} from './html';
import {wakeNote} from './wake';

export function drill(d: Desk): TemplateResult {
  const {drills} = d;
  if (!drills.shown) return html`<p>Waiting for the list of drills.</p>`;
  return html`<div class="drill">
    <div class="head"><h2>Drills</h2> ${cuesSwitch(d.cues)}</div>
    ${wakeNote(d.wake)}
    ${drills.refusal === '' ? nothing : html`<p class="trouble" role="alert">${drills.refusal}</p>`}
    ${drills.running ? underWay(d, drills.running) : html`${drills.shown.ended ? result(d, drills.shown.ended) : nothing} ${list(d)}`}
  </div>`;
}

// underWayFlag leads from every view to the drill under way.
export function underWayFlag(d: Desk): TemplateResult | typeof nothing {
  const r = d.drills.running;
  return r ? html`<a class="flag" href="#drill">Drill ${r.drill} is under way</a>` : nothing;
}

function list(d: Desk): TemplateResult {
  const all = d.drills.shown?.drills ?? [];
  if (all.length === 0) return html`<p>There is no drill: the sheet has no sticks, no knob and no wanted modes, or there is no sheet.</p>`;
  return html`${d.may ? nothing : html`<p>${needsToken}</p>`}
    <ul class="plain drills">
      ${all.map((p) => html`<li>${entry(d, p)}</li>`)}
    </ul>`;
}

function entry(d: Desk, p: Drill): TemplateResult {
  const begin = (): void => {
    d.cues.unlock();
    d.choose('');
    void d.drills.begin(p.name, d.by.trim());
    focusSoon('.drill .before');
  };
  return html`<div class="row">
      <div class="grow">
        <h3>${p.name}</h3>
        <p>${p.purpose}</p>
        <p class="note">${p.prompts.length} prompts; ${counts(p)}</p>
      </div>
      ${d.may && d.chosen !== p.name ? html`<button aria-label=${`Begin ${p.name}`} @click=${() => d.choose(p.name)}>Begin</button>` : nothing}
    </div>
    ${d.chosen !== p.name
      ? nothing
      : html`<div class="row chosen">
          <label class="grow"
            >Who follows the prompts, for the record, if you like
            <input maxlength="40" autocomplete="off" .value=${d.by} @input=${(e: Event) => d.typed('by', e)} />
          </label>
          <button @click=${begin} ?disabled=${d.drills.busy}>To its cautions</button>
          <button @click=${() => d.choose('')}>Not now</button>
        </div>`}`;
}

function counts(p: Drill): string {
  const {right, wrong, open, stale} = p.claims;
  const all = right + wrong + open + stale;
  if (all === 0) return 'no claim waits for it';
  const parts = [right && `${right} seen right`, wrong && `${wrong} SEEN WRONG`, open && `${open} open`, stale && `${stale} stale`];
  return `${all} claims: ${parts.filter((x) => x !== 0).join(', ')}`;
}
