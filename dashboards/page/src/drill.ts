// The drills: their list, the one under way for eyes two metres away, and what came of the last.
import {post, Refused} from './api';
import {cuesSwitch, type Cues} from './cues';
import type {Drill, DrillClaim, Drills, Ended, Running, WalkMark} from './drills';
import {html, nothing, svg, type TemplateResult} from './html';
import type {Store} from './store';
import {verdictShape} from './verdict';
import {wakeNote, type Wake} from './wake';
import {onPage} from './prompt_words';

const cantStop = 'This tool can’t stop a motor: it only listens.';
const needsToken = 'This page may only look. Leading a drill needs the token that benchproof was started with.';

type Part = TemplateResult | typeof nothing;

// Desk is what the view of the drills works with, and what a person has typed there.
export class Desk {
  chosen = ''; // the drill of the list that is about to begin
  yes = '';
  by = '';
  words = '';
  said = ''; // what came of a reopening
  private looked = ''; // the prompt that was looked at last

  constructor(
    readonly s: Store,
    readonly drills: Drills,
    readonly cues: Cues,
    readonly wake: Wake,
  ) {
    drills.on((shown) => {
      wake.want(shown.running !== undefined);
      this.looks(shown.running?.prompt);
    });
    addEventListener('hashchange', () => this.named());
    addEventListener('keydown', (e) => this.key(e));
    this.named();
  }

  // looks brings a prompt that is new right below the line on top, so that all of it is read on a
  // small screen too.
  private looks(prompt: Running['prompt']): void {
    const at = prompt ? `${prompt.id} ${prompt.since_ns}` : '';
    if (at === this.looked) return;
    this.looked = at;
    if (prompt && this.drills.mine) soon('.drill .prompt', (found) => found.scrollIntoView());
  }

  // key has an Enter that is for nothing else do what Done does.
  private key(e: KeyboardEvent): void {
    const p = this.drills.standing;
    const free = e.target === document.body || (e.target as HTMLElement).id === 'content';
    if (e.key !== 'Enter' || !free || !location.hash.startsWith('#drill') || !this.may || !this.drills.mine) return;
    if (p && !p.hands && p.answers !== 'words' && p.answers !== 'marks') void this.drills.put('done');
  }

  // named chooses the drill that the address names: #drill/NAME.
  private named(): void {
    const [view, name] = location.hash.split('/');
    if (view === '#drill' && name) this.choose(decodeURIComponent(name));
  }

  get may(): boolean {
    return this.s.hello?.change === true;
  }

  typed(what: 'yes' | 'by' | 'words', e: Event): void {
    this[what] = (e.target as HTMLInputElement).value;
    this.s.changed();
  }

  // choose opens a drill of the list, and brings it to where it is seen.
  choose(name: string): void {
    this.chosen = name;
    this.s.changed();
    if (name !== '') focusSoon('.chosen button');
  }

  async reopen(what: string): Promise<void> {
    try {
      await post('/api/reopen', {what});
      this.said = `What depends on ${what} is to be seen anew.`;
    } catch (e) {
      this.said = e instanceof Refused ? e.message : 'benchproof did not answer: it may not have taken that.';
    }
    this.s.changed();
  }
}

// soon does something to what is about to be drawn.
function soon(what: string, does: (found: HTMLElement) => void, pictures = 600): void {
  requestAnimationFrame(() => {
    const found = document.querySelector<HTMLElement>(what);
    if (found) does(found);
    else if (pictures > 0) soon(what, does, pictures - 1);
  });
}

// focusSoon gives the focus to it, so that who uses keys, or hears the page, is where it goes on.
function focusSoon(what: string): void {
  soon(what, (found) => found.focus({preventScroll: what.startsWith('.answers')}));
}

export function drill(d: Desk): TemplateResult {
  const {drills} = d;
  if (!drills.shown) return html`<p>Waiting for the list of drills.</p>`;
  return html`<div class="drill">
    ${cuesSwitch(d.cues)} ${wakeNote(d.wake)}
    ${drills.refusal === '' ? nothing : html`<p class="trouble" role="alert">${drills.refusal}</p>`}
    ${drills.running ? underWay(d, drills.running) : html`${drills.shown.ended ? result(d, drills.shown.ended) : nothing} ${list(d)}`}
  </div>`;
}

// underWayFlag leads from every view to the drill under way.
export function underWayFlag(d: Desk): Part {
  const r = d.drills.running;
  return r ? html`<a class="flag" href="#drill">Drill ${r.drill} is under way</a>` : nothing;
}

// The list.

function list(d: Desk): TemplateResult {
  const all = d.drills.shown?.drills ?? [];
  if (all.length === 0) return html`<p>There is no drill: the sheet has no sticks, no knob and no wanted modes, or there is no sheet.</p>`;
  return html`<h2>Drills</h2>
    ${d.may ? nothing : html`<p>${needsToken}</p>`}
    <ul class="plain drills">
      ${all.map((p) => html`<li>${entry(d, p)}</li>`)}
    </ul>`;
}

