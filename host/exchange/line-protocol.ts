import {
  type ExchangeRow,
  type Format,
  numberNames,
  oldProbeName,
  rowFromWords,
  type Words,
} from './exchange-row.js';

/**
 * The InfluxDB line protocol. Words are tags, because a server may keep only numbers as fields; `good` is 1 or 0,
 * so that a line has a field even where there is neither a value nor a raw quantity. Time in nanoseconds. The probe's tag keeps
 * its old name: another would start a second series on every server.
 */
export const lineProtocol: Format = {
  write: (row) => lineOf(row, ''),
  read: (line) => readLine(line),
};

const measurement = 'reading';

/** A line with more tags in front, already escaped, each with a comma behind; such as the boat's name. */
export const lineOf = ({ node, rate, reading }: ExchangeRow, moreTags: string): string => {
  let line = `${measurement},${moreTags}`;
  if (reading.certificate !== undefined) line += `certificate=${tag(reading.certificate)},`;
  line += `${oldProbeName}=${reading.probe}`;
  if (node !== undefined) line += `,node=${node}`;
  line += `,quality=${reading.quality},rate=${rate}`;
  if (reading.rawUnit !== undefined) line += `,rawUnit=${reading.rawUnit}`;
  line += ` good=${reading.quality === 'good' ? 1 : 0}`;
  for (const name of numberNames) if (reading[name] !== undefined) line += `,${name}=${reading[name]}`;
  return `${line} ${nanoseconds(reading.at)}`;
};

/** Escapes commas, spaces and equal signs. The protocol has no way to write a line feed; it becomes a space. */
export const tag = (text: string): string =>
  text
    .replaceAll(/[\\\p{Cc}]/gu, ' ')
    .trim()
    .replaceAll(/[ ,=]/g, '\\$&');

const nanoseconds = (at: number): string => (at === 0 ? '0' : `${at}000000`);

const readLine = (line: string): ExchangeRow | string => {
  const [head = '', fields = '', time = '', ...more] = splitUnescaped(line, ' ');
  if (more.length > 0 || time === '') return 'the line has not the three parts tags, fields and time';
  const [name, ...tags] = splitUnescaped(head, ',');
  if (name !== measurement) return `the measurement is "${name}", not ${measurement}`;
  if (!/^\d{1,19}$/.test(time)) return `time "${time}" is not nanoseconds since 1970`;
  const words: Record<string, string> = {};
  for (const pair of [...tags, ...splitUnescaped(fields, ',')]) {
    const [key = '', value, ...rest] = splitUnescaped(pair, '=');
    if (value === undefined || rest.length > 0 || key === '') return `"${pair}" is not name=value`;
    if (Object.hasOwn(words, key)) return `${key} comes twice`;
    words[key] = value.replaceAll(/\\([ ,=])/g, '$1');
  }
  if (words.good !== (words.quality === 'good' ? '1' : '0')) return 'good and quality contradict each other';
  return rowFromWords(Math.round(Number(time) / 1e6), words as Words);
};

const splitUnescaped = (text: string, separator: string): string[] => {
  const parts: string[] = [];
  let part = '';
  for (let i = 0; i < text.length; i++) {
    const char = text[i] as string;
    if (char === '\\' && i + 1 < text.length) {
      part += char + text[++i];
    } else if (char === separator) {
      parts.push(part);
      part = '';
    } else part += char;
  }
  parts.push(part);
  return parts;
};
