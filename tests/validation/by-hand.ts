import { passes, type ValidationRow } from './result.ts';

/** The options of a validation run by hand: `--only a,b --styles 8 --seeds 5`. undefined where not given. */
export function optionsByHand(args: readonly string[] = process.argv) {
  const option = (name: string) => {
    const at = args.indexOf(`--${name}`);
    return at < 0 ? undefined : args[at + 1];
  };
  return {
    text: option,
    list: (name: string) => option(name)?.split(','),
    number: (name: string) => (option(name) === undefined ? undefined : Number(option(name))),
  };
}

/** One line a row: its verdict, what it is, its value. */
export function rowByHand(row: ValidationRow): string {
  const verdict = row.from === null && row.to === null ? '    ' : passes(row) ? 'ok  ' : 'FAIL';
  return `${verdict} ${row.what}: ${row.value.toPrecision(3)} ${row.unit} (${row.runs})\n`;
}
