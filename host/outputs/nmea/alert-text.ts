import type { AlertRow } from '../../../node/index.js';
import type { NodeNow } from '../../live/live-source.js';
import { instructionText } from '../../wording/instruction.js';
import { frameSentence, longestSentence } from './sentence.js';

/** A sentence names its place among all by two digits. */
const mostTexts = 99;

/**
 * Every active alarm and warning as a TXT sentence, the worst first, in the same few words as on the page:
 * `$YXTXT,02,01,01,ALARM STARBOARD: IDLE THEN STOP 101 C*hh`. Empty when none is active.
 * Source: NMEA 0183, TXT text transmission: total, number, identifier, text (from memory).
 */
export const alertSentences = (talker: string, nodes: readonly NodeNow[]): readonly string[] => {
  const texts = nodes
    .flatMap((node) => node.alerts.map((alert) => ({ node, alert })))
    .filter(({ alert }) => alert.state !== 'rectified' && alert.priority !== 'caution')
    .sort((a, b) => grade(a.alert) - grade(b.alert) || a.alert.since - b.alert.since)
    .slice(0, mostTexts);
  return texts.map(({ node, alert }, i) => {
    const fields = [`${talker}TXT`, two(texts.length), two(i + 1), two(i + 1)];
    const room = longestSentence - `$${fields.join()},*hh\r\n`.length;
    // What to do is worth more than the whole of a long name.
    const [full = '', short = full] = namesOf(node, alert).map((name) => textOf(node, alert, name));
    return frameSentence([...fields, (full.length > room ? short : full).slice(0, room).trimEnd()]);
  });
};

const two = (n: number): string => String(n).padStart(2, '0');
const grade = ({ priority }: AlertRow): number => (priority === 'alarm' ? 0 : 1);

/** The engine's name, in full and short; its id where a name has no letter that a sentence can carry. */
const namesOf = ({ engines }: NodeNow, { engine, engineName }: AlertRow): readonly (string | undefined)[] => {
  const card = engines.find(({ id }) => id === engine);
  const sayable = (name: string | undefined) =>
    name !== undefined && /[a-z]/i.test(plainText(name)) ? name : engine;
  return card ? [sayable(card.name), sayable(card.shortName)] : [sayable(engineName)];
};

const textOf = (node: NodeNow, alert: AlertRow, name: string | undefined): string => {
  const row = node.latest.find(({ probe }) => probe === alert.probe);
  const isKnown = node.connected && row?.quality === 'good' && row.temperatureC !== undefined;
  const words = instructionText(alert, name) || alert.message;
  const text = `${alert.priority} ${words}${isKnown ? ` ${Math.round(row.temperatureC ?? 0)} C` : ''}`;
  return plainText(text).toUpperCase();
};

/** Letters without their accents, and without the characters that NMEA 0183 keeps for its framing. */
const plainText = (text: string): string =>
  text
    .normalize('NFKD')
    .replace(/[’']/g, '')
    .replace(/[^\x20-\x7d]|[$*,!\\^]/g, '')
    .replace(/\s+/g, ' ')
    .trim();
