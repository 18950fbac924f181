// All that the page knows: what its one stream brought, and whether it still comes.
import {get, insist, text} from './api';
import type {Claim, Hello, Line, Next, Now, Sheet} from './types';

// Behind so long without a word the daemon counts as gone; it sends at least each 400 ms.
const patience = 900;

// keptLines bounds the events that are kept in the page; older ones are asked for.
const keptLines = 5000;

// keptPast is how many are asked for when the page opens.
const keptPast = 500;

// How long a stream may be silent until another one is tried, ms. A phone that slept, or came into another
// network, keeps connections that never say they are over, and tries each of them: a browser has six. Behind
// those it is longer with each that brings nothing, up to most.
const silent = {least: 1500, most: 24000, connections: 6};

// shownSoon is how soon events are asked for again that were judged, and are not recorded yet, ms.
const shownSoon = 300;

// undrawn is how long what changed waits for a picture at most, ms: a screen that is off asks for none, and one
// that woke may ask late.
const undrawn = 500;

type Listener = () => void;

export class Store {
  hello: Hello | undefined;
  now: Now | undefined;
  sheet: Sheet | undefined; // the same as long as the session is
  next: Next[] = []; // to be done, what settles most first
  claims = new Map<string, Claim>(); // in the sheet's order
  lines: Line[] = []; // oldest first
  heard = 0; // performance.now() of the latest word of the daemon
  gone = false; // the daemon does not answer

  private source: EventSource | undefined;
  private opened = 0; // performance.now() when the stream was asked for
  private tries = 0; // streams since the latest word
  private from: number | undefined; // the first stream began behind this event
  private reading = false; // the sheet is asked for
  private earlier = false; // what happened before that is asked for, or here
  private listeners = new Set<Listener>();
  private lineListeners = new Set<(line: Line) => void>();
  private messageListeners = new Map<string, Set<(data: unknown) => void>>();
  private asked = false; // a picture is
  private askedAt = 0; // performance.now()

  // start opens the stream, and looks whether it lives.
  start(): void {
    this.open(undefined);
    setInterval(() => this.look(), 50);
  }

  // subscribe has a listener called, once a picture of the screen at most, when something changed.
  subscribe(listener: Listener): void {
    this.listeners.add(listener);
  }

  // onLine has a listener called with each event that is new to this page, in order.
  onLine(listener: (line: Line) => void): void {
    this.lineListeners.add(listener);
  }

  // on has a listener called with the data of each message of a name that the stream brings.
  on(name: string, listener: (data: unknown) => void): void {
    const all = this.messageListeners.get(name) ?? new Set();
    this.messageListeners.set(name, all.add(listener));
    if (all.size === 1 && this.source) this.hear(this.source, name);
  }

  // changed has all listeners called before the next picture.
  changed(): void {
    if (this.asked) return;
    this.asked = true;
    this.askedAt = performance.now();
    const draw = (): void => this.draw();
    requestAnimationFrame(draw);
    if (document.hidden) setTimeout(draw, undrawn); // no picture is asked for then
  }

  private draw(): void {
    if (!this.asked) return;
    this.asked = false;
    for (const listener of this.listeners) listener();
  }

  // seconds of silence of the daemon.
  get silence(): number {
    return (performance.now() - this.heard) / 1000;
  }

  // last is the number of the latest event that the page has; undefined before the first greeting.
  private get last(): number | undefined {
    return this.lines.at(-1)?.seq ?? this.from;
  }

