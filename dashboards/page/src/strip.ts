// The strip: the last three minutes as traces, with what happened as marks on the same axis, and the
// whole session to scroll back through.
import {stripKey} from './strip_key';
import {Axis, clock} from './axis';
import {changesOf} from './changes';
import {historyOf, type History, type Mark} from './history';
import {html, nothing, render, type TemplateResult} from './html';
import {ink, onInk} from './ink';
import {drawOverview} from './marks_drawn';
import {Picture} from './picture';
import {heightOf, place, rowsOf, sameRows, widthText, type Row} from './rows';
import type {Store} from './store';
import {drawWords, lane} from './strip_words';
import {notHeard, step} from './tap_trace';
import {tracesOf, type Traces} from './trace';

const made = new WeakMap<Store, Strip>();

// strip is the view: an element of its own, which draws itself, and stays the same one while other
// views are shown.
export function strip(s: Store): TemplateResult {
  let element = made.get(s);
  if (!element) {
    element = new Strip();
    element.store = s;
    made.set(s, element);
  }
  return html`${element}`;
}

// showMoment has the strip show a moment, ns, and brings it to the eyes.
export function showMoment(s: Store, ns: number): void {
  made.get(s)?.reveal(ns);
}

// CSS pixels: the axis below the rows, the widths right of them.
const below = 20;
const gutter = 64;

// reads is how often words and widths change at most, ms: nobody reads faster. The same for questions.
const reads = 100;

// speaks is how often it is said what is so now, ms.
const speaks = 5000;

// recent is for how many columns a width is so.
const recent = 6;

// relayout is how often it is looked what moves, ms.
const relayout = 1000;

const out = new Int16Array(2);

class Strip extends HTMLElement {
  private given: Store | undefined;
  private traces!: Traces;
  private history!: History;
  private rows: Row[] = [];
  private laidOut = -Infinity;
  private axis = new Axis(600, 1);
  private scale = 1;
  private wide = 0; // of the element, CSS pixels
  private high = 0;
  private picture: Picture | undefined;
  private end = 0; // the dot behind the last that is shown
  private live = true;
  private told = 0; // ns, up to which it is shown: now, or when it was stopped
  private cursor = -1; // ns, -1: at the latest
  private changed = Infinity; // the first column that was not drawn as it is
  private wordsStand = ''; // what the words were drawn of, when, and with the cursor where
  private wordsAt = -Infinity;
  private wordsCursor = -1;
  private wantedAt = -Infinity;
  private spokeAt = -Infinity;
  private stop: (() => void)[] = [];
  private held: {x: number; end: number; moved: boolean} | undefined;
  private hovers = -1; // where a mouse is, CSS pixels; -1: elsewhere
  private table = false;
  private said = -Infinity;

  set store(s: Store) {
    this.given = s;
    this.traces = tracesOf(s);
    this.history = historyOf(s);
    s.subscribe(() => this.show());
  }

  connectedCallback(): void {
    if (!this.firstChild) this.build();
    const sized = new ResizeObserver(() => this.size());
    sized.observe(this.piece('.strip-plot'));
    this.stop = [() => sized.disconnect(), onInk(() => this.anew()), this.traces.onChange((first) => (this.changed = Math.min(this.changed, first)))];
    this.size();
  }

  disconnectedCallback(): void {
    for (const f of this.stop) f();
  }

  private piece<T extends HTMLElement>(selector: string): T {
    return this.querySelector<T>(selector)!;
  }

  private canvas(name: string): HTMLCanvasElement {
    return this.piece<HTMLCanvasElement>('canvas.' + name);
  }

  private context(name: string): CanvasRenderingContext2D {
    return this.canvas(name).getContext('2d')!;
  }

  // build makes what never changes; words and values are rendered into it.
  private build(): void {
    render(
      html`<section class="strip" aria-label="What moved">
        <div class="strip-bar"></div>
        <div
          class="strip-plot"
          role="slider"
          tabindex="0"
          aria-label="Traces: arrow keys read them, space stops them"
          @pointerdown=${(e: PointerEvent) => this.down(e)}
          @pointermove=${(e: PointerEvent) => this.move(e)}
          @pointerup=${(e: PointerEvent) => this.up(e)}
          @pointercancel=${() => (this.held = undefined)}
          @pointerleave=${(e: PointerEvent) => this.leave(e)}
          @keydown=${(e: KeyboardEvent) => this.key(e)}
        >
          <canvas class="traces" aria-hidden="true"></canvas>
          <canvas class="words" aria-hidden="true"></canvas>
        </div>
        <div class="strip-all">
          <canvas class="overview" aria-hidden="true"></canvas>
          <input
            type="range"
            min="0"
            step="1"
            aria-label="Where in the session"
            @input=${(e: Event) => this.jump(Number((e.target as HTMLInputElement).value))}
          />
        </div>
        <p class="strip-read"></p>
        <details class="strip-table" @toggle=${(e: Event) => this.toggle((e.target as HTMLDetailsElement).open)}>
          <summary>The last changes as a table</summary>
          <div class="strip-rows"></div>
        </details>
        ${stripKey()}
      </section>`,
      this,
    );
  }

