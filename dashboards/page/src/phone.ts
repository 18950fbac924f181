// This phone, laid on the model, feels how it is tilted.
import {html, nothing, type TemplateResult} from './html';
import type {Sensing} from './sensing';
import type {Store} from './store';
import type {Phone, Tap} from './types';
import {type Wake, wakeNote} from './wake';

// what keeps its tilts from being believed, in words.
const troubles: Record<string, string> = {
  slow: 'Attitudes come too seldom: end what else runs on this phone, or charge it.',
  'no-gyroscope': 'This phone has no gyroscope: pitch and roll are seen, yaw is not.',
  'turned-screen': 'The picture on the screen is turned: lock the rotation of the screen, upright.',
  clock: 'The clock of this phone does not go as fast as that of the computer.',
  'second-phone': 'A second phone sends for the same model, and is not heard: close this page on one of them.',
};

// hasPhone reports whether the sheet has a phone among its taps.
export function phoneTap(s: Store): Tap | undefined {
  return s.now?.taps.find((t) => t.kind === 'tilt');
}

export function phone(s: Store, sensing: Sensing, wake: Wake): TemplateResult {
  const seen = phoneTap(s)?.phone;
  return html`
    <section aria-labelledby="phone-title">
      <h2 id="phone-title">This phone on the model</h2>
      <p>
        Fasten it so that it can’t slide, screen up, its top edge where the sheet says (<em>top</em>), clear of every surface and of the propeller. It is a
        radio of its own: while it sends, the link, its range, failsafe times and soaks are not judged.
      </p>
      <p>
        <button class="wide" @click=${() => toggle(sensing, wake)} ?disabled=${s.hello?.change === false}>
          ${sensing.on ? 'Stop sending' : 'Send how this phone lies'}
        </button>
      </p>
      ${s.hello?.change === false ? html`<p class="note">Sending needs the token: see <a href="#access">Access</a>.</p>` : nothing}
      ${sensing.said === '' ? nothing : html`<p class="note" role="status">${sensing.said}</p>`} ${wakeNote(wake)}
      ${seen ? state(seen, sensing.on) : nothing}
    </section>
  `;
}

function toggle(sensing: Sensing, wake: Wake): void {
  if (sensing.on) sensing.end();
  else void sensing.begin();
  wake.want('phone', sensing.on || !sensing.said);
}

// state is what the server makes of what is sent, by this phone or another one.
function state(p: Phone, sends: boolean): TemplateResult {
  const tilted = (Math.abs(p.off_cdeg) / 100).toFixed(0);
  return html`
    <p class="phone-state" role="status">
      ${p.live ? (p.resting ? 'Heard, and at rest.' : `Heard, ${tilted}° from the latest rest.`) : p.asleep ? 'Asleep: keep this page in front.' : sends ? 'Waiting for the sensors.' : 'Not heard.'}
      ${p.live ? (p.laid ? 'How it lies was shown.' : html`How it lies was not shown yet: do the drill <a href="#drill">laying</a>.`) : nothing}
    </p>
    ${p.live ? p.troubles.map((t) => html`<p class="note">${troubles[t] ?? t}</p>`) : nothing}
  `;
}
