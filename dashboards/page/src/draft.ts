// A first sheet by doing: the question that stands, for eyes two metres away and hands on the model.
import {cuesSwitch, type Cues} from './cues';
import type {Drafting, Question, Source} from './drafting';
import {html, nothing, type TemplateResult} from './html';
import {wakeNote, type Wake} from './wake';

type Part = TemplateResult | typeof nothing;

const needsToken = 'This page may only look. Answering needs the token that benchproof was started with.';
const noToken = 'This page may only look: nothing can be answered from here until watch is started with --token-file.';

export function draft(d: Drafting, cues: Cues, wake: Wake): TemplateResult {
  if (!d.now) return html`<p>This session has a sheet. A sheet is drafted in a session that listens without one.</p>`;
  return html`<div class="draft">
    ${cuesSwitch(cues)} ${wakeNote(wake)}
    ${may(d) ? nothing : html`<p class="note">${d.s.hello?.token ? needsToken : noToken}</p>`}
    ${d.refusal === '' ? nothing : html`<p class="trouble" role="alert">${d.refusal}</p>`}
    ${d.now.trouble ? html`<p class="trouble" role="alert">${d.now.trouble}</p>` : nothing} ${stage(d, () => cues.unlock())}
  </div>`;
}

function may(d: Drafting): boolean {
  return d.s.hello?.change === true;
}

// stage is what stands there; unlock is for a touch that begins.
function stage(d: Drafting, unlock: () => void): TemplateResult {
  switch (d.now?.state) {
    case 'asking':
      return asking(d);
    case 'kept':
      return kept(d, unlock);
    case 'writing':
      return html`<h2>All is asked</h2>
        <p role="status">The sheet is being written.</p>`;
    case 'lacking':
      return html`<h2>All is asked</h2>
        ${progress(d)} ${found(d)}
        <div class="steps">${step(d, 'back', 'Back')} ${step(d, 'end', 'End draft')}</div>`;
    case 'done':
      return done(d, unlock);
    default:
      return idle(d, unlock);
  }
}

// Before and behind the questions.

function idle(d: Drafting, unlock: () => void): TemplateResult {
  return html`<h2>Draft a sheet by doing</h2>
    <p class="lead">
      benchproof asks you to move one control after the other, finds on the bus which channel that is and how far it goes, and asks for what the wire
      can’t tell. It takes some three minutes. What it must be safe for stands first.
    </p>
    <div class="steps">${begin(d, 'Begin', unlock)}</div>`;
}

function kept(d: Drafting, unlock: () => void): TemplateResult {
  return html`<h2>A draft was broken off here</h2>
    ${progress(d)}
    <div class="steps">${begin(d, 'Go on', unlock)}</div>
    ${may(d)
      ? html`<details>
          <summary>Begin anew</summary>
          <p>What was answered is let go of.</p>
          ${begin(d, 'Let go of it, begin anew', unlock, true)}
        </details>`
      : nothing}
    ${found(d)}`;
}

function begin(d: Drafting, label: string, unlock: () => void, anew = false): Part {
  const go = (): void => {
    void d.does(anew ? {do: 'begin', text: 'anew'} : {do: 'begin'});
    unlock();
  };
  return may(d) ? html`<button class=${anew ? '' : 'go'} ?disabled=${d.busy} @click=${go}>${label}</button>` : nothing;
}

// The question that stands.

function asking(d: Drafting): TemplateResult {
  const q = d.now?.question;
  if (!q) return html``;
  return html`${progress(d)}
    ${q.cautions
      ? html`<ul class="heed">
          ${q.cautions.map((c) => html`<li>${c}</li>`)}
        </ul>`
      : nothing}
    <div aria-live="assertive" aria-atomic="true"><h2 class="question">${q.text}</h2></div>
    ${q.never ? html`<p class="never">Do not move channel ${q.never.join(', ')}: it starts limit learning.</p>` : nothing}
    ${d.now?.wire ? html`<p class="wire" role="status">${moved(d)}</p>` : nothing}
    <div role="status" class=${'news' + (d.fresh.length ? ' some' : '') + (d.now?.wire ? ' roomy' : '')} tabindex=${d.fresh.length ? '0' : nothing}>
      <ul>
        ${d.fresh.map((text) => html`<li>${text}</li>`)}
      </ul>
    </div>
    ${may(d) ? html`${answers(d, q)} ${steps(d, q)}` : nothing} ${found(d)}`;
}