  // size fits the canvases to the element and to the pixels of the screen.
  private size(): void {
    const plot = this.piece('.strip-plot');
    this.scale = Math.max(1, devicePixelRatio || 1);
    this.wide = plot.clientWidth;
    this.high = lane + Math.round(heightOf(this.rows)) + below;
    if (this.wide < gutter + 40) return;
    plot.style.height = `${this.high}px`;
    const traces = this.canvas('traces');
    const words = this.canvas('words');
    traces.width = Math.round((this.wide - gutter) * this.scale);
    traces.height = Math.round((this.high - lane - below) * this.scale);
    traces.style.width = `${traces.width / this.scale}px`;
    traces.style.height = `${traces.height / this.scale}px`;
    words.width = Math.round(this.wide * this.scale);
    words.height = Math.round(this.high * this.scale);
    const overview = this.canvas('overview');
    overview.width = Math.round(overview.clientWidth * this.scale);
    overview.height = Math.round(overview.clientHeight * this.scale);
    const middle = this.axis.ns(this.end);
    this.axis = new Axis(traces.width, this.scale);
    this.end = Math.max(this.axis.dots, Math.round(middle / step / this.axis.perDot));
    this.picture = new Picture(this.context('traces'), this.axis, this.scale, (tap, from, to) => this.history.readLate(tap, from, to));
    this.anew();
  }

  // anew has all be drawn once more.
  private anew(): void {
    this.laidOut = -Infinity;
    this.said = -Infinity;
    this.wordsStand = '';
    this.rows = [];
    this.given?.changed();
  }

  private get latest(): number {
    return Math.max(this.axis.dots, this.axis.dot(this.given?.now?.seen_ns ?? 0) + 1);
  }

  private get from(): number {
    return this.axis.ns(this.end - this.axis.dots);
  }

  // show follows each word of the daemon, once a picture of the screen at most.
  private show(): void {
    if (!this.isConnected || !this.given?.now || !this.picture || document.hidden) return;
    const seen = this.given.now.seen_ns;
    if (this.live) [this.end, this.told] = [this.latest, seen];
    const limit = this.axis.dot(this.told) + 1;
    if (this.live && this.hovers >= 0) this.cursor = this.nsOf(this.hovers);
    const {perDot, dots} = this.axis;
    const first = Math.max(0, (this.end - dots) * perDot);
    if (performance.now() - this.wantedAt > reads) {
      this.wantedAt = performance.now();
      this.traces.want(first, this.end * perDot);
      this.history.want(this.from);
    }
    const late = this.history.late.length;
    this.history.look();
    for (const l of this.history.late.slice(late)) this.changed = Math.min(this.changed, Math.floor(l.from / step));
    this.changed = Math.min(this.changed, this.traces.presume());
    if (performance.now() - this.laidOut > relayout && this.lay(first)) {
      this.picture.all(this.rows, this.end, limit, ink());
    } else {
      this.picture.on(this.end, limit, Math.floor(this.changed / perDot), ink());
    }
    this.changed = Infinity;
    this.words();
    if (performance.now() - this.said > 200) {
      this.said = performance.now();
      this.classList.toggle('old', this.given.gone);
      this.bar();
      this.overview();
      if (this.table) this.tell();
    }
  }

  // lay looks which rows there are and what moves, and reports whether the picture has to be drawn anew.
  private lay(first: number): boolean {
    this.laidOut = performance.now();
    const rows = rowsOf(this.given!, this.traces.taps, first, Math.min(this.end * this.axis.perDot, Math.floor(this.told / step) + 1));
    const same = sameRows(this.rows, rows);
    const fits = heightOf(rows) + lane + below === this.high;
    this.rows = rows;
    place(rows, 0, this.high - lane - below);
    if (!fits) {
      const kept = rows;
      this.size();
      this.rows = kept;
      place(kept, 0, this.high - lane - below);
      this.laidOut = performance.now();
      return true;
    }
    return !same;
  }

  // words draws what stands over the traces, where any of it is another than before.
  private words(): void {
    const now = performance.now();
    if (now - this.wordsAt < reads && this.wordsStand !== '' && this.cursor === this.wordsCursor) return;
    const values = this.rows.map((r) => this.value(r));
    const last = this.history.marks.at(-1)?.seq ?? 0;
    const stand = [this.end, last, this.history.marks.length, this.history.outages.length, this.cursor, this.live, this.rows.length, this.laidOut > 0, ...values].join('|');
    if (stand === this.wordsStand) return;
    [this.wordsStand, this.wordsAt, this.wordsCursor] = [stand, now, this.cursor];
    drawWords(this.context('words'), {
      axis: this.axis, scale: this.scale, end: this.end, from: this.from, now: this.told, wide: this.wide, high: this.high,
      right: this.right, bottom: this.high - below, rows: this.rows, values, marks: this.shownMarks(), outages: this.history.outages, cursor: this.cursor,
    });
    this.read();
  }

