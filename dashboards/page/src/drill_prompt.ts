// The drill under way: its cautions, then one prompt after the other, for eyes two metres away.
import {focusSoon, needsToken, type Desk} from './desk';
import type {Running} from './drills';
import {html, nothing, type TemplateResult} from './html';
import {keyWord} from './key_word';
import {onPage} from './prompt_words';
import {slipped} from './slipped';
import {waiting} from './waiting';
import {walked} from './walked';

const cantStop = 'This tool can’t stop a motor: it only listens.';

type Part = TemplateResult | typeof nothing;

export function underWay(d: Desk, r: Running): TemplateResult {
  const whose = r.by === '' ? '' : `, followed by ${r.by}`;
  const place = r.prompt ? `prompt ${r.prompt.number} of ${r.prompts}` : `${r.prompts} prompts`;
  const title = html`<p class="place"><strong>Drill ${r.drill}: ${place}${whose}</strong></p>`;
  return html`<section aria-label=${`Drill ${r.drill}`}>
    ${!r.confirmed
      ? html`${title} ${cautions(d, r)}`
      : html`<div class="stage">${title} ${prompt(d, r)} ${d.may && d.drills.mine ? answers(d) : takeOver(d, r)}</div>`}
    ${slipped(d, r)} ${seen(r)} ${walked(r.walk)}
  </section>`;
}

function cautionList(r: Running): TemplateResult {
  return html`<ul class="cautions">
    ${r.cautions.map((c) => html`<li>${c}</li>`)}
  </ul>`;
}

function cautions(d: Desk, r: Running): TemplateResult {
  const confirm = (e: Event): void => {
    e.preventDefault();
    if (d.yes.trim().toLowerCase() !== 'yes') return;
    d.yes = '';
    d.cues.unlock();
    if (!d.drills.mine) d.drills.goOn();
    void d.drills.put('confirm');
    focusSoon('.answers button');
  };
  return html`<h2 class="before" tabindex="-1">Before it begins, all of this must be so</h2>
    ${cautionList(r)}
    ${!d.may
      ? html`<p>${needsToken}</p>`
      : html`<form class="row" @submit=${confirm}>
          <label class="grow"
            >Type yes if all of it is so
            <input class="yes" required pattern="\\s*[yY][eE][sS]\\s*" title="yes" autocomplete="off" autocapitalize="none" .value=${d.yes} @input=${(e: Event) => d.typed('yes', e)} />
          </label>
          <button ?disabled=${d.drills.busy}>It is so: begin</button>
          <button type="button" @click=${() => void d.drills.put('abandon')}>Leave it</button>
        </form>`}`;
}

// prompt is what is read from two metres away: the key word over the whole width, what to do
// below it, and how long it lasts.
function prompt(d: Desk, r: Running): TemplateResult {
  const p = d.drills.standing;
  const left = d.drills.left;
  return html`<div class="prompt">
    ${left === undefined ? nothing : html`<p class="count"><span class="figure">${secondsLeft(left)}</span> until the next comes by itself</p>`}
    <div aria-live="assertive" aria-atomic="true">
      ${keyWord(p?.key ?? '')}
      <p class="do">${r.prompt ? onPage(r.prompt.text) : 'The last prompt is answered.'}</p>
      ${r.hints.length === 0 ? nothing : html`<p class="hint">${onPage(r.hints.at(-1) ?? '')}</p>`}
    </div>
    ${waiting(d.drills)}
  </div>`;
}

function secondsLeft(seconds: number): string {
  const whole = Math.ceil(seconds);
  if (whole < 100) return `${whole} s`;
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, '0')}`;
}

function takeOver(d: Desk, r: Running): Part {
  if (!d.may) return html`<p>${needsToken}</p>`;
  const goOn = (): void => {
    d.cues.unlock();
    d.drills.goOn();
    focusSoon('.answers button');
  };
  return html`<details class="takeover">
    <summary>This drill was begun elsewhere. To go on with it here</summary>
    <p>All of this must be so, now as before:</p>
    ${cautionList(r)}
    <p class="row"><button @click=${goOn}>It is so: go on here</button> ${end(d)}</p>
  </details>`;
}

// answers is what the person at the page can do at a prompt.
function answers(d: Desk): TemplateResult {
  const p = d.drills.standing;
  const again = d.drills.plan(d.drills.running?.drill ?? '')?.again;
  return html`<div class="answers">
    <div class="answer">${p ? answer(d) : nothing}</div>
    <p class="row">
      ${again && p
        ? html`<button ?disabled=${d.drills.busy} @click=${() => void d.drills.put('repeat')}>Repeat</button>
            <button ?disabled=${d.drills.busy || d.drills.running?.prompt?.number === 1} @click=${() => void d.drills.put('back')}>Back</button>`
        : nothing}
      ${end(d)}
    </p>
  </div>`;
}

function end(d: Desk): TemplateResult {
  const abandon = (): void => {
    void d.drills.put('abandon');
    focusSoon('#result-title');
  };
  return html`<button class="end" @click=${abandon}>End drill</button> <span class="cant">${cantStop}</span>`;
}

function answer(d: Desk): Part {
  const p = d.drills.standing;
  const done = (label: string, big: boolean): TemplateResult =>
    html`<button class=${big ? 'done' : ''} ?disabled=${d.drills.busy} @click=${() => void d.drills.put('done')}>${label}</button>`;
  if (!p) return nothing;
  if (p.answers === 'words' || p.answers === 'marks') return inWords(d, p.answers === 'marks');
  if (p.hands)
    return html`<p class="row"><span class="grow">Both hands: touch nothing here, it goes on by itself.</span> ${done('A helper: done', false)}</p>`;
  if (p.early !== '')
    return html`<p class="row"><span class="grow">It goes on by itself. Go on early, and ${p.early}:</span> ${done('Go on early', false)}</p>`;
  if (p.held) return html`<p>It goes on by itself.</p>`;
  if (p.answers === 'wire')
    return html`<p class="row"><span class="grow">It goes on once the bus shows it.</span> ${done('Done', false)}</p>`;
  return done('Done', true);
}

function inWords(d: Desk, marks: boolean): TemplateResult {
  const send = (e: Event): void => {
    e.preventDefault();
    const words = d.words.trim();
    if (words === '') return;
    d.words = '';
    void d.drills.put('done', words);
  };
  return html`<form class="row" @submit=${send}>
    <label class="grow"
      >${marks ? 'Distance of the mark, such as 30 m' : 'Your words, for the record'}
      <input required maxlength="120" autocomplete="off" .value=${d.words} @input=${(e: Event) => d.typed('words', e)} />
    </label>
    <button ?disabled=${d.drills.busy}>${marks ? 'Stand still here' : 'Say it'}</button>
    <button type="button" ?disabled=${d.drills.busy} @click=${() => void d.drills.put('done')}>
      ${marks ? 'Walk on; once more: end the walk' : 'Leave it unsaid'}
    </button>
  </form>`;
}

// seen is what the wire did at the latest prompts.
function seen(r: Running): Part {
  const latest = r.said.filter((x) => x.what !== 'hint').slice(-3).reverse();
  if (latest.length === 0) return nothing;
  return html`<h3>Seen</h3>
    <ul class="plain" role="log">
      ${latest.map((x) => html`<li>${x.text}</li>`)}
    </ul>`;
}
