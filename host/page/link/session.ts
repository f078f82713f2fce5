import { signal } from '@preact/signals';
import type { SessionNow } from '../../serve/access/session-routes.js';
import { ask } from './ask.js';

/** Who this page is to the host: what it may do, and whether a bench is behind it. Absent until the host said so. */
export const session = signal<SessionNow | undefined>(undefined);

export const askSession = async (): Promise<void> => {
  try {
    session.value = await ask<SessionNow>('api/session');
  } catch {
    // The stream shows that the host is unreachable; this is asked again when it is back.
  }
};

export const mayWatch = (): boolean => session.value === undefined || session.value.role !== undefined;
export const mayAct = (): boolean => session.value === undefined || session.value.role === 'act';
