// A range walk as a table: what was missed at each mark.
import type {WalkMark} from './drills';
import {html, nothing, type TemplateResult} from './html';

export function walked(walk: WalkMark[]): TemplateResult | typeof nothing {
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