  private get right(): number {
    return (this.axis.dots * this.axis.wide) / this.scale;
  }

  private shownMarks(): Mark[] {
    const to = Math.min(this.told, this.axis.ns(this.end));
    const from = this.from;
    return this.history.marks.filter((m) => m.at >= from && m.at <= to).slice(-80);
  }

  // at is what a row has at the cursor, or at the latest moment: what is a third of a second old is not
  // taken for what is so.
  private at(r: Row): [number, number] {
    const k = Math.floor((this.cursor >= 0 ? this.cursor : Math.min(this.told, this.axis.ns(this.end) - 1)) / step);
    for (let i = k; i > k - recent; i--) {
      r.tap.range(i, i + 1, r.index, out);
      if (out[0] !== notHeard) break;
    }
    return [out[0] ?? notHeard, out[1] ?? notHeard];
  }

  private value(r: Row): string {
    if (r.more > 0) return '';
    const [least, most] = this.at(r);
    if (least === notHeard) return '–';
    if (most <= 1) return most === 1 ? 'on' : 'off';
    return String(Math.round((least + most) / 2));
  }

  // read says what is at the cursor, or now, in words.
  private read(): void {
    const at = this.cursor >= 0 ? this.cursor : Math.min(this.axis.ns(this.end), this.told);
    const near = this.shownMarks().filter((m) => this.cursor >= 0 && Math.abs(m.at - at) < 3 * this.axis.perDot * step);
    const some = this.rows.filter((r) => r.moves);
    const several = this.traces.taps.length > 1;
    const values = (some.length > 0 ? some : this.rows.filter((r) => r.more === 0)).map(
      (r) => `${several ? r.tap.name + ' ' : ''}${r.name} ${widthText(...this.at(r))}`,
    );
    const sentence = [...near.map((m) => m.sentence), ...values].join(' · ');
    this.speak(at, sentence);
    const shown = this.cursor >= 0 ? html`<strong>${clock(at, 2)}</strong> ${sentence}` : nothing;
    render(shown, this.piece('.strip-read'));
  }

  // speak has the same for who does not see it. What is so now is said now and then, or a screen reader
  // would not come to an end.
  private speak(at: number, sentence: string): void {
    const now = performance.now();
    if (this.cursor < 0 && now - this.spokeAt < speaks) return;
    this.spokeAt = now;
    const plot = this.piece('.strip-plot');
    const seconds = Math.round(at / 1e9);
    plot.setAttribute('aria-valuemin', '0');
    plot.setAttribute('aria-valuemax', String(Math.round((this.given?.now?.seen_ns ?? 0) / 1e9)));
    plot.setAttribute('aria-valuenow', String(seconds));
    plot.setAttribute('aria-valuetext', `${clock(at, 1)}: ${sentence}`);
  }

  private bar(): void {
    const now = this.given?.now?.seen_ns ?? 0;
    const shown = Math.min(this.told, this.axis.ns(this.end));
    const state = this.live
      ? this.given?.gone
        ? 'old: benchproof does not answer'
        : 'the last three minutes'
      : `stopped at ${clock(shown)}, ${clock(Math.max(0, now - shown))} before now`;
    render(
      html`<button type="button" @click=${() => this.pause()}>${this.live ? 'Pause' : 'To now'}</button>
        <button type="button" @click=${() => this.go(-60e9)}>1 min back</button>
        <button type="button" ?disabled=${this.live} @click=${() => this.go(60e9)}>1 min on</button>
        <span class="strip-state">${state}</span>
        ${this.traces.refused ? html`<span class="strip-state trouble">${this.traces.refused}</span>` : nothing}`,
      this.piece('.strip-bar'),
    );
  }

  private overview(): void {
    const now = this.given?.now?.seen_ns ?? 0;
    const range = this.piece<HTMLInputElement>('.strip-all input');
    const shown = Math.min(now, this.axis.ns(this.end));
    range.max = String(Math.ceil(now / 1e9));
    if (!range.matches(':active')) range.value = String(Math.round(shown / 1e9));
    range.setAttribute('aria-valuetext', `up to ${clock(shown)} of ${clock(now)}`);
    const c = this.context('overview');
    c.setTransform(this.scale, 0, 0, this.scale, 0, 0);
    drawOverview(c, {wide: c.canvas.width / this.scale, high: c.canvas.height / this.scale, now, from: this.from, to: shown}, this.history, ink());
  }

