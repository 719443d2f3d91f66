import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from '@jest/globals';
import { main } from '../../notebooks/run.ts';
import { parseNotebook } from '../../notebooks/runner/notebook.ts';
import { folderWith, made } from './made-notebook.ts';

async function ran(folder: string, ...args: string[]): Promise<{ code: number; said: string[] }> {
  const said: string[] = [];
  const code = await main(args, folder, (line) => said.push(line));
  return { code, said };
}

test('outputs are written whole and then agree; a changed cell no longer does; an error writes nothing', async () => {
  const folder = folderWith({ '01-a.ipynb': made(['const a = 6;', 'a * 7']), '02-b.ipynb': made(['throw 1']) });
  const path = join(folder, '01-a.ipynb');
  expect((await ran(folder, '--only', '01', '--check')).code).toBe(1);
  expect((await ran(folder, '--only', '01')).code).toBe(0);
  expect((await ran(folder, '--only', '01', '--check')).code).toBe(0);
  const written = readFileSync(path, 'utf8');
  expect(parseNotebook('a', written).cells[1]).toMatchObject({
    execution_count: 2,
    outputs: [{ data: { 'text/plain': ['42'] } }],
  });

  const other = folderWith({ '01-a.ipynb': written.replace('a * 7', 'a * 8') });
  const { code, said } = await ran(other, '--check');
  expect(code).toBe(1);
  expect(said[0]).toMatch(/cell 2[\s\S]*42[\s\S]*48/);

  const before = readFileSync(join(folder, '02-b.ipynb'), 'utf8');
  expect((await ran(folder, '--only', '02')).code).toBe(1);
  expect(readFileSync(join(folder, '02-b.ipynb'), 'utf8')).toBe(before);
  expect(readdirSync(folder).sort()).toEqual(['01-a.ipynb', '02-b.ipynb']);
});

describe('without running anything', () => {
  test('a notebook whose data are not there is left as it stands, and says so', async () => {
    const folder = folderWith({ '01-a.ipynb': made(['throw 1'], ['KNEEWARD_NOT_SET_IN_TESTS']) });
    const { code, said } = await ran(folder);
    expect(code).toBe(0);
    expect(said[0]).toContain('KNEEWARD_NOT_SET_IN_TESTS');
  });

  test('wrong calls and unknown names', async () => {
    const folder = folderWith({ '01-a.ipynb': made(['1']) });
    expect((await ran(folder, '--frobnicate')).code).toBe(2);
    expect((await ran(folder, '--only', '09')).code).toBe(2);
  });

  test('a broken file fails; the others are still looked at', async () => {
    const folder = folderWith({ '01-a.ipynb': '{', '02-b.ipynb': made(['1'], ['KNEEWARD_NOT_SET_IN_TESTS']) });
    const { code, said } = await ran(folder);
    expect(code).toBe(1);
    expect(said).toHaveLength(2);
  });
});

/** A notebook as its JSON, to be spoilt. */
// biome-ignore lint/suspicious/noExplicitAny: any field of it is to be made wrong
type Loose = any;

describe('the format', () => {
  const broken = (change: (notebook: ReturnType<typeof made>) => void) => {
    const notebook = structuredClone(made(['1', '# words']));
    change(notebook);
    return () => parseNotebook('made.ipynb', JSON.stringify(notebook));
  };

  test('a good one passes', () => expect(broken(() => undefined)).not.toThrow());

  test.each([
    ['no id', (n: Loose) => delete n.cells[0].id],
    [
      'an id with a space',
      (n: Loose) => {
        n.cells[0].id = 'a b';
      },
    ],
    [
      'an unknown kind of cell',
      (n: Loose) => {
        n.cells[0].cell_type = 'heading';
      },
    ],
    [
      'outputs of words',
      (n: Loose) => {
        n.cells[1].outputs = [];
      },
    ],
    ['a code cell without outputs', (n: Loose) => delete n.cells[0].outputs],
    ['no metadata', (n: Loose) => delete n.metadata],
    [
      'another language',
      (n: Loose) => {
        n.metadata.language_info.name = 'python';
      },
    ],
    [
      'an older minor',
      (n: Loose) => {
        n.nbformat_minor = 4;
      },
    ],
    [
      'an unknown field',
      (n: Loose) => {
        n.cells[0].colour = 'red';
      },
    ],
  ])('%s is refused', (_, change) => {
    expect(broken(change)).toThrow(expect.objectContaining({ code: 'notebook-format' }));
  });

  test('an id twice is refused', () => {
    expect(
      broken((n) => {
        n.cells[1].id = n.cells[0].id;
      }),
    ).toThrow(expect.objectContaining({ code: 'notebook-cell-id-repeated' }));
  });
});
