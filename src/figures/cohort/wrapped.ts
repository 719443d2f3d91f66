/**
 * A text in lines of at most `most` characters, broken at spaces and after hyphens and underscores; a longer piece is broken where
 * the line ends, so that nothing of a name is lost: what tells two names apart often stands at their ends.
 */
export function wrapped(text: string, most: number): string[] {
  const pieces = (text.match(/[^\s\-_]*[-_]+|[^\s\-_]+|\s+/g) ?? [])
    .map((piece) => (piece.trim() === '' ? ' ' : piece))
    .flatMap((piece) => piece.match(new RegExp(`.{1,${most}}`, 'gu')) ?? []);
  const lines = [''];
  for (const piece of pieces) {
    const line = lines[lines.length - 1];
    if (`${line}${piece}`.trimEnd().length <= most)
      lines[lines.length - 1] = line === '' ? piece.trimStart() : line + piece;
    else lines.push(piece.trimStart());
  }
  return lines.map((line) => line.trimEnd()).filter((line) => line !== '');
}