  private tell(): void {
    const to = this.axis.ns(this.end);
    const list = changesOf(this.rows, this.shownMarks(), Math.floor(this.from / step), Math.floor(to / step));
    render(
      html`<table>
        <caption>${clock(Math.max(0, this.from))} to ${clock(to)}, the latest first</caption>
        <thead><tr><th scope="col">time</th><th scope="col">what</th></tr></thead>
        <tbody>${list.map((l) => html`<tr><td>${clock(l.at, 1)}</td><td>${l.what}</td></tr>`)}</tbody>
      </table>`,
      this.piece('.strip-rows'),
    );
  }

  private toggle(open: boolean): void {
    this.table = open;
    if (open) this.tell();
  }

  private pause(): void {
    this.live = !this.live;
    if (this.live) this.cursor = -1;
    this.moved();
  }

  // go moves the end of what is shown.
  private go(by: number): void {
    this.jump((this.axis.ns(this.end) + by) / 1e9);
  }

  private jump(seconds: number): void {
    const end = this.axis.dot(seconds * 1e9) + 1;
    this.live = end >= this.latest;
    this.told = this.given?.now?.seen_ns ?? 0;
    this.end = Math.max(this.axis.dots, Math.min(end, this.latest));
    this.moved();
  }

  private moved(): void {
    this.said = -Infinity;
    this.laidOut = -Infinity;
    this.given?.changed();
  }

  private nsAt(e: PointerEvent): number {
    return this.nsOf(e.clientX - this.piece('.strip-plot').getBoundingClientRect().left);
  }

  private nsOf(x: number): number {
    return Math.min(this.told, Math.max(0, this.axis.ns(this.end - this.axis.dots) + (Math.min(x, this.right) * this.scale / this.axis.wide) * this.axis.perDot * step));
  }

  private down(e: PointerEvent): void {
    if (e.button !== 0) return;
    this.held = {x: e.clientX, end: this.end, moved: false};
    this.piece('.strip-plot').setPointerCapture(e.pointerId);
    this.live = false;
    this.cursor = this.nsAt(e);
    this.moved();
  }

  private move(e: PointerEvent): void {
    if (!this.held) {
      if (e.pointerType !== 'mouse') return;
      this.hovers = e.clientX - this.piece('.strip-plot').getBoundingClientRect().left;
      this.point(this.nsAt(e));
      return;
    }
    const by = Math.round(((this.held.x - e.clientX) * this.scale) / this.axis.wide);
    if (Math.abs(this.held.x - e.clientX) > 4) this.held.moved = true;
    if (!this.held.moved) return;
    this.told = this.given?.now?.seen_ns ?? 0;
    this.end = Math.max(this.axis.dots, Math.min(this.held.end + by, this.latest));
    this.point(this.nsAt(e));
  }

  private up(e: PointerEvent): void {
    this.held = undefined;
    this.point(this.nsAt(e));
  }

  private leave(e: PointerEvent): void {
    this.hovers = -1;
    if (e.pointerType === 'mouse' && this.live) this.point(-1);
  }

  private point(at: number): void {
    this.cursor = at;
    this.given?.changed();
  }

  private key(e: KeyboardEvent): void {
    const second = 1e9;
    const by: Record<string, number> = {ArrowLeft: -second, ArrowRight: second, ArrowDown: -second / 10, ArrowUp: second / 10, PageUp: -30 * second, PageDown: 30 * second};
    const end = Math.min(this.axis.ns(this.end), this.told);
    const at = this.cursor >= 0 ? this.cursor : end;
    if (e.key === ' ') this.pause();
    else if (e.key === 'End') this.jump(Infinity);
    else if (e.key === 'Home') this.walk(0);
    else if (by[e.key] !== undefined) this.walk(at + (by[e.key] ?? 0));
    else return;
    if (e.key === 'End') this.cursor = -1;
    e.preventDefault();
  }

  // reveal puts the cursor on a moment, and the strip before the eyes.
  reveal(ns: number): void {
    this.walk(ns);
    this.scrollIntoView({block: 'nearest'});
    this.piece('.strip-plot').focus({preventScroll: true});
  }

  // walk puts the cursor somewhere, and has it be seen.
  private walk(to: number): void {
    this.live = false;
    this.cursor = Math.max(0, Math.min(to, this.told - step));
    const dot = this.axis.dot(this.cursor);
    if (dot >= this.end) this.end = Math.min(this.latest, dot + 1 + Math.floor(this.axis.dots / 4));
    if (dot < this.end - this.axis.dots) this.end = Math.max(this.axis.dots, dot + Math.floor((this.axis.dots * 3) / 4));
    this.moved();
  }
}

customElements.define('bench-strip', Strip);
