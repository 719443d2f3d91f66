import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, jest, test } from '@jest/globals';
import { Command } from 'commander';
import { registerSampleSize } from '../../src/cli/sample-size.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { type Pilot, readPilot } from '../../src/study/sample-size/pilot-file.ts';
import { sampleSize } from '../../src/study/sample-size/sample-size.ts';
import { expectClose } from '../expect-close.ts';

const folder = mkdtempSync(join(tmpdir(), 'sample-size-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function command(...args: string[]): Promise<string> {
  const program = new Command('kneeward').exitOverride().configureOutput({ writeErr: () => {} });
  registerSampleSize(program);
  for (const one of program.commands) one.copyInheritedSettings(program);
  let said = '';
  const spy = jest.spyOn(process.stdout, 'write').mockImplementation((text) => {
    said += String(text);
    return true;
  });
  try {
    await program.parseAsync(['sample-size', ...args], { from: 'user' });
    return said;
  } finally {
    spy.mockRestore();
  }
}

const write = (name: string, lines: readonly string[]): string => {
  const file = join(folder, name);
  writeFileSync(file, `${lines.join('\n')}\n`);
  return file;
};

/** Invented pilot: spread of athletes 0.06, of recordings 0.03, of repetitions 0.02; raised heels add 0.1. */
function pilotFiles(athletes: number, recordingsEach: number, repetitions = 3) {
  const random = seededRandom(12);
  const header =
    'recording_id,athlete_id,repetition,measure,side,at,value,lower,upper,unit,frame_first,frame_last,reason';
  const measures = [header];
  const means = [
    'recording_id,athlete_id,measure,side,at,repetitions,mean,lower,upper,sd,between_sd,unit,reason,interval_reason',
  ];
  const recordings = ['recording_id,athlete_id,condition_heel'];
  for (let a = 1; a <= athletes; a++) {
    const level = 0.5 + 0.06 * random.normal();
    for (let r = 0; r < recordingsEach; r++) {
      const id = `A${a}-${r % 2 === 0 ? 'flat' : 'raised'}`;
      const own = level + (r % 2) * 0.1 + 0.03 * random.normal();
      const values = Array.from({ length: repetitions }, () => own + 0.02 * random.normal());
      values.forEach((value, k) => {
        measures.push(`${id},A${a},${k + 1},hip_share,both,parallel,${value},,,1,10,20,`);
      });
      measures.push(`${id},A${a},${repetitions + 1},hip_share,both,parallel,,,,1,,,not reached`);
      measures.push(`${id},A${a},1,trunk_lean,,bottom,${40 + values[0]},,,deg,10,20,`);
      const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
      const sd = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1));
      means.push(`${id},A${a},hip_share,both,parallel,${repetitions},${mean},,,,${sd || ''},1,,`);
      recordings.push(`${id},A${a},${r % 2 === 0 ? 'flat' : 'raised'}`);
    }
  }
  const name = `${athletes}-${recordingsEach}-${repetitions}`;
  return {
    measures: write(`measures-${name}.csv`, measures),
    means: write(`means-${name}.csv`, means),
    recordings: write(`recordings-${name}.csv`, recordings),
  };
}

const HIP = { measure: 'hip_share', at: 'parallel', side: 'both' };
const small = { studies: 2000, most: 400 };
const code = (wanted: string) => expect.objectContaining({ code: wanted });

