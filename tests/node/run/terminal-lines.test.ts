import { expect, it } from 'vitest';
import { mostPerMinute, terminalLines } from '../../../node/log/terminal-lines.js';

const time = '2026-05-01T10:31:07.000Z';
const record = (more: object, at = time) =>
  JSON.stringify({ level: 40, time: at, msg: 'A probe is open.', ...more });

it('an alert is a line for a person, with its priority, and no JSON', () => {
  const line = terminalLines()(record({ priority: 'alarm', alert: 'cooling:port', msg: 'Port: no water.' }));
  expect(line).toMatch(/^2026-05-01 \d\d:31:07 ALARM Port: no water\.\n$/);
});

it('an error keeps its reason and its place on one line of at most 503 characters', () => {
  const err = { message: 'x'.repeat(900), stack: 'Error: x\n    at pass (pass.ts:1:1)' };
  const line = terminalLines()(record({ level: 50, err, msg: 'A pass failed.' })) ?? '';
  expect(line).toMatch(/^2026-05-01 \d\d:31:07 TROUBLE A pass failed\. \(xxx/);
  expect(line.trimEnd().split('\n')).toHaveLength(1);
  expect(line.trimEnd().length).toBe(503);
});

it(`after ${mostPerMinute} lines in a minute the rest is counted, alarms are shown all the same, and the next minute continues`, () => {
  const lineFor = terminalLines();
  const lines = Array.from({ length: mostPerMinute + 25 }, () => lineFor(record({})));
  expect(lines.filter((line) => line !== undefined)).toHaveLength(mostPerMinute);
  expect(lineFor(record({ priority: 'alarm' }))).toContain('(25 lines were left out');
  expect(lineFor(record({}, '2026-05-01T10:32:08.000Z'))).toContain('A probe is open.');
});
