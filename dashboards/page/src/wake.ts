// The screen stays awake while a drill or a draft asks for something, where the browser keeps it awake.
import {html, nothing, type TemplateResult} from './html';

// What is said where the screen may fall asleep.
const insecure =
  'The screen may fall asleep: browsers keep it awake for secure pages (https) only. Let it stay on longer in the settings of this device.';
const unable = 'The screen may fall asleep: this browser can’t keep it awake. Let it stay on longer in the settings of this device.';
const refused = 'The screen may fall asleep: this device did not let the browser keep it awake, as when its battery is low.';

export class Wake {
  said = ''; // why the screen may fall asleep, '' while it stays awake or may sleep

  private readonly wanted = new Set<string>(); // by these
  private lock: WakeLockSentinel | undefined;

  constructor(private readonly changed: () => void) {
    // A page that was hidden has lost it.
    document.addEventListener('visibilitychange', () => void this.take());
  }

  // want keeps the screen awake for something, or lets it sleep once nothing wants it.
  want(by: string, wanted: boolean): void {
    if (wanted === this.wanted.has(by)) return;
    if (wanted) {
      this.wanted.add(by);
      void this.take();
      return;
    }
    this.wanted.delete(by);
    if (this.wanted.size > 0) return;
    void this.lock?.release();
    this.lock = undefined;
    this.say('');
  }

  private async take(): Promise<void> {
    if (this.wanted.size === 0 || document.hidden || (this.lock && !this.lock.released)) return;
    if (!isSecureContext) return this.say(insecure);
    if (!('wakeLock' in navigator)) return this.say(unable);
    try {
      const lock = await navigator.wakeLock.request('screen');
      if (this.wanted.size === 0) return void lock.release();
      this.lock = lock;
      this.say('');
    } catch {
      this.say(refused);
    }
  }

  private say(why: string): void {
    if (why === this.said) return;
    this.said = why;
    this.changed();
  }
}

export function wakeNote(w: Wake): TemplateResult | typeof nothing {
  return w.said === '' ? nothing : html`<p class="note" role="status">${w.said}</p>`;
}
