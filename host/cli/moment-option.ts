import { parseRfc3339 } from '../exchange/index.js';
import { UsageError } from './exit.js';

/** As a person writes it, without a zone: the computer's own. */
const localShape = /^(\d{4}-\d\d-\d\d)(?:[T ](\d\d:\d\d(?::\d\d)?))?$/;

/**
 * A moment given to an option: RFC 3339 with its zone, or without one in the computer's own time, where a day alone is
 * its midnight. Throws UsageError for anything else.
 */
export const momentOf = (option: string, text: string | undefined, otherwise: number): number => {
  if (text === undefined) return otherwise;
  const [, day, time = '00:00'] = localShape.exec(text.trim()) ?? [];
  const at = day === undefined ? parseRfc3339(text) : new Date(`${day}T${time}`).getTime();
  if (at !== undefined && Number.isFinite(at)) return at;
  throw new UsageError(
    `--${option} ${text} is not a valid time. Write it as 2026-05-01 or 2026-05-01T08:00 in local time, or with a zone: 2026-05-01T08:00:00Z.`,
  );
};

/** The span that `--from` and `--to` give: everything that is stored, where neither is given. */
export const spanOf = ({
  from,
  to,
}: {
  readonly from?: string | undefined;
  readonly to?: string | undefined;
}) => ({
  from: momentOf('from', from, 0),
  to: momentOf('to', to, Number.MAX_SAFE_INTEGER),
});
