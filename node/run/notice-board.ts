import type { Logger } from 'pino';
import type { Notice } from '../guard/notice.js';

/** What is not as the owner set it up, for as long as it is so: the guard makes alerts of it, the log a line. */
export class NoticeBoard {
  private readonly notices = new Map<string, Notice>();
  private readonly log: Logger;

  constructor(log: Logger) {
    this.log = log;
  }

  post(notice: Notice): void {
    if (this.notices.get(notice.about)?.message === notice.message) return;
    this.notices.set(notice.about, notice);
    this.log.error(notice.message);
  }

  /** Removes the notice `about`, and those about a part of it, such as `certificate:sea`. */
  clear(about: string): void {
    for (const known of this.notices.keys())
      if (known === about || known.startsWith(`${about}:`)) this.notices.delete(known);
  }

  all(): readonly Notice[] {
    return [...this.notices.values()];
  }
}