// moved says what the wire shows while a control is moved.
function moved(d: Drafting): string {
  const channels = d.now?.moved ?? [];
  if (channels.length === 0) return 'The wire answers this: no touch is needed.';
  return `Seen to move: channel ${channels.join(', ')}.`;
}

function answers(d: Drafting, q: Question): Part {
  const enter = (label: string): TemplateResult =>
    html`<button type="button" ?disabled=${d.busy} @click=${() => void d.does({do: 'answer'})}>${label}</button>`;
  if (d.now?.wire) {
    return html`<div class="row">${enter(q.act === 'put' || q.act === 'jump' ? 'Enter' : 'What was seen so far?')}</div>`;
  }
  if (q.act === 'choose') {
    return html`<div class="choices">
      ${q.choices?.map(
        (c) =>
          html`<button ?disabled=${d.busy} @click=${() => void d.does({do: 'answer', text: c.word})}>
            <span class="word">${c.word}</span> <span>${c.means}${c.word === q.enter ? ' (proposed)' : ''}</span>
          </button>`,
      )}
    </div>`;
  }
  const send = (e: Event): void => {
    e.preventDefault();
    void d.does({do: 'answer', text: fields(q).map((_, i) => d.words[i] ?? '').join(' ').trim()});
  };
  return html`<form class="row" @submit=${send}>
    ${fields(q).map((f, i) => field(d, f, i))} <button class="go" ?disabled=${d.busy}>Answer</button>
    ${q.enter ? enter(`Enter alone: ${q.means || q.enter}`) : nothing}
  </form>`;
}

// Field is what is typed, with the keyboard that a phone shows for it.
interface Field {
  label: string;
  keys: 'text' | 'numeric';
  words?: string[]; // one of these is chosen instead
  free?: boolean; // a text as people write it
}

function fields(q: Question): Field[] {
  const number = (label: string): Field => ({label, keys: 'numeric'});
  switch (q.act === 'mode' ? 'mode' : q.act === 'confirm' ? 'confirm' : q.wants) {
    case 'confirm':
      return [{label: 'Type yes', keys: 'text'}];
    case 'mode':
      return [{label: 'Name of the mode', keys: 'text'}];
    case 'channel':
      return [number('Number of the channel')];
    case 'count':
      return [number('How many')];
    case 'width':
      return [number('Microseconds')];
    case 'times':
      return [number('How often'), number('In how many seconds')];
    case 'edges':
      return Array.from({length: (q.places ?? 2) - 1}, (_, i) => number(`Edge ${i + 1}, microseconds`));
    case 'control':
      return [
        {label: 'Kind', keys: 'text', words: ['switch', 'knob', 'momentary']},
        {label: 'Name', keys: 'text'},
      ];
    default:
      return [{label: 'Answer', keys: 'text', free: true}];
  }
}

function field(d: Drafting, f: Field, i: number): TemplateResult {
  const value = d.words[i] ?? '';
  if (f.words) {
    return html`<label class="field"
      >${f.label}
      <select .value=${value} @change=${(e: Event) => d.typed(i, e)}>
        <option value=""></option>
        ${f.words.map((w) => html`<option value=${w}>${w}</option>`)}
      </select>
    </label>`;
  }
  return html`<label class="field"
    >${f.label}
    <input
      .value=${value}
      inputmode=${f.keys}
      autocapitalize=${f.free ? 'sentences' : 'none'}
      autocomplete="off"
      spellcheck="false"
      enterkeyhint="send"
      maxlength="200"
      @input=${(e: Event) => d.typed(i, e)}
    />
  </label>`;
}

function steps(d: Drafting, q: Question): TemplateResult {
  return html`<div class="steps">
    ${q.no_skip ? html`<button disabled>Skip</button>` : step(d, 'skip', 'Skip')} ${step(d, 'back', 'Back')} ${step(d, 'repeat', 'Anew')}
    ${step(d, 'end', 'End draft')}
  </div>`;
}

