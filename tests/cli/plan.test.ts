import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, jest, test } from '@jest/globals';
import { Command } from 'commander';
import { registerPlan } from '../../src/cli/plan.ts';

const folder = mkdtempSync(join(tmpdir(), 'plan-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Runs `kneeward plan …` and returns what it printed. */
async function plan(...args: string[]): Promise<string> {
  const program = new Command('kneeward').exitOverride().configureOutput({ writeErr: () => {} });
  registerPlan(program);
  for (const command of program.commands) command.copyInheritedSettings(program);
  let said = '';
  const spy = jest.spyOn(process.stdout, 'write').mockImplementation((text) => {
    said += String(text);
    return true;
  });
  try {
    await program.parseAsync(['plan', ...args], { from: 'user' });
    return said;
  } finally {
    spy.mockRestore();
  }
}

describe('kneeward plan', () => {
  const out = join(folder, 'out');
  let said = '';
  beforeAll(async () => {
    said = await plan('--distance-m', '4.5', '--angle-deg', '60', '--out', out);
  });

  test('without a file: two like phones; four files, no NaN in any, and a suggestion', () => {
    expect(readdirSync(out).sort()).toEqual(['plan-causes.csv', 'plan.csv', 'plan.json', 'plan.svg']);
    for (const name of readdirSync(out))
      expect(readFileSync(join(out, name), 'utf8')).not.toMatch(/NaN|Infinity|undefined/);
    const { better, views, plan: planned } = JSON.parse(readFileSync(join(out, 'plan.json'), 'utf8'));
    expect(planned.cameras).toHaveLength(2);
    expect(views).toHaveLength(2);
    expect(better.all.moves).toHaveLength(2);
    expect(said).toContain('hip share');
  });

  test('the same plan gives the same bytes', async () => {
    const again = join(folder, 'again');
    await plan('--distance-m', '4.5', '--angle-deg', '60', '--out', again);
    for (const name of readdirSync(out)) {
      expect(readFileSync(join(again, name), 'utf8')).toBe(readFileSync(join(out, name), 'utf8'));
    }
  });

  test('from a file, in a room laid over it', async () => {
    const file = join(folder, 'gym.yaml');
    writeFileSync(file, 'kneeward: 1\nplan: gym\nlifter: { sex: female, stature_m: 1.65, mass_kg: 60 }\n');
    await plan(file, '--room', '3,2,3,3', '--out', join(folder, 'gym'));
    const { plan: planned } = JSON.parse(readFileSync(join(folder, 'gym', 'plan.json'), 'utf8'));
    expect(planned).toMatchObject({ id: 'gym', room: { front_m: 3 }, lifter: { sex: 'female' } });
    await expect(plan(file, '--room', '2,2,2,2')).rejects.toMatchObject({ code: 'plan-outside-room' });
    await expect(plan(file, '--distance-m', '3')).rejects.toMatchObject({ code: 'usage' });
  });

  test('nothing is left half-written where a file stands in the way', async () => {
    const blocked = join(folder, 'blocked');
    mkdirSync(join(blocked, 'plan.svg'), { recursive: true });
    await expect(plan('--out', blocked)).rejects.toMatchObject({ code: 'output-not-writable' });
    expect(readdirSync(blocked)).toEqual(['plan.svg']);
  });

  test.each([[['--distance-m', 'far']], [['--angle-deg', '120']], [['--room', '3,3']], [['--bar', 'somewhere']]])(
    'bad usage: %j',
    async (args) => {
      await expect(plan(...args)).rejects.toMatchObject({ code: expect.stringMatching(/commander/) });
    },
  );
});
