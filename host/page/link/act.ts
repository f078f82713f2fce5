/** The result of an action, in words for a person. */
export type Outcome = { readonly ok: boolean; readonly message: string };

const noAnswer = 'The host did not answer. Nothing was changed; act at the engine if in doubt.';

/** Posts an action to the host and gives its answer; throws an Error whose message is for a person. */
export const post = async <Answer>(path: string, body: unknown): Promise<Answer> => {
  const answer = await fetch(path, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body),
    signal: AbortSignal.timeout(10_000),
  }).catch(() => {
    throw new Error(noAnswer);
  });
  const said: unknown = await answer.json().catch(() => ({}));
  if (answer.ok) return said as Answer;
  const message = said && typeof said === 'object' && 'message' in said ? String(said.message) : '';
  throw new Error(message || `The host answered ${answer.status}.`);
};

/** Posts an action; never throws, because a button must always answer. */
export const act = async (path: string, body: unknown = {}): Promise<Outcome> => {
  try {
    await post(path, body);
    return { ok: true, message: '' };
  } catch (error) {
    return { ok: false, message: (error as Error).message };
  }
};