describe('the pilot tables', () => {
  const files = pilotFiles(6, 2);

  test('measures.csv and means.csv of one study give the same pilot; unknown repetitions are left out', () => {
    const [a, b] = [readPilot(files.measures, HIP), readPilot(files.means, HIP)];
    expect(a.recordings).toHaveLength(12);
    a.recordings.forEach((one, i) => {
      expect(one.repetitions).toBe(3);
      expect(b.recordings[i]).toMatchObject({ athlete: one.athlete, recording: one.recording, repetitions: 3 });
      expectClose(b.recordings[i].mean, one.mean, 1e-12, 'mean');
      expectClose(b.recordings[i].squares, one.squares, 1e-12, 'squares');
    });
  });

  test('conditions told apart need fewer athletes than conditions taken for spread', () => {
    const paired = { design: 'paired', effect: 0.05, ...small } as const;
    const apart = sampleSize(readPilot(files.measures, HIP, files.recordings), paired);
    const together = sampleSize(readPilot(files.measures, HIP), paired);
    expect([apart.conditions, together.conditions]).toEqual([2, 1]);
    expect(apart.needed!).toBeLessThan(together.needed!);
    expect(apart.neededAsPilot!).toBeLessThanOrEqual(apart.needed!);
    expect(apart.neededCautious!).toBeGreaterThan(apart.needed!);
    const trade = apart.tradeOff.map(({ needed }) => needed!);
    expect([...trade].sort((x, y) => y - x)).toEqual(trade);
  });

  test('heels of the shoe tell conditions apart like a factor that says the same; a column alike in all tells nothing', () => {
    const heels = readFileSync(files.recordings, 'utf8')
      .replace('condition_heel', 'shoe_heel_height_m,lift_kind')
      .replaceAll(/,flat$/gm, ',0,front squat')
      .replaceAll(/,raised$/gm, ',0.02,front squat');
    const [byFactor, byShoe] = [files.recordings, write('recordings-heels.csv', [heels])].map((file) =>
      readPilot(files.measures, HIP, file),
    );
    expect([byFactor.conditionColumns, byShoe.conditionColumns]).toEqual([['condition_heel'], ['shoe_heel_height_m']]);
    const needed = (pilot: Pilot) => sampleSize(pilot, { design: 'paired', effect: 0.05, ...small }).needed;
    expect(needed(byShoe)).toBe(needed(byFactor));
  });

  test('of a ratio, a factor beyond three is a slip', () => {
    const text = readFileSync(files.measures, 'utf8').replaceAll('hip_share', 'hip_knee_ratio');
    const pilot = readPilot(write('ratios.csv', [text]), { ...HIP, measure: 'hip_knee_ratio' });
    const wanting = (effect: number) => () => sampleSize(pilot, { design: 'paired', effect, ...small });
    for (const slip of [0.05, 5]) expect(wanting(slip)).toThrow(code('sample-size-effect'));
    expect(wanting(1.2)().needed).toBeGreaterThan(1);
  });

  test('means without between_sd: their repetitions count in the mean, not in the scatter', () => {
    const text = readFileSync(files.means, 'utf8').replace(/^(A1-flat,.*,3,[^,]*,,,,)[^,]*/m, '$1');
    const [first, second] = readPilot(write('no-sd.csv', [text]), HIP).recordings;
    expect(first).toMatchObject({ repetitions: 3, freedom: 0, squares: 0 });
    expect(second).toMatchObject({ repetitions: 3, freedom: 2 });
  });

  test('what cannot be used is refused by name', () => {
    expect(() => readPilot(files.recordings, HIP)).toThrow(code('sample-size-file-unknown'));
    expect(() => readPilot(files.measures, { ...HIP, measure: 'hip_shares' })).toThrow(
      expect.objectContaining({
        code: 'sample-size-measure-missing',
        facts: expect.objectContaining({ meant: 'hip_share' }),
      }),
    );
    const twice = `${readFileSync(files.means, 'utf8')}A1-flat,A1,hip_share,both,parallel,3,0.5,,,,0.1,1,,\n`;
    expect(() => readPilot(write('twice.csv', [twice]), HIP)).toThrow(code('sample-size-row-twice'));
    const other = readFileSync(files.measures, 'utf8').replace('hip_share,both,parallel', 'hip_share,both,bottom');
    expect(readPilot(write('fewer.csv', [other]), HIP).recordings[0].repetitions).toBe(2);
    const fewer = readFileSync(files.recordings, 'utf8').replace(/^A3-raised.*\n/m, '');
    expect(() => readPilot(files.measures, HIP, write('recordings-fewer.csv', [fewer]))).toThrow(
      code('sample-size-recording-unknown'),
    );
    const ratio = readFileSync(files.means, 'utf8').replaceAll('hip_share', 'hip_knee_ratio');
    expect(() => readPilot(write('ratio.csv', [ratio]), { ...HIP, measure: 'hip_knee_ratio' })).toThrow(
      code('sample-size-ratio-means'),
    );
  });

  test('a pilot that is too small is refused; so is an effect of nothing', () => {
    const paired = { design: 'paired', effect: 0.05, ...small } as const;
    const read = (athletes: number, each: number, repetitions = 3) =>
      readPilot(pilotFiles(athletes, each, repetitions).measures, HIP);
    expect(() => sampleSize(read(2, 2), paired)).toThrow(code('sample-size-too-few-athletes'));
    expect(() => sampleSize(read(5, 1), paired)).toThrow(code('sample-size-no-second-recording'));
    expect(sampleSize(read(5, 1), { ...paired, design: 'groups' }).components.map(({ name }) => name)).not.toContain(
      'recording',
    );
    expect(() => sampleSize(read(5, 2, 1), { ...paired, repetitions: 4 })).toThrow(
      code('sample-size-repetitions-unknown'),
    );
    expect(sampleSize(read(5, 2, 1), paired)).toMatchObject({ repetitions: 0, tradeOff: [] });
    expect(() => sampleSize(read(6, 2), { ...paired, effect: 0 })).toThrow(code('sample-size-effect'));
  });
});

describe('kneeward sample-size', () => {
  const files = pilotFiles(8, 2);

  test('prints the number, writes every row, and is the same for the same seed', async () => {
    const out = join(folder, 'n.csv');
    const args = [
      files.measures,
      '--recordings',
      files.recordings,
      '--effect',
      '0.06',
      '--design',
      'paired',
      '--seed',
      '3',
      '--out',
      out,
    ];
    const said = await command(...args);
    expect(said).toMatch(/hip_share: \d+ athletes/);
    expect(said).not.toMatch(/NaN|undefined|Infinity/);
    const lines = readFileSync(out, 'utf8').trim().split('\n');
    const needed = Number(/hip_share: (\d+) athletes/.exec(said)![1]);
    expect(lines.length - 1).toBe(Math.max(12, needed) - 1);
    expect(await command(...args)).toBe(said);
  });

  test('bad usage', async () => {
    await expect(command(files.measures, '--design', 'paired')).rejects.toMatchObject({ exitCode: 1 });
    await expect(command(files.measures, '--effect', '0', '--design', 'paired')).rejects.toMatchObject({
      code: 'commander.invalidArgument',
    });
  });
});
