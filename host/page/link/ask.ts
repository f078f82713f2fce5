const ahead = new Map<string, Promise<Response>>();

/** Asks what will be asked in a moment, so that the answer is on its way while its code is. */
export const askAhead = (path: string): void => {
  const coming = fetch(path);
  coming.catch(() => {});
  ahead.set(path, coming);
};

/** Fetches a document from the host; throws an Error whose message is for a person. */
export const ask = async <Answer>(path: string, signal?: AbortSignal): Promise<Answer> => {
  const early = await ahead.get(path)?.catch(() => undefined);
  ahead.delete(path);
  const answer = early?.ok ? early : await fetch(path, signal ? { signal } : {}).catch(silence);
  const said: unknown = await answer.json().catch(answer.ok ? silence : () => undefined);
  if (answer.ok) return said as Answer;
  const message = said && typeof said === 'object' && 'message' in said ? String(said.message) : '';
  throw new Error(message || `The host answered ${answer.status}.`);
};

/** No answer, or one that broke off; what was given up on purpose stays what it is. Browsers' own messages help no reader. */
const silence = (error: Error): never => {
  throw error.name === 'AbortError' ? error : new Error('The host does not answer.');
};
