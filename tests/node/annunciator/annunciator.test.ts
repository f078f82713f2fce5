import { expect, test } from 'vitest';
import { alarmSound, fastFlash, steady, warningSound } from '../../../node/annunciator/annunciation.js';
import { Annunciator } from '../../../node/annunciator/annunciator.js';
import { asMonotonicMs } from '../../../node/time/clock.js';

const rig = () => {
  const written = { buzzer: '', lamp: '', heartbeat: '' };
  const pin = (name: keyof typeof written) => ({
    write: (high: boolean) => {
      written[name] += high ? '1' : '0';
    },
  });
  const annunciator = new Annunciator({
    buzzer: pin('buzzer'),
    lamp: pin('lamp'),
    heartbeat: pin('heartbeat'),
  });
  return { annunciator, written };
};

test('writes every pin at every pass, changed or not, so that a board that was reset is set right', () => {
  const { annunciator, written } = rig();
  for (let i = 0; i < 10; i++)
    annunciator.play({ buzzer: alarmSound, lamp: steady, soundingIds: ['a'] }, asMonotonicMs(500 + i * 100));
  expect(written).toEqual({ buzzer: '1111110011', lamp: '1111111111', heartbeat: '' });
});

test('a second warning is heard at once, not after the pause of the first', () => {
  const { annunciator, written } = rig();
  const at = (seconds: number, ...soundingIds: string[]) =>
    annunciator.play({ buzzer: warningSound, lamp: fastFlash, soundingIds }, asMonotonicMs(seconds * 1000));
  at(0, 'a:warning');
  at(5, 'a:warning');
  at(6, 'a:warning', 'b:warning');
  at(7, 'a:warning', 'b:warning');
  at(8, 'a:warning'); // One fewer is no news.
  expect(written.buzzer).toBe('10100');
});

test('the heartbeat runs only when ordered to, and each beat is an edge', () => {
  const { annunciator, written } = rig();
  for (let i = 0; i < 4; i++) annunciator.beat();
  expect(written.heartbeat).toBe('1010');
});

test('stopping leaves every pin low', () => {
  const { annunciator, written } = rig();
  annunciator.play({ buzzer: alarmSound, lamp: steady, soundingIds: ['a'] }, asMonotonicMs(0));
  annunciator.beat();
  annunciator.stop();
  expect(written).toEqual({ buzzer: '10', lamp: '10', heartbeat: '10' });
});