function step(d: Drafting, does: 'skip' | 'back' | 'repeat' | 'end', label: string): Part {
  return may(d) ? html`<button class=${does === 'end' ? 'end' : ''} ?disabled=${d.busy} @click=${() => void d.does({do: does})}>${label}</button>` : nothing;
}

function progress(d: Drafting): TemplateResult {
  const {done, known} = d.now ?? {done: 0, known: 0};
  return html`<label class="progress"
    ><progress max=${known} value=${done}></progress> ${done} of ${known} questions; an answer may bring further ones</label
  >`;
}

// What was found.

function from(source: Source): TemplateResult {
  return html`<span class=${'from ' + source}>${source}</span>`;
}

function found(d: Drafting): Part {
  if (!d.now?.found.length) return nothing;
  return html`<h3>Found so far</h3>
    <ul class="found">
      ${d.now.found.map((f) => html`<li>${from(f.from)} ${f.text}</li>`)}
    </ul>`;
}

// The sheet.

interface SheetLine {
  text: string;
  source: Source | undefined;
  note: string;
}

const sourced = /^(.*?)\s+# (measured|said|assumed)(?:: (.*))?$/;

function lineOf(line: string): SheetLine {
  const m = sourced.exec(line);
  return m ? {text: m[1] ?? '', source: m[2] as Source, note: m[3] ?? ''} : {text: line, source: undefined, note: ''};
}

function done(d: Drafting, unlock: () => void): TemplateResult {
  const lines = (d.sheet ?? []).map(lineOf);
  const count = (s: Source): number => lines.filter((l) => l.source === s).length;
  return html`<h2>The sheet is drafted</h2>
    ${d.now?.file ? html`<p class="lead"><b>${d.now.file}</b> is written. Read it: what is assumed is yours to check.</p>` : nothing}
    <p class="counts">
      ${from('measured')} ${count('measured')} lines ${from('said')} ${count('said')} lines ${from('assumed')} ${count('assumed')} lines: read these first
    </p>
    ${commands(d)}
    <div class="row">
      <a class="button" href="/api/draft/sheet" download=${d.now?.file?.split(/[\\/]/).at(-1) ?? 'drafted.yaml'}>Download the sheet</a>
      <button aria-pressed=${d.assumedOnly} @click=${() => only(d)}>Only what is assumed</button>
      ${begin(d, 'Draft another one', unlock)}
    </div>
    <ol class="lines" aria-label="The sheet">
      ${(d.assumedOnly ? assumed(lines) : lines).map(sheetLine)}
    </ol>`;
}

// assumed are the lines that nobody measured or said, and those that they stand below.
function assumed(lines: SheetLine[]): SheetLine[] {
  const depth = (l: SheetLine): number => l.text.search(/\S/);
  const kept = new Set<SheetLine>();
  lines.forEach((line, i) => {
    if (line.source !== 'assumed') return;
    kept.add(line);
    let above = depth(line);
    for (const l of lines.slice(0, i).reverse()) {
      const at = depth(l);
      if (at < 0 || at >= above || l.text.trimStart().startsWith('#')) continue;
      kept.add(l);
      above = at;
    }
  });
  return lines.filter((l) => kept.has(l));
}

function only(d: Drafting): void {
  d.assumedOnly = !d.assumedOnly;
  d.s.changed();
}

function commands(d: Drafting): Part {
  if (!d.now?.commands) return nothing;
  return html`<p>End this session with Ctrl-C in its terminal. Then, there:</p>
    <ul class="commands">
      ${d.now.commands.map(
        (c) =>
          html`<li>
            <code tabindex="0">${c}</code>
            ${isSecureContext ? html`<button @click=${() => void d.copy(c)}>${d.copied === c ? 'Copied' : 'Copy'}</button>` : nothing}
          </li>`,
      )}
    </ul>`;
}

function sheetLine(l: SheetLine): TemplateResult {
  return html`<li class=${l.source ?? (l.text.trimStart().startsWith('#') ? 'remark' : 'plain')}>
    <code>${l.text}</code> ${l.source ? html`<span class="why">${from(l.source)} ${l.note}</span>` : nothing}
  </li>`;
}
