import { describe, expect, it } from 'vitest';
import { Live } from '../../../host/link/index.js';
import { systemClock } from '../../../node/index.js';

describe('a part of the host that fails at a message', () => {
  it('is an alert, does not stop the others, and is over when the part works again', () => {
    const live = new Live(systemClock);
    let full = true;
    let received = 0;
    live.on(() => {
      if (full) throw new Error('no space left on device');
    });
    live.on(() => received++);
    const send = () =>
      live.message(
        'boat',
        { kind: 'alerts', alerts: [] } as never,
        { boot: 'b', clockSteppedMs: 0, kept: false } as never,
      );
    const alert = () => live.own.alerts().find(({ id }) => id === 'host-part:failed');
    send();
    send();
    expect(received).toBe(2);
    expect(alert()).toMatchObject({ priority: 'caution', state: 'unacknowledged' });
    expect(alert()?.message).toMatch(/no space left on device/);
    full = false;
    send();
    expect(alert()?.state).toBe('rectified');
  });
});
