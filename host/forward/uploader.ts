import { HttpError, InfluxDB, setLogger, type Transport } from '@influxdata/influxdb-client';
import { type Destination, tokenOf } from './destination.js';

/** The result of sending some lines. Only `stored` lets the cursor move. */
export type Outcome =
  | { readonly kind: 'stored' }
  /** The server is there and does not take these lines, or not all of them. */
  | { readonly kind: 'refused'; readonly status: number; readonly why: string }
  /** Not now: no network, an overloaded server, a token that does not fit. The lines are not to blame. */
  | {
      readonly kind: 'not-now';
      readonly why: string;
      readonly retryAfterMs?: number;
      readonly status?: number;
    };

export type Uploader = (lines: readonly string[]) => Promise<Outcome>;

const answerWithinMs = 30_000;
/** The server refuses lines with these; with any other 4xx it refuses us, or the moment. */
const refusals = [400, 413, 422];
/** Newer servers say with this that they kept some of the lines; the client takes it for success. */
const keptSome = 201;

// The client logs every failure to the console by itself; ours are counted and shown.
setLogger({ error: () => undefined, warn: () => undefined });

/** Sends each chunk as one request, with no retry and no buffer of its own: the saved cursor is both. */
export const uploaderTo = (destination: Destination, timeoutMs = answerWithinMs): Uploader => {
  const { url, org, bucket } = destination;
  const token = tokenOf(destination);
  const { transport } = new InfluxDB({ url, timeout: timeoutMs, ...(token !== undefined && { token }) });
  let status: number | undefined;
  const watched: Transport = Object.assign(Object.create(transport), {
    send: (...[path, body, options, callbacks]: Parameters<Transport['send']>) =>
      transport.send(path, body, options, {
        ...callbacks,
        responseStarted: (headers, code) => {
          status = code;
          callbacks?.responseStarted?.(headers, code);
        },
      }),
  });
  const client = new InfluxDB({ url, transport: watched });
  return async (lines) => {
    status = undefined;
    const writer = client.getWriteApi(org, bucket, 'ns', {
      maxRetries: 0,
      // Larger than any chunk: flush does not wait for a batch that left because it was full.
      batchSize: lines.length + 1,
      maxBatchBytes: Number.MAX_SAFE_INTEGER,
      flushInterval: 0,
    });
    try {
      writer.writeRecords(lines as string[]);
      await writer.flush();
      return status === keptSome
        ? { kind: 'refused', status, why: 'the server kept some of the lines only' }
        : { kind: 'stored' };
    } catch (cause) {
      return outcomeOf(cause);
    }
  };
};

const outcomeOf = (cause: unknown): Outcome => {
  if (!(cause instanceof HttpError))
    return { kind: 'not-now', why: cause instanceof Error ? cause.message : String(cause) };
  const status = cause.statusCode;
  const why = `${status} ${cause.statusMessage ?? ''}${cause.body ? `: ${cause.body.slice(0, 300)}` : ''}`;
  if (refusals.includes(status)) return { kind: 'refused', status, why };
  const retryAfterMs = retryAfter(cause.headers?.['retry-after']);
  return { kind: 'not-now', status, why, ...(retryAfterMs !== undefined && { retryAfterMs }) };
};

/** RFC 9110: whole seconds. The client takes them for milliseconds; a date instead of seconds is ignored. */
const retryAfter = (header: string | string[] | undefined): number | undefined =>
  typeof header === 'string' && /^\d{1,6}$/.test(header) ? Number(header) * 1000 : undefined;
