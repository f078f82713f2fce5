/** Fetches a document from the host; throws an Error whose message is for a person. */
export const ask = async <Answer>(path: string, signal?: AbortSignal): Promise<Answer> => {
  const answer = await fetch(path, signal ? { signal } : {});
  const said: unknown = await answer.json().catch(() => undefined);
  if (answer.ok) return said as Answer;
  const message = said && typeof said === 'object' && 'message' in said ? String(said.message) : '';
  throw new Error(message || `The host answered ${answer.status}.`);
};
