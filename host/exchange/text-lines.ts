/** The longest line that is taken for one; a longer one is cut there and will be refused by its reader. */
const longestLine = 10_000;

/** Lines of a UTF-8 stream without their ends, LF or CRLF; bounded, whatever comes. */
export async function* textLines(chunks: AsyncIterable<Uint8Array>): AsyncGenerator<string> {
  const decoder = new TextDecoder();
  let open = '';
  for await (const chunk of chunks) {
    open += decoder.decode(chunk, { stream: true });
    const lines = open.split('\n');
    open = lines.pop() ?? '';
    if (open.length > longestLine) open = open.slice(0, longestLine);
    for (const line of lines) yield ended(line);
  }
  open += decoder.decode();
  if (open !== '') yield ended(open);
}

const ended = (line: string): string =>
  (line.endsWith('\r') ? line.slice(0, -1) : line).slice(0, longestLine);
