/**
 * A CSV (RFC 4180) as lines of cells between tabs, which every spreadsheet takes from the clipboard. Tabs and line ends
 * inside a cell become spaces.
 */
export function tabSeparated(csv: string): string {
  return csv.replace(/"((?:[^"]|"")*)"|,/g, (found: string, quoted: string | undefined) =>
    quoted === undefined ? (found === ',' ? '\t' : '') : quoted.replaceAll('""', '"').replace(/[\t\r\n]+/g, ' '),
  );
}
