// The draft as the server has it, and the steps that are taken from here.
import {post, Refused, text} from './api';
import type {Store} from './store';

export type Source = 'measured' | 'said' | 'assumed';

export interface Choice {
  word: string;
  means: string;
}

export interface Question {
  id: string;
  act: 'confirm' | 'tell' | 'choose' | 'rest' | 'through' | 'put' | 'stroke' | 'jump' | 'back' | 'mode';
  wants?: 'text' | 'channel' | 'count' | 'width' | 'times' | 'edges' | 'control';
  places?: number;
  text: string;
  cautions?: string[];
  choices?: Choice[];
  enter?: string;
  means?: string;
  never?: number[];
  no_skip?: boolean;
}

export interface Draft {
  state: 'idle' | 'asking' | 'kept' | 'writing' | 'lacking' | 'done';
  version: number;
  question?: Question;
  wire?: boolean;
  asked: number;
  moved?: number[];
  done: number;
  known: number;
  news: {number: number; text: string}[];
  found: {text: string; from: Source}[];
  file?: string;
  commands?: string[];
  trouble?: string;
}

export interface Step {
  do: 'begin' | 'answer' | 'skip' | 'back' | 'repeat' | 'end';
  text?: string;
}

// mineKey is where the page remembers over a reload that it leads the draft.
const mineKey = 'benchproof.draft';

export class Drafting {
  now: Draft | undefined; // undefined: the session has a sheet, or nothing was heard of it yet
  words: string[] = []; // what is typed, in each field
  refusal = ''; // why the latest step was not taken
  busy = false; // a step for the question that stands is on its way
  sheet: string[] | undefined; // its lines, once it is drafted
  assumedOnly = false; // of the sheet, these lines are shown alone
  copied = '';

  private told = 0; // the latest sentence that was there when the question was put
  private sheetOf = ''; // the file whose lines are in sheet
  private led = sessionStorage.getItem(mineKey) === 'yes'; // the latest step was this page's
  private listeners = new Set<(now: Draft) => void>();

  constructor(readonly s: Store) {
    s.on('draft', (data) => this.take(data as Draft, true));
  }

  // fresh are the sentences since the question was put: the latest first.
  get fresh(): string[] {
    return (this.now?.news ?? [])
      .filter((n) => n.number > this.told)
      .map((n) => n.text)
      .reverse();
  }

  // on has a listener called with the draft each time that it is another.
  on(listener: (now: Draft) => void): void {
    this.listeners.add(listener);
  }

  // mine: this page began the draft that asks, or answered in it.
  get mine(): boolean {
    return this.led && this.now?.state === 'asking';
  }

  typed(field: number, e: Event): void {
    this.words[field] = (e.target as HTMLInputElement).value;
    this.s.changed();
  }

  // does takes a step for the question that is on the screen.
  async does(step: Step): Promise<void> {
    if (this.busy) return;
    this.busy = true;
    this.refusal = '';
    this.lead(step.do !== 'end');
    this.s.changed();
    const before = this.now;
    const question = before?.question?.id;
    const body = question === undefined || step.do === 'begin' || step.do === 'end' ? step : {...step, question};
    try {
      this.take(await post<Draft>('/api/draft', body), false);
    } catch (e) {
      this.refusal = e instanceof Refused ? e.message : 'benchproof did not answer: it may not have taken that.';
    }
    if (this.now?.asked === before?.asked) {
      // The same question stands. What is wrong with what was typed is among the news; a mode's name may be right later.
      this.busy = false;
      if (step.do === 'answer' && before?.question?.act !== 'mode') this.words = [];
    }
    this.s.changed();
  }

  private lead(leads: boolean): void {
    this.led = leads;
    sessionStorage.setItem(mineKey, leads ? 'yes' : 'no');
  }

  // copy puts a command where it can be pasted from.
  async copy(command: string): Promise<void> {
    await navigator.clipboard.writeText(command);
    this.copied = command;
    this.s.changed();
  }

  // take takes the draft as it is now. One on the stream goes before all: a daemon that was started again counts anew.
  private take(now: Draft, streamed: boolean): void {
    const before = this.now;
    if (!streamed && before && now.version < before.version) return;
    this.now = now;
    if (before?.asked !== now.asked) {
      // The stream may be sooner than the answer to the step, and so may who answers next.
      this.words = [];
      this.refusal = '';
      this.busy = false;
      // What brought this question is told with it, what was said before that is not.
      const last = before?.news.at(-1)?.number ?? 0;
      this.told = now.news.some((n) => n.number === last) ? last : 0;
      requestAnimationFrame(() => this.focus());
    }
    if (now.state === 'done' && this.sheetOf !== (now.file ?? ' ')) void this.read(now.file ?? ' ');
    if (now.state !== 'done') this.sheetOf = '';
    for (const listener of this.listeners) listener(now);
    this.s.changed();
  }

  // focus is in the field of a question that is typed, where that brings up no keyboard on the screen.
  private focus(): void {
    if (!matchMedia('(pointer: fine)').matches) return;
    document.querySelector<HTMLElement>('.draft .field input, .draft .field select')?.focus();
  }

  private async read(file: string): Promise<void> {
    this.sheetOf = file;
    try {
      this.sheet = (await text('/api/draft/sheet')).trimEnd().split('\n');
    } catch {
      this.sheetOf = '';
      this.sheet = undefined;
    }
    this.s.changed();
  }
}
