// What to do next: what would settle most first.
import {hold} from './hold';
import {html, nothing, type TemplateResult} from './html';
import {lineLink} from './opened';
import type {Store} from './store';
import type {Next} from './types';
import {counted} from './words';

// fewest is how many steps are shown until all are asked for.
const fewest = 4;

let all = false;

export function next(s: Store): TemplateResult | typeof nothing {
  if (s.claims.size === 0) return nothing;
  const steps = hold('next', s.next);
  const doing = steps.filter((n) => !n.waits);
  const shown = all ? doing : doing.slice(0, fewest);
  const more = doing.length - shown.length;
  return html`<section class="next" aria-labelledby="title-next">
    <h2 id="title-next">What next</h2>
    ${steps.length === 0 ? done(s) : mendFirst(s)}
    <ol>
      ${shown.map((n) => html`<li>${step(s, n)}</li>`)}
    </ol>
    ${more > 0 || all
      ? html`<button class="more" aria-expanded=${all} @click=${() => toggle(s)}>${all ? 'Fewer' : `${more} more`}</button>`
      : nothing}
    ${steps.filter((n) => n.waits).map((n) => html`<p class="waits">${n.do} (${counted(n.claims.length, 'claim')})</p>`)}
  </section>`;
}

// mendFirst comes before all that would settle more: what is wrong may make the next thing wrong too.
function mendFirst(s: Store): TemplateResult | typeof nothing {
  const wrong = [...s.claims.values()].filter((c) => c.verdict === 'seen wrong').length;
  return wrong === 0 ? nothing : html`<p class="mend-first">First mend what is seen wrong (${counted(wrong, 'claim')}), then:</p>`;
}

function toggle(s: Store): void {
  all = !all;
  s.changed();
}

// step is one thing to do, with the claims behind it.
function step(s: Store, n: Next): TemplateResult {
  return html`<div class="step">${link(n)}${what(s, n)}</div>`;
}

// link leads to the drill that is to be done, without a further touch.
function link(n: Next): TemplateResult | typeof nothing {
  return n.drill === '' ? nothing : html`<a class="button" href=${`#drill/${n.drill}`} aria-label=${`Begin drill ${n.drill}`}>Begin</a>`;
}

// what is a step and the claims that it settles; one that brings a tap back settles none by itself.
function what(s: Store, n: Next): TemplateResult {
  if (n.claims.length === 0) return html`<p class="do">${n.do}</p>`;
  return html`<details>
    <summary><span class="do">${words(n)}</span> <span class="settles">settles ${counted(n.claims.length, 'claim')}</span></summary>
    <ul>
      ${n.claims.map((id) => html`<li>${lineLink(s, lineOf(s, id), html`${s.claims.get(id)?.sentence ?? id}`)}</li>`)}
    </ul>
  </details>`;
}

function lineOf(s: Store, id: string): number {
  return s.sheet?.claims.find((c) => c.claim === id)?.line ?? 0;
}

// words are what to do, with the controls set apart.
function words(n: Next): TemplateResult {
  const names = n.drill === '' ? n.settings.map((x) => x.channel) : [n.drill];
  return html`${n.do.split(' ').map((word, i) => {
    const space = i > 0 ? ' ' : '';
    return names.includes(word) ? html`${space}<em>${word}</em>` : html`${space}${word}`;
  })}`;
}

function done(s: Store): TemplateResult {
  const wrong = [...s.claims.values()].some((c) => c.verdict === 'seen wrong');
  return html`<p>
    ${wrong
      ? 'Mend what was seen wrong, and have it seen anew.'
      : 'Every claim of the sheet that can be seen right was. That is evidence about the set-up, not a clearance to fly.'}
  </p>`;
}
