/** What came of an action, in words for a person. */
export type Outcome = { readonly ok: boolean; readonly message: string };

/** Posts an action to the host; never throws, because a button must always answer. */
export const act = async (path: string, body: unknown = {}): Promise<Outcome> => {
  try {
    const answer = await fetch(path, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(body),
      signal: AbortSignal.timeout(8_000),
    });
    const said: unknown = await answer.json().catch(() => ({}));
    const text = said && typeof said === 'object' && 'message' in said ? String(said.message) : '';
    return answer.ok
      ? { ok: true, message: text }
      : { ok: false, message: text || `The host answered ${answer.status}.` };
  } catch {
    return {
      ok: false,
      message: 'The host did not answer. Nothing was changed; act at the engine if in doubt.',
    };
  }
};
