import { type Format, parseRfc3339, rfc3339, rowFromWords, type Words } from './exchange-row.js';

/** One JSON object a line with the names of the CSV columns; everything the store knows, absent where there is nothing. */
export const jsonLines: Format = {
  write: ({
    node,
    rate,
    reading: { at, probe, temperatureC, raw, rawUnit, coldJunctionC, quality, ...rest },
  }) =>
    JSON.stringify({
      time: rfc3339(at),
      probe,
      temperatureC,
      raw,
      rawUnit,
      coldJunctionC,
      quality,
      uncertaintyC: rest.uncertaintyC,
      certificate: rest.certificate,
      node,
      rate,
      pressureKpa: rest.pressureKpa,
      uncertaintyKpa: rest.uncertaintyKpa,
      speedRpm: rest.speedRpm,
      uncertaintyRpm: rest.uncertaintyRpm,
    }),
  read: (line) => {
    let value: unknown;
    try {
      value = JSON.parse(line);
    } catch {
      return 'the line is not JSON';
    }
    if (typeof value !== 'object' || value === null || Array.isArray(value))
      return 'the line is not a JSON object';
    const { time, ...others } = value as Record<string, unknown>;
    const at = typeof time === 'string' ? parseRfc3339(time) : undefined;
    if (at === undefined)
      return `time ${JSON.stringify(time)} is not RFC 3339, such as "2026-05-01T08:00:00.000Z"`;
    const words: Record<string, string> = {};
    for (const [name, word] of Object.entries(others)) {
      if (typeof word === 'number' || typeof word === 'string') words[name] = String(word);
      else return `${name} is neither a number nor a text`;
    }
    return rowFromWords(at, words as Words);
  },
};
