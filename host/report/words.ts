import { type Degrees, pointText, spanText } from '../wording/degrees.js';

/** `84.2 °C` with a true minus, a dash where nothing is known. */
const typeset = (text: string, { letter, sign }: Degrees): string =>
  text.replace('-', '−').replace(letter, sign);

export const pointCell = (degrees: Degrees, pointC: number | undefined, digits = 1): string =>
  pointC === undefined ? '–' : typeset(pointText(degrees, pointC, digits), degrees);

export const spanCell = (degrees: Degrees, spanC: number | undefined, digits = 1): string =>
  spanC === undefined ? '–' : typeset(spanText(degrees, spanC, digits), degrees);

export const escapeHtml = (text: string): string =>
  text.replace(
    /[&<>"']/g,
    (c) => ({ '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' })[c] ?? c,
  );