function entry(d: Desk, p: Drill): TemplateResult {
  const begin = (): void => {
    d.cues.unlock();
    d.choose('');
    void d.drills.begin(p.name, d.by.trim());
    focusSoon('.drill .yes');
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

// The drill under way.

function underWay(d: Desk, r: Running): TemplateResult {
  const whose = r.by === '' ? '' : `, followed by ${r.by}`;
  const place = r.prompt ? `prompt ${r.prompt.number} of ${r.prompts}` : `${r.prompts} prompts`;
  return html`<section aria-label=${`Drill ${r.drill}`}>
    <p class="row"><strong class="grow">Drill ${r.drill}: ${place}${whose}</strong></p>
    ${!r.confirmed ? cautions(d, r) : html`${prompt(d, r)} ${d.may && d.drills.mine ? answers(d) : takeOver(d, r)}`}
    ${seen(r)} ${walked(r.walk)}
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
  return html`<h2>Before it begins, all of this must be so</h2>
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
  </div>`;
}

const widths = new Map<string, number>();
const pen = document.createElement('canvas').getContext('2d');

// widthOf is how wide a text is in the letters of a key word, at a height of 100.
function widthOf(text: string): number {
  let width = widths.get(text);
  if (width === undefined) {
    if (pen) pen.font = 'bold 100px system-ui, sans-serif';
    width = Math.max(pen?.measureText(text).width ?? text.length * 62, 240);
    widths.set(text, width);
  }
  return width;
}

function keyWord(key: string): Part {
  if (key === '') return nothing;
  const width = widthOf(key);
  return html`<svg class="key" viewBox=${`0 0 ${Math.ceil(width * 1.04)} 118`} role="img" aria-label=${key}>
    ${svg`<text x="50%" y="92" text-anchor="middle" font-size="100" textLength=${width} lengthAdjust="spacingAndGlyphs">${key}</text>`}
  </svg>`;
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
  return html`<button class="end" @click=${abandon}>End drill</button> <span>${cantStop}</span>`;
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

// What came of a drill.

function result(d: Desk, e: Ended): TemplateResult {
  return html`<section class="result" aria-labelledby="result-title">
    <h2 id="result-title" tabindex="-1">Drill ${e.drill} ${e.how}</h2>
    <div role="status">
      ${[e.why, e.right_now, e.undecided].map((x) => (x === '' ? nothing : html`<p>${x}</p>`))}
    </div>
    ${told(d, e.wrong, true)} ${told(d, e.open, false)} ${more(e)}
    ${e.others === '' ? nothing : html`<p>${e.others}</p>`}
    ${d.said === '' ? nothing : html`<p role="status">${d.said}</p>`} ${walked(e.walk)} ${nextStep(d, e)}
  </section>`;
}

function told(d: Desk, claims: DrillClaim[], wrong: boolean): Part {
  if (claims.length === 0) return nothing;
  return html`<ul class="plain claims">
    ${claims.map(
      (c) => html`<li>
        ${verdictShape(d.s.claims.get(c.claim)?.verdict ?? (wrong ? 'seen wrong' : 'open'))} <span>${c.sentence}</span>
        ${wrong && c.reopens !== '' && d.may
          ? html`<button @click=${() => void d.reopen(c.reopens)}>Changed ${c.reopens}: see it anew</button>`
          : nothing}
      </li>`,
    )}
  </ul>`;
}

function more(e: Ended): Part {
  const {wrong, open, stale} = e.more;
  const parts = [wrong && `${wrong} more wrong`, open && `${open} more open`, stale && `${stale} more stale`].filter((x) => x !== 0);
  return parts.length === 0 ? nothing : html`<p>And ${parts.join(', ')}; the <a href="#sheet">sheet</a> lists them.</p>`;
}

function nextStep(d: Desk, e: Ended): TemplateResult {
  const again = {unfinished: 'once more, from its first prompt', 'after the change': 'after the change, once more', '': ''}[e.next.again];
  const button = (name: string, label: string): Part => (d.may ? html`<button @click=${() => d.choose(name)}>${label}</button>` : html`<span>${label}</span>`);
  return html`<p class="row">
    <strong>Next:</strong>
    ${again === '' ? nothing : button(e.drill, `${e.drill} ${again}`)}
    ${e.next.drill === '' || e.next.again === 'unfinished' ? nothing : button(e.next.drill, e.next.drill)}
    ${e.next.drill === '' && again === '' ? 'no drill is left with an open claim.' : nothing}
  </p>`;
}

function walked(walk: WalkMark[]): Part {
  if (walk.length === 0) return nothing;
  const seconds = (ns: number): string => (ns === 0 ? '–' : `${Math.round(ns / 1e9)} s`);
  return html`<table>
      <thead>
        <tr>
          ${['mark', 'missed', 'longest', 'frames', 'stood', 'needed'].map((x) => html`<th scope="col">${x}</th>`)}
        </tr>
      </thead>
      <tbody>
        ${walk.map(
          (m) => html`<tr>
            <th scope="row">${m.mark}</th>
            <td>${m.missed}</td>
            <td>${m.longest}</td>
            <td>${m.frames}</td>
            <td>${seconds(m.stood_ns)}</td>
            <td>${seconds(m.need_ns)}</td>
          </tr>`,
        )}
      </tbody>
    </table>
    <p class="note">missed: share of the frames that the receiver flags; needed: how long to stand until twice as much shows. It is no maker’s range check.</p>`;
}
