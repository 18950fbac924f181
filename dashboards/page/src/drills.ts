// The drills as the server has them, and the steps that this page puts in.
import {get, insist, post, Refused} from './api';
import type {Store} from './store';
import type {PromptWaiting} from './types';

export interface DrillPrompt {
  id: string;
  text: string;
  key: string; // the words that fill the screen
  answers: 'wire' | 'count' | 'builder' | 'words' | 'marks';
  hands: boolean; // both are needed: nobody is asked for a touch
  held: boolean; // an answer is noted, and the prompt stands on
  hold_ns: number; // until the next comes by itself, 0: as long as it takes
  early: string; // what is lost by going on early, a clause
}

export interface Drill {
  name: string;
  purpose: string;
  cautions: string[];
  prompts: DrillPrompt[];
  again: boolean; // prompts can be repeated, and gone back from
  tilts: boolean;
  claims: {right: number; wrong: number; open: number; stale: number};
}

export interface WalkMark {
  mark: string;
  missed: string;
  longest: number;
  frames: number;
  stood_ns: number;
  need_ns: number;
}

export interface Running {
  drill: string;
  by: string;
  seq: number;
  prompts: number;
  cautions: string[];
  confirmed: boolean;
  prompt?: {id: string; text: string; number: number; since_ns: number};
  hints: string[];
  said: {seq: number; at_ns: number; what: 'hint' | 'answer' | 'mark'; text: string}[];
  wrong: DrillClaim[]; // seen wrong since its first prompt
  walk: WalkMark[];
}

export interface DrillClaim {
  claim: string;
  sentence: string;
  reopens: string;
}

export interface Ended {
  drill: string;
  seq: number;
  how: string;
  why: string;
  walk: WalkMark[];
  right_now: string;
  undecided: string;
  then: string;
  others: string;
  elsewhere: DrillClaim[];
  wrong: DrillClaim[];
  open: DrillClaim[];
  more: {wrong: number; open: number; stale: number};
  next: {again: '' | 'unfinished' | 'after the change'; drill: string};
}

export interface Shown {
  drills: Drill[];
  running?: Running;
  ended?: Ended;
  seq: number;
  now_ns: number;
}

// mineKey is where the page remembers over a reload which drill it leads.
const mineKey = 'benchproof.drill';

// Drills asks anew at each event about a drill, so that all who look see the same.
export class Drills {
  shown: Shown | undefined;
  refusal = ''; // why the latest step of this page was not taken
  busy = false; // a step of this page is on its way

  private asking = false;
  private again = false;
  private led = Number(sessionStorage.getItem(mineKey) ?? 0); // seq of the drill that this page leads
  private listeners = new Set<(now: Shown) => void>();

  constructor(private readonly s: Store) {
    s.onLine((line) => {
      if (/^(drill|range|verdict|judgement|session)\./.test(line.kind)) void this.ask();
    });
    s.on('hello', () => void this.ask());
  }

  // on has a listener called with what the server says each time.
  on(listener: (now: Shown) => void): void {
    this.listeners.add(listener);
  }

  get running(): Running | undefined {
    return this.shown?.running;
  }

  // plan is a drill of the list.
  plan(name: string): Drill | undefined {
    return this.shown?.drills.find((d) => d.name === name);
  }

  // standing is the prompt that stands, as the list has it.
  get standing(): DrillPrompt | undefined {
    const r = this.running;
    return r?.prompt && this.plan(r.drill)?.prompts.find((p) => p.id === r.prompt?.id);
  }

  // losesSignal: the prompt that stands has the transmitter off, or switches it.
  get losesSignal(): boolean {
    const r = this.running;
    const part = r?.prompt?.id.split('/').at(-1) ?? '';
    return ['failsafe', 'power-up'].includes(r?.drill ?? '') && ['off', 'settle', 'on', 'back'].includes(part);
  }

  // mine: this page began the drill under way, or goes on with it.
  get mine(): boolean {
    return this.running !== undefined && this.running.seq === this.led;
  }

  // goOn leads the drill under way from here.
  goOn(): void {
    this.lead(this.running?.seq ?? 0);
    this.tell();
    this.s.changed();
  }

  // left is how many seconds the prompt has to go that stands, undefined where it does not end by
  // itself. The server decides; this only shows.
  get left(): number | undefined {
    const p = this.standing;
    const since = this.running?.prompt?.since_ns;
    if (!p || p.hold_ns === 0 || since === undefined || !this.s.now) return undefined;
    const now = this.s.now.now_ns + Math.min(this.s.silence, 1) * 1e9;
    return Math.max(0, (p.hold_ns - (now - since)) / 1e9);
  }

  // waiting is what the prompt that stands sees and waits for, undefined where that is not known yet.
  get waiting(): PromptWaiting | undefined {
    const now = this.s.now?.prompt;
    return now?.id === (this.running?.prompt?.id ?? '') ? now : undefined;
  }

  async begin(name: string, by: string): Promise<void> {
    const seq = await this.step({drill: name, do: 'begin', asks: true, ...(by === '' ? {} : {by})});
    if (seq !== undefined) this.lead(seq);
    await this.ask();
  }

  // put puts in a step for the prompt that stands.
  async put(what: 'confirm' | 'done' | 'repeat' | 'back' | 'abandon', words = ''): Promise<void> {
    const r = this.running;
    if (!r) return;
    const prompt = r.prompt && what !== 'confirm' && what !== 'abandon' ? {prompt: r.prompt.id} : {};
    await this.step({drill: r.drill, do: what, ...prompt, ...(words === '' ? {} : {words})});
    await this.ask();
  }

  private tell(): void {
    for (const listener of this.listeners) if (this.shown) listener(this.shown);
  }

  private lead(seq: number): void {
    this.led = seq;
    sessionStorage.setItem(mineKey, String(seq));
  }

  private async step(body: object): Promise<number | undefined> {
    this.busy = true;
    this.refusal = '';
    this.s.changed();
    try {
      return (await post<{seq?: number}>('/api/drill', body)).seq ?? 0;
    } catch (e) {
      this.refusal = e instanceof Refused ? e.message : 'benchproof did not answer: it may not have taken that.';
      return undefined;
    } finally {
      this.busy = false;
      this.s.changed();
    }
  }

  // ask brings what is so now; while it is asked already, once more behind that.
  private async ask(): Promise<void> {
    this.again = true;
    if (this.asking) return;
    this.asking = true;
    try {
      while (this.again) {
        this.again = false;
        this.shown = await insist(() => get<Shown>('/api/drills'));
        this.tell();
      }
    } catch {
      // It is refused: the next greeting tries again.
    } finally {
      this.asking = false;
      this.s.changed();
    }
  }
}
