/** Not more than this in one line: an error may hold a whole file. */
const longestLine = 500;
/** What a terminal or a journal is given in a minute; beyond it lines are counted and not shown. */
export const mostPerMinute = 60;
const minuteMs = 60_000;

const levelWords: Readonly<Record<number, string>> = {
  20: 'detail',
  30: 'note',
  40: 'NOTICE',
  50: 'TROUBLE',
};

const two = (n: number) => String(n).padStart(2, '0');

/** `2026-05-01 10:31:07 ALARM Port: no cooling water`, by the computer's own clock, from one record of the log. */
const lineOf = (record: Readonly<Record<string, unknown>>): string => {
  const d = new Date(String(record.time));
  const day = `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())}`;
  const time = `${two(d.getHours())}:${two(d.getMinutes())}:${two(d.getSeconds())}`;
  const word =
    typeof record.priority === 'string'
      ? record.priority.toUpperCase()
      : (levelWords[Number(record.level)] ?? 'note');
  const err = record.err as { readonly message?: string; readonly stack?: string } | undefined;
  const where = err?.stack?.split('\n').find((line) => line.includes(' at '));
  const why = err ? ` (${err.message ?? err}${where ? `,${where.replace(/^\s+at/, ' at')}` : ''})` : '';
  const text = `${day} ${time} ${word} ${record.msg ?? ''}${why}`.replace(/\s+/g, ' ');
  return text.length > longestLine ? `${text.slice(0, longestLine)}...` : text;
};

/**
 * Turns records of the log (JSON lines with an ISO time) into lines for a person, bounded in length and in number: an
 * input that flickers must not push the first alarm out of a terminal or fill a disk. What was left out is counted in
 * the next line that is shown.
 */
export const terminalLines = (): ((json: string) => string | undefined) => {
  let minuteStartsMs = Number.NEGATIVE_INFINITY;
  let shown = 0;
  let leftOut = 0;
  return (json) => {
    const record = JSON.parse(json) as Record<string, unknown>;
    const atMs = Date.parse(String(record.time));
    if (!(Math.abs(atMs - minuteStartsMs) < minuteMs)) {
      minuteStartsMs = atMs;
      shown = 0;
    }
    // An alarm is always shown.
    if (shown >= mostPerMinute && record.priority !== 'alarm') {
      leftOut++;
      return undefined;
    }
    shown++;
    const before = leftOut > 0 ? `(${leftOut} lines were left out: too many in a minute.)\n` : '';
    leftOut = 0;
    return `${before}${lineOf(record)}\n`;
  };
};
