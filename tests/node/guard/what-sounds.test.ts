import { expect, test } from 'vitest';
import type { MissingReason } from '../../../node/reading/reading.js';
import { type Load, loads, type Outcome, ScriptedBoat, type Spoil } from './scripted-boat.js';

const page = new URL('../../../hardware-notes/what-sounds.md', import.meta.url).pathname;

const lost =
  (id: string, reason: MissingReason): Spoil =>
  (probe, c) =>
    probe === id ? reason : c;
const elbow = 'starboard-elbow';
let frozenC: number | undefined;

const row = (fault: string, { soundedS, heartStoppedS, alert, alerts }: Outcome): string => {
  const seen = alert ?? alerts[0];
  const sound = soundedS === undefined ? 'nothing' : alert?.priority === 'alarm' ? 'alarm' : 'warning';
  const within = soundedS === undefined ? '' : `${Math.ceil(soundedS)} s`;
  const heart = heartStoppedS === undefined ? 'beats' : 'stops: the circuit sounds too';
  const sees = seen
    ? `${seen.priority}, *${seen.instruction}*: ${seen.message.replace(/-?\d+\.\d+/g, '…')}`
    : 'nothing';
  return `| ${fault} | ${sound} | ${within} | ${heart} | ${sees} |`;
};

const preface = `# What sounds

Made by a test from what the guard did on the bench's boat (simulation; probes in wells, nothing learnt, so that the plain
detector is at work): \`tests/node/guard/what-sounds.test.ts\`. At cruise unless the row says otherwise; the seconds count from
the fault. A warning that is not acknowledged is an alarm two minutes later. Expect worse afloat.

| fault | what sounds | within | heartbeat | what the crew sees |
|---|---|---|---|---|
`;

test('the table of faults is what the guard does (renew with: vitest -u)', async () => {
  const boat = new ScriptedBoat('cruise', false, 60);
  const long = new ScriptedBoat('cruise', false, 1300);
  const rows = [
    ...(Object.keys(loads) as Load[]).map((load) =>
      row(`a bag over the port intake, ${load}`, new ScriptedBoat(load, true, 60).run()),
    ),
    ...(
      ['open', 'short', 'short-to-supply', 'no-answer', 'reversed', 'contradicting', 'canary-astray'] as const
    ).map((reason) => row(`an elbow probe is \`${reason}\`, engine running`, boat.run(lost(elbow, reason)))),
    row(
      'the same, and its running input broken with it',
      boat.run(lost(elbow, 'open'), { running: false, from: boat.moored() }),
    ),
    row(
      'the same, engine stopped',
      boat.run((probe) => (probe === elbow ? 'open' : 18), { running: false, from: boat.moored() }),
    ),
    row(
      'an elbow probe so loose that half of it is lost',
      long.run((probe, c, s) => (probe === elbow && s % 10 < 5 ? c + 50 * Math.sin(s * 977) : c)),
    ),
    row(
      'an elbow probe does not change on a steady engine',
      long.run((probe, c) => {
        if (probe !== elbow) return c;
        frozenC ??= c + 0.5;
        return frozenC;
      }),
    ),
    row(
      'an elbow probe reads colder than its water',
      boat.run((probe, c) => (probe === elbow ? 2 : c)),
    ),
    row('an exhaust-gas probe is `open`', boat.run(lost('starboard-exhaust', 'open'))),
    row('the sea probe is `open`', boat.run(lost('sea-water', 'open'))),
    row('the engine-room probe is `open`', boat.run(lost('engine-room', 'open'))),
    row('nothing is wrong', boat.run()),
  ];
  const text = `${preface}${rows.join('\n')}

Not in this table, because the guard is not there to sound: a lost board, cable, computer or program stops the heartbeat, and
[the missing-pulse circuit](missing-pulse.md) sounds. A probe that falls off at a steady load may stay hidden for up to four
hours of running (\`tests/node/guard/hidden-probes.test.ts\`): after two the crew is asked to change the throttle, after four it
sounds; \`proofHours\` in the kit sets the two. An acknowledged blindness is called to mind every ten minutes by one long and one
short tone while that engine runs; \`reminderMinutes\` in the kit, 1 to 30.
`;
  await expect(text).toMatchFileSnapshot(page);
}, 60_000);
