// What is said aloud: prompts, questions of a draft, results, the mode asked for, link lost and back.
// Where the browser has no voice, tones. On the page that leads a drill or a draft it is on unless
// switched off, so that two pages in one room don't talk over each other; else it is off unless
// switched on.
import {html, type TemplateResult} from './html';
import type {Draft, Drafting} from './drafting';
import type {Drills, Shown} from './drills';
import type {Store} from './store';
import type {Line} from './types';
import {onPage, spoken} from './prompt_words';

// A tone: its pitch in hertz and how long it lasts in seconds.
type Tone = [hertz: number, seconds: number];

const tones: Record<Kind, Tone[]> = {
  prompt: [[660, 0.12], [990, 0.2]],
  result: [[520, 0.25]],
  mode: [[780, 0.1]],
  lost: [[330, 0.2], [260, 0.2], [200, 0.4]],
  back: [[390, 0.12], [520, 0.12], [780, 0.2]],
};

const tick: Tone = [880, 0.07];

// counted are the last seconds of a prompt that ends by itself, a tick each.
const counted = 3;

export type Kind = 'prompt' | 'result' | 'mode' | 'lost' | 'back';

// goesFirst: what is spoken gives way to this.
const goesFirst: Kind[] = ['prompt', 'lost'];

export class Cues {
  private readonly wanted = {drill: true, else: false};
  private audio: AudioContext | undefined;
  private speaking: Kind | undefined;
  private latest: SpeechSynthesisUtterance | undefined; // that is spoken
  private pending: {kind: Kind; text: string; on: boolean} | undefined;
  private prompt = '';
  private ended: number | undefined;
  private mode: string | undefined;
  private counted = 0;
  private led = false; // this page led the drill that was under way last
  private asked = 0; // the question of a draft that was said last, 0: none
  private news = 0; // number of the latest sentence of the draft

  constructor(
    private readonly s: Store,
    private readonly drills: Drills,
    private readonly drafting: Drafting,
  ) {
    const kept = localStorage.getItem('benchproof.cues');
    if (kept) Object.assign(this.wanted, JSON.parse(kept));
    s.onLine((line) => this.line(line));
    s.on('now', () => this.present());
    drills.on((shown) => this.drill(shown));
    drafting.on((now) => this.draft(now));
  }

  private get place(): 'drill' | 'else' {
    return this.drills.mine || this.drafting.mine ? 'drill' : 'else';
  }

  get on(): boolean {
    return this.wanted[this.place];
  }

  toggle(): void {
    this.wanted[this.place] = !this.on;
    localStorage.setItem('benchproof.cues', JSON.stringify(this.wanted));
    if (this.on) this.unlock();
    else this.silence();
    this.s.changed();
  }

  // unlock is for a touch of the person: before one, browsers make no sound.
  unlock(): void {
    this.audio ??= new AudioContext();
    void this.audio.resume();
  }

  // say says a text, or sounds its tones. One voice at a time: a prompt ends what is spoken, all else waits, and
  // only the latest of it.
  say(kind: Kind, text: string, on = this.on): void {
    if (!on) return;
    const voice = this.voice();
    if (!voice) {
      this.sound(tones[kind]);
      return;
    }
    if (this.speaking !== undefined && !goesFirst.includes(kind)) {
      this.pending = {kind, text, on};
      return;
    }
    this.silence();
    const words = new SpeechSynthesisUtterance(text);
    words.lang = 'en';
    words.voice = voice;
    words.onend = words.onerror = () => this.over(words);
    this.speaking = kind;
    this.latest = words;
    speechSynthesis.speak(words);
  }

  // over goes on with what waited. What was cancelled may say so late.
  private over(words: SpeechSynthesisUtterance): void {
    if (words !== this.latest) return;
    this.speaking = this.latest = undefined;
    const next = this.pending;
    this.pending = undefined;
    if (next) this.say(next.kind, next.text, next.on);
  }

  private silence(): void {
    this.speaking = this.latest = this.pending = undefined;
    if ('speechSynthesis' in window) speechSynthesis.cancel();
  }

