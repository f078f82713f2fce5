import type { Role } from './access-file.js';
import { hashToken, newToken } from './secrets.js';

const lastsMs = 30 * 24 * 3_600_000;
const mostSessions = 200;

/** Who has come in, in memory: a restart asks everybody again. Only hashes are kept, as on disk. */
export class Sessions {
  readonly #open = new Map<string, { readonly role: Role; readonly untilMs: number }>();

  /** The cookie's value. */
  begin(role: Role, nowMs: number): string {
    const token = newToken();
    this.#open.set(hashToken(token), { role, untilMs: nowMs + lastsMs });
    const oldest = this.#open.keys().next().value;
    if (this.#open.size > mostSessions && oldest !== undefined) this.#open.delete(oldest);
    return token;
  }

  roleOf(token: string, nowMs: number): Role | undefined {
    const found = this.#open.get(hashToken(token));
    return found && found.untilMs > nowMs ? found.role : undefined;
  }

  end(token: string): void {
    this.#open.delete(hashToken(token));
  }
}
