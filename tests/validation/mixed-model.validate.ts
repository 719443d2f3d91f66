import { TRUTH } from '../study/statistics/mixed-model/made-study.ts';
import { type MixedCoverage, type MixedSetting, mixedCoverage } from './mixed-model-runs.ts';
import type { Validation, ValidationRow } from './result.ts';

/** What is accepted of a 95 % interval on 2,000 runs, and of a test at 5 %. */
const COVERED = [0.935, 0.965] as const;
const REJECTED = [0.035, 0.065] as const;
const EFFECTS = ['intercept', 'heel height (slope varies between athletes)', 'stance'] as const;

const plain = { sharedPerMm: 0, sharedOfRig: 0 };
const settings: readonly { readonly name: string; readonly judged: boolean; readonly setting: MixedSetting }[] = [
  { name: '10 athletes', judged: true, setting: { ...plain, truth: TRUTH } },
  { name: '20 athletes', judged: true, setting: { ...plain, truth: { ...TRUTH, athletes: 20, rows: [3, 12] } } },
  { name: '10 athletes, no effect', judged: true, setting: { ...plain, truth: { ...TRUTH, effects: [42, 0, 0] } } },
  {
    name: '10 athletes, shared errors',
    judged: true,
    setting: { truth: TRUTH, sharedPerMm: 0.1, sharedOfRig: 1 },
  },
  // Many fits at the edge, where a spread that is there is taken as 0: reported, not judged.
  {
    name: '6 athletes, hardly any spread of slopes',
    judged: false,
    setting: { ...plain, truth: { ...TRUTH, athletes: 6, sdSlope: 0.06, rows: [3, 6] } },
  },
];

/** Made, unbalanced studies of athletes with their own intercepts and slopes: do the intervals hold, with what they state? */
export const validation: Validation = {
  name: 'mixed-model',
  title: 'Linear mixed model: coverage of intervals of fixed effects, with and without shared errors',
  async run(scale, progress) {
    const runs = Math.max(1, Math.round(2000 * scale));
    const rows: ValidationRow[] = [];
    settings.forEach(({ name, judged, setting }, s) => {
      const found = mixedCoverage(setting, runs, 7 + s, (done) => progress(s * runs + done, settings.length * runs));
      rows.push(...rowsOf(name, judged, setting, found));
    });
    return {
      seed: 7,
      setting: `${runs} made studies a setting: trunk lean on heel height (0 to 25 mm) and stance, SD between athletes 4 deg, of slopes 0.3 deg/mm, residual 2 deg, normal; 3 to 12 rows an athlete by chance; REML, Satterthwaite. Shared errors: 0.1 deg/mm for the whole study and 1 deg for each of two rigs`,
      rows,
    };
  },
};

function rowsOf(name: string, judged: boolean, { sharedPerMm }: MixedSetting, found: MixedCoverage): ValidationRow[] {
  const row = (what: string, value: number, range: readonly [number, number] | null): ValidationRow => ({
    what: `${name}: ${what}`,
    runs: found.runs,
    value,
    unit: '1',
    from: range?.[0] ?? null,
    to: range?.[1] ?? null,
  });
  const shared = sharedPerMm > 0;
  return [
    ...EFFECTS.map((effect, j) => row(`${effect} held`, found.without[j], judged && !shared ? COVERED : null)),
    ...(shared ? EFFECTS.map((effect, j) => row(`${effect} held, shared part added`, found.with[j], COVERED)) : []),
    ...(Number.isNaN(found.rejected) ? [] : [row('joint test below 0.05', found.rejected, judged ? REJECTED : null)]),
    row('fits at the edge', found.singular, null),
    row('fits that did not settle', found.unsettled, [0, 0]),
  ];
}
