// The one way in which this page makes elements of text: templates of lit-html, which has the only
// Trusted Types policy that the page is allowed.
export {html, svg, nothing, render} from 'lit-html';
export type {TemplateResult} from 'lit-html';
