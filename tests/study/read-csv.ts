/** A reader of RFC 4180 written from its text (sections 2.1–2.7), so that the tables are not read back by the library that wrote them. */
export function readCsv(text: string): string[][] {
  const rows: string[][] = [];
  let row: string[] = [];
  let cell = '';
  let quoted = false;
  for (let i = 0; i < text.length; i++) {
    const character = text[i];
    if (quoted) {
      if (character !== '"') cell += character;
      else if (text[i + 1] === '"') {
        cell += '"';
        i++;
      } else quoted = false;
    } else if (character === '"') quoted = true;
    else if (character === ',') {
      row.push(cell);
      cell = '';
    } else if (character === '\n') {
      row.push(cell);
      rows.push(row);
      row = [];
      cell = '';
    } else cell += character;
  }
  if (cell !== '' || row.length > 0) throw new Error('the last line does not end with a line feed');
  return rows;
}

/** Rows as records by column name. */
export function recordsOf(text: string): Record<string, string>[] {
  const [header, ...rows] = readCsv(text);
  return rows.map((row) => {
    if (row.length !== header.length) throw new Error(`row of ${row.length} cells under ${header.length} columns`);
    return Object.fromEntries(header.map((name, i) => [name, row[i]]));
  });
}