  // voice is one that speaks English, if any does.
  private voice(): SpeechSynthesisVoice | undefined {
    if (!('speechSynthesis' in window)) return undefined;
    const english = speechSynthesis.getVoices().filter((v) => v.lang.startsWith('en'));
    return english.find((v) => v.localService) ?? english[0];
  }

  private sound(list: Tone[]): void {
    const audio = this.audio;
    if (!audio || audio.state !== 'running') return;
    let at = audio.currentTime;
    for (const [hertz, seconds] of list) {
      const source = new OscillatorNode(audio, {frequency: hertz});
      const level = new GainNode(audio, {gain: 0.3});
      level.gain.setTargetAtTime(0, at + seconds * 0.7, seconds * 0.1);
      source.connect(level).connect(audio.destination);
      source.start(at);
      source.stop(at + seconds);
      at += seconds + 0.03;
    }
  }

  // drill says a prompt that is new, what was asked about it, and what came of a drill.
  private drill(shown: Shown): void {
    const r = shown.running;
    const at = r?.prompt ? `${r.prompt.id} ${r.prompt.since_ns} ${r.hints.length} ${this.drills.mine}` : '';
    const first = this.ended === undefined;
    if (at !== this.prompt) {
      this.prompt = at;
      this.counted = 0;
      const hint = r?.hints.at(-1);
      if (r?.prompt) this.say('prompt', onPage(hint ?? spoken(r.prompt.text)));
    }
    const seq = shown.ended?.seq ?? 0;
    const on = this.led ? this.wanted.drill : this.wanted.else;
    this.led = this.drills.mine;
    if (!first && shown.ended && seq !== this.ended) {
      this.say('result', `Drill ${shown.ended.drill} ${shown.ended.how}. ${shown.ended.right_now}`, on);
    }
    this.ended = seq;
  }

  // draft says a question that is new, behind what brought it, and what was found while it stands.
  private draft(now: Draft): void {
    const asked = now.state === 'asking' ? now.asked : 0;
    const another = asked !== this.asked;
    const news = another ? this.drafting.fresh.toReversed() : now.news.filter((n) => n.number > this.news).map((n) => n.text);
    const over = now.state === 'done' && this.asked !== 0;
    this.asked = asked;
    this.news = now.news.at(-1)?.number ?? this.news;
    if (over && this.wanted.drill) this.say('result', 'The sheet is drafted.');
    if (!this.drafting.mine) return;
    if (another) this.say('prompt', [...news, now.question?.text ?? ''].join(' '));
    else if (news.length > 0) this.say('result', news.join(' '));
  }

  private line(line: Line): void {
    const data = line['data'] as {verdict?: string; sentence?: string} | undefined;
    switch (line.kind) {
      case 'link.lost':
        return this.say('lost', 'Link lost');
      case 'link.restored':
        return this.say('back', 'The link is back');
      case 'verdict.changed':
        if (this.drills.running && data?.verdict === 'seen wrong') this.say('result', `Seen wrong: ${data.sentence ?? ''}`);
    }
  }

  // present says the mode asked for when it changed, and ticks the last seconds of a prompt.
  private present(): void {
    const tap = this.s.now?.taps.find((t) => t.kind === 'bus');
    if (tap?.asked && tap.mode !== this.mode) {
      if (this.mode !== undefined) this.say('mode', tap.mode === '' ? 'no mode' : `mode ${tap.mode}`);
      this.mode = tap.mode;
    }
    const left = this.drills.left;
    if (left === undefined || left <= 0 || left > counted) return;
    const second = Math.ceil(left);
    if (second === this.counted) return;
    this.counted = second;
    if (this.on) this.sound([tick]);
  }
}

export function cuesSwitch(c: Cues): TemplateResult {
  return html`<button class="cues" aria-pressed=${String(c.on)} @click=${() => c.toggle()}>
    ${c.on ? 'Spoken cues: on' : 'Spoken cues: off'}
  </button>`;
}
