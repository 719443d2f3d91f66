import { describe, expect, test } from '@jest/globals';
import { Command } from 'commander';
import { readBoardFile } from '../../src/capture/board-file.ts';
import { registerBoard } from '../../src/cli/board.ts';
import { temporaryFolder, write } from '../capture/written-files.ts';

const folder = temporaryFolder();

/** Runs `kneeward board …` and returns what it would write and print. */
async function run(...args: string[]): Promise<{ files: Map<string, string | Uint8Array>; said: string }> {
  const files = new Map<string, string | Uint8Array>();
  const said: string[] = [];
  const program = new Command('kneeward').exitOverride().configureOutput({ writeErr: () => {} });
  registerBoard(
    program,
    (path, content) => files.set(path, content),
    (text) => said.push(text),
  );
  for (const command of program.commands) command.copyInheritedSettings(program);
  await program.parseAsync(['board', ...args], { from: 'user' });
  return { files, said: said.join('\n') };
}

describe('kneeward board', () => {
  test('without a name, or with --list, it lists the built-in boards and writes nothing', async () => {
    for (const args of [[], ['--list']]) {
      const { files, said } = await run(...args);
      expect(files.size).toBe(0);
      expect(said.split('\n').map((line) => line.split(':')[0])).toEqual([
        'charuco-a3',
        'charuco-a4',
        'chessboard-a3',
        'chessboard-a4',
      ]);
    }
  });

  test('the ending says the format; without --out it is a PDF of the board’s name', async () => {
    const pdf = await run('charuco-a4');
    expect([...pdf.files.keys()]).toEqual(['charuco-a4.pdf']);
    expect(Buffer.from(pdf.files.get('charuco-a4.pdf')!).subarray(0, 5).toString()).toBe('%PDF-');
    const svg = await run('chessboard-a3', '--out', 'x/page.SVG');
    expect(String(svg.files.get('x/page.SVG'))).toMatch(/^<svg .*width="297mm"/);
    await expect(run('charuco-a4', '--out', 'page.png')).rejects.toMatchObject({ code: 'board-out-wrong' });
  });

  test('it says what to do next, with the board to name and the caution', async () => {
    const { said } = await run('charuco-a4', '--out', 'page.pdf');
    for (const word of ['page.pdf', '100 %', 'measured_rule_mm', 'board charuco-a4', 'loaded bar'])
      expect(said).toContain(word);
  });

  test('a variant comes with its own board file, which is that board', async () => {
    const { files, said } = await run('charuco-a4', '--square-mm', '30', '--out', 'small.pdf');
    expect([...files.keys()]).toEqual(['small.pdf', 'small.json']);
    expect(said).toContain('board small.json');
    const board = readBoardFile(write(folder, 'small.json', String(files.get('small.json'))), null);
    expect(board).toMatchObject({ name: 'charuco-a4-30mm', squareMm: 30, paper: 'A4', markers: { sideMm: 22.5 } });
  });

  test('a variant too large for its paper is refused with the size that fits', async () => {
    await expect(run('charuco-a3', '--paper', 'A4')).rejects.toMatchObject({
      code: 'board-too-large-for-paper',
      facts: { paper: 'A4', widthMm: 260 },
    });
    await expect(run('chessboard-a4', '--square-mm', '30')).rejects.toMatchObject({
      code: 'board-too-large-for-paper',
    });
    await expect(run('chessboard-a4', '--square-mm', 'big')).rejects.toMatchObject({ code: 'usage' });
  });

  test('a board of one’s own needs a paper; a symmetric one is drawn with a warning', async () => {
    const mine = {
      kneeward: 1,
      kind: 'board',
      name: 'mine',
      pattern: 'chessboard',
      squares_across: 8,
      squares_down: 6,
      square_mm: 20,
    };
    const file = write(folder, 'mine.json', JSON.stringify(mine));
    await expect(run(file)).rejects.toMatchObject({ code: 'board-paper-missing' });
    const { files, said } = await run(file, '--paper', 'A4', '--out', 'mine.svg');
    expect([...files.keys()]).toEqual(['mine.svg', 'mine.json']);
    expect(said).toContain('half a turn');
  });
});