  private open(last: number | undefined): void {
    const source = new EventSource('/api/live' + (last === undefined ? '' : `?after=${last}`));
    this.source = source;
    this.opened = performance.now();
    source.addEventListener('hello', (e) => this.greet(JSON.parse(e.data) as Hello));
    source.addEventListener('now', (e) => {
      this.now = JSON.parse(e.data) as Now;
      this.word();
    });
    source.addEventListener('claims', (e) => {
      for (const c of (JSON.parse(e.data) as {claims: Claim[]}).claims) this.claims.set(c.claim, c);
      this.word();
    });
    source.addEventListener('next', (e) => {
      this.next = (JSON.parse(e.data) as {next: Next[]}).next;
      this.word();
    });
    source.onmessage = (e) => this.line(JSON.parse(e.data) as Line);
    source.onerror = () => {
      // A refusal closes it for good; the browser itself goes on after a break. What is refused may be a number
      // of another session: a stream from now on says which one this is.
      if (source.readyState !== EventSource.CLOSED) return;
      setTimeout(() => {
        if (this.source === source) this.open(undefined);
      }, 1000);
    };
    for (const name of this.messageListeners.keys()) this.hear(source, name);
  }

  private hear(source: EventSource, name: string): void {
    source.addEventListener(name, (e) => {
      const data: unknown = JSON.parse((e as MessageEvent<string>).data);
      for (const listener of this.messageListeners.get(name) ?? []) listener(data);
    });
  }

  // restart opens the stream anew, where it was: it was refused, or this visitor may do more now.
  restart(): void {
    this.source?.close();
    this.open(this.last);
  }

  // greet begins anew where another session is shown than before, or this one has lost what the page has; a
  // stream from now on gives way to one from where the page was.
  private greet(hello: Hello): void {
    const last = this.last ?? hello.after;
    const other = this.hello && (this.hello.session !== hello.session || this.hello.build !== hello.build);
    if (other || hello.after < last) {
      location.reload();
      return;
    }
    if (hello.after > last) {
      this.restart();
      return;
    }
    this.from ??= hello.after;
    if (!this.earlier && this.from > 0) void this.past(this.from);
    if (!this.sheet && !this.reading) void this.read();
    this.hello = hello;
    document.title = `benchproof: ${hello.model}`;
    this.word();
  }

  // read brings the sheet. Where that is refused, the next greeting tries again.
  private async read(): Promise<void> {
    this.reading = true;
    try {
      this.sheet = await insist(() => get<Sheet>('/api/sheet'));
    } catch {
      // It is refused.
    }
    this.reading = false;
    this.changed();
  }

  // past brings what happened before this page was opened. Where that is refused, the next greeting tries again.
  private async past(upTo: number): Promise<void> {
    this.earlier = true;
    const past: Line[] = [];
    try {
      for (let at = Math.max(0, upTo - keptPast); at < upTo; ) {
        const got = await this.behind(at);
        past.push(...got.filter((l) => l.seq <= upTo));
        at = got.at(-1)?.seq ?? at;
        if (got.length === 0) await new Promise((wait) => setTimeout(wait, shownSoon));
      }
    } catch {
      this.earlier = false;
      return;
    }
    this.lines.unshift(...past);
    this.changed();
  }

  // behind asks for events behind a number: none where the next one is not recorded yet.
  private async behind(seq: number): Promise<Line[]> {
    const lines = (await insist(() => text(`/api/timeline?after=${seq}&limit=${keptPast}`))).split('\n');
    return lines.filter((l) => l !== '').map((l) => JSON.parse(l) as Line);
  }

  private line(line: Line): void {
    const last = this.lines.at(-1)?.seq ?? 0;
    if (line.seq <= last) return;
    this.lines.push(line);
    if (this.lines.length > keptLines) this.lines.splice(0, this.lines.length - keptLines);
    for (const listener of this.lineListeners) listener(line);
    this.word();
  }

  private word(): void {
    this.heard = performance.now();
    this.tries = 0;
    this.gone = false;
    this.changed();
  }

  private look(): void {
    const now = performance.now();
    if (this.asked && now - this.askedAt > undrawn) this.draw();
    const allowed = Math.min(silent.least * 2 ** Math.max(0, this.tries - silent.connections), silent.most);
    if (now - Math.max(this.heard, this.opened) > allowed) {
      this.tries++;
      this.restart();
    }
    const gone = now - this.heard > patience;
    if (gone !== this.gone) {
      this.gone = gone;
      this.changed();
    }
  }
}
