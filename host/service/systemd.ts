import { spawnSync } from 'node:child_process';
import { existsSync, rmSync, writeFileSync } from 'node:fs';
import { setTimeout } from 'node:timers/promises';

export const unitName = 'elbowroom.service';
export const unitPath = `/etc/systemd/system/${unitName}`;

export type Ran = { readonly code: number; readonly text: string };

const systemctl = (...words: readonly string[]): Ran => {
  const { status, stdout, stderr, error } = spawnSync('systemctl', words, {
    encoding: 'utf8',
    timeout: 30_000,
  });
  return { code: status ?? 127, text: error?.message ?? `${stdout}${stderr}`.trim() };
};

/** Whether this computer is run by systemd at all (sd_booted(3)). */
export const hasSystemd = (): boolean => existsSync('/run/systemd/system');

/** Writes the unit and starts it now and with the computer. Gives the first step that failed, or undefined. */
export const installUnit = (text: string): Ran | undefined => {
  writeFileSync(unitPath, text, { mode: 0o644 });
  for (const step of [['daemon-reload'], ['enable', unitName], ['restart', unitName]]) {
    const ran = systemctl(...step);
    if (ran.code !== 0) return { ...ran, text: `systemctl ${step.join(' ')}: ${ran.text}` };
  }
  return undefined;
};

/**
 * Whether the unit still runs a few seconds after its start, without having been started again: `Type=exec` makes systemctl
 * succeed as soon as the program is called, whatever becomes of it. Gives what is wrong, or undefined.
 */
export const stillRuns = async (afterMs = 8_000): Promise<string | undefined> => {
  const restarts = () => systemctl('show', '--property=NRestarts', '--value', unitName).text;
  const before = restarts();
  await setTimeout(afterMs);
  const { text: state } = systemctl('is-active', unitName);
  if (state !== 'active') return `It does not run: ${state || 'systemd gives no answer'}.`;
  const after = restarts();
  return after === before ? undefined : `It stops and is started again and again (${after} times so far).`;
};

/** Stops it and removes the unit; the boat's folder is not touched. */
export const removeUnit = (): void => {
  systemctl('disable', '--now', unitName);
  rmSync(unitPath, { force: true });
  systemctl('daemon-reload');
};

/** systemd's own account of it; code 0 while it runs (systemctl(1)). */
export const unitStatus = (): Ran => systemctl('status', '--no-pager', '--lines=5', unitName);
