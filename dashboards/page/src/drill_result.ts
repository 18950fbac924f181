// What came of a drill: what is wrong, by name and with its remedy, and the next step.
import {needsToken, type Desk} from './desk';
import type {DrillClaim, Ended} from './drills';
import {html, nothing, type TemplateResult} from './html';
import {verdictShape} from './verdict';
import {walked} from './walked';
import {wrongOne} from './wrong_one';

type Part = TemplateResult | typeof nothing;

export function result(d: Desk, e: Ended): TemplateResult {
  return html`<section class="result" aria-labelledby="result-title">
    <h2 id="result-title" tabindex="-1">Drill ${e.drill} ${e.how}</h2>
    <div role="status">
      ${[e.why, e.then, e.right_now, e.undecided].map((x) => (x === '' ? nothing : html`<p>${x}</p>`))}
    </div>
    ${wrong(d, e)} ${nextStep(d, e)} ${open(d, e)}
    ${e.others === '' ? nothing : html`<p>${e.others}</p>`} ${claims(d, e.elsewhere)}
    ${walked(e.walk)}
  </section>`;
}

function wrong(d: Desk, e: Ended): Part {
  if (e.wrong.length === 0) return nothing;
  return html`<div class="wrong-ones">
    <h3>Seen wrong</h3>
    ${claims(d, e.wrong)}
    ${e.more.wrong > 0 ? html`<p>And ${e.more.wrong} more; the <a href="#sheet">sheet</a> has them.</p>` : nothing}
  </div>`;
}

function claims(d: Desk, list: DrillClaim[]): Part {
  if (list.length === 0) return nothing;
  return html`<ul>
    ${list.map((c) => html`<li>${one(d, c)}</li>`)}
  </ul>`;
}

// one is a claim as it is now: it may have been asked to be seen anew since.
function one(d: Desk, c: DrillClaim): TemplateResult {
  const claim = d.s.claims.get(c.claim);
  return claim?.verdict === 'seen wrong' ? wrongOne(d.s, claim) : html`${verdictShape(claim?.verdict ?? 'open')} ${claim?.sentence ?? c.sentence}`;
}

// nextStep is one thing to do, large; and what else could be done.
function nextStep(d: Desk, e: Ended): TemplateResult {
  const again = {unfinished: 'once more, from its first prompt', 'after the change': 'after the change, once more', '': ''}[e.next.again];
  const steps: [drill: string, words: string][] = [];
  if (again !== '') steps.push([e.drill, `${e.drill} ${again}`]);
  if (e.next.drill !== '' && e.next.again !== 'unfinished') steps.push([e.next.drill, `drill ${e.next.drill}`]);
  const step = ([drill, words]: [string, string], n: number): TemplateResult =>
    d.may
      ? html`<button class=${n === 0 ? 'done' : ''} @click=${() => d.choose(drill)}>${words}</button>`
      : html`<span class=${n === 0 ? 'step' : ''}>${words}</span>`;
  return html`<p class="row next-step">
    <strong>Next:</strong>
    ${steps.map(step)}
    ${steps.length === 0 ? html`no drill is left with an open claim. <a class="button" href="#sheet">To the sheet</a>` : nothing}
    ${steps.length > 0 && !d.may ? html`<span class="note">${needsToken}</span>` : nothing}
  </p>`;
}

function open(d: Desk, e: Ended): Part {
  const all = e.open.length + e.more.open + e.more.stale;
  if (all === 0) return nothing;
  const {open, stale} = e.more;
  const more = [open && `${open} more open`, stale && `${stale} more stale`].filter((x) => x !== 0);
  return html`<details>
    <summary>${all} still to be seen</summary>
    <ul class="plain claims">
      ${e.open.map((c) => html`<li>${verdictShape(d.s.claims.get(c.claim)?.verdict ?? 'open')} <span>${c.sentence}</span></li>`)}
    </ul>
    ${more.length === 0 ? nothing : html`<p>And ${more.join(', ')}; the <a href="#sheet">sheet</a> lists them.</p>`}
  </details>`;
}
