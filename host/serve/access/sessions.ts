import type { Access, Role } from './access-file.js';
import { hashToken, newToken } from './secrets.js';

const lastsMs = 30 * 24 * 3_600_000;
const mostSessions = 200;

type Session = {
  readonly role: Role;
  /** The hash of the pass-phrase that opened it: another pass-phrase ends it. */
  readonly openedBy: string;
  readonly untilMs: number;
};

/** Who is signed in, in memory: a restart asks everyone again. Only hashes are kept, as on disk. */
export class Sessions {
  readonly #open = new Map<string, Session>();

  /** The cookie's value. */
  begin(role: Role, openedBy: string, nowMs: number): string {
    const token = newToken();
    this.#open.set(hashToken(token), { role, openedBy, untilMs: nowMs + lastsMs });
    const oldest = this.#open.keys().next().value;
    if (this.#open.size > mostSessions && oldest !== undefined) this.#open.delete(oldest);
    return token;
  }

  roleOf(token: string, passPhrases: Access['passPhrases'], nowMs: number): Role | undefined {
    const found = this.#open.get(hashToken(token));
    return found && found.untilMs > nowMs && passPhrases[found.role] === found.openedBy
      ? found.role
      : undefined;
  }
}
