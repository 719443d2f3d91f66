/** Where the tables of a study are read from: a folder (src/cli/tidy/folder-tables.ts), or texts in memory. */
export interface TableSource {
  /** Named in messages. */
  readonly name: string;
  /** Names of the files there, as `measures.csv`. */
  readonly files: readonly string[];
  /** The bytes of a file, piece by piece, from its beginning at every call. */
  pieces(file: string): Iterable<Uint8Array>;
}

/** Tables that are in memory as CSV text, by file name. */
export function sourceOfTexts(name: string, texts: ReadonlyMap<string, string>): TableSource {
  return {
    name,
    files: [...texts.keys()],
    pieces: (file) => [new TextEncoder().encode(texts.get(file) ?? '')],
  };
}
