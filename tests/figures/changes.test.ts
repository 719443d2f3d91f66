import { describe, expect, test } from '@jest/globals';
import { acrossLoads } from '../../src/figures/across-loads.ts';
import { acrossSet } from '../../src/figures/across-set.ts';
import { CHANGE_PANELS, changeFromLoad, changeFromRepetition } from '../../src/figures/change-words.ts';
import type { Figure } from '../../src/figures/look.ts';
import { renderSvg } from '../../src/figures/render-svg.ts';
import { LOAD_CHANGE_COLUMNS } from '../../src/study/across-loads.ts';
import { tableOf } from '../../src/study/csv.ts';
import { SET_CHANGE_COLUMNS, WATCHED } from '../../src/study/set-changes.ts';

const setRows = (measure: string, at: string, side: string, values: readonly number[], from: number | null) =>
  values.map((value, i) => ({
    measure,
    at,
    side,
    repetition: i + 1,
    value,
    lower: value - 0.4,
    upper: value + 0.4,
    from_repetition: from,
    shape: 'at once',
    verdict: from === null ? 'cannot tell' : 'changed',
    effort_rpe: 8,
  }));

const LEANS = setRows('trunk_lean', 'largest', '', [38, 38.4, 37.8, 44, 44.3], 4);
const DEPTHS = setRows('bottom_thigh_elevation', 'bottom', 'both', [-20, -19.5, -20.2, -20, -19.8], null);
const SPEEDS = [
  ...setRows('bar_velocity_mean', 'ascent', '', [0.5, 0.48, 0.47, 0.45, 0.4], null),
  ...setRows('hip_velocity_mean', 'ascent', '', [0.5, 0.48, 0.47, 0.45, 0.4], null),
];

test('each panel shows a measure that is watched', () => {
  for (const { measure, at, side } of CHANGE_PANELS) expect(WATCHED).toContainEqual({ measure, at, side });
});

interface Panel {
  readonly layer: readonly {
    readonly mark: { readonly type: string };
    readonly data: { readonly values: readonly unknown[] };
  }[];
}
const panelsOf = (figure: Figure) => (figure as unknown as { concat: readonly Panel[] }).concat;

describe('through the set', () => {
  const table = tableOf(SET_CHANGE_COLUMNS, [...SPEEDS, ...DEPTHS, ...LEANS]);

  test('what changes comes first and is marked; one speed; a mark a repetition', async () => {
    const svg = await renderSvg(acrossSet(table)!);
    expect(svg).toContain(changeFromRepetition(4, false));
    expect(svg.match(/changes from/g)).toHaveLength(1);
    expect(svg.indexOf('largest lean')).toBeLessThan(svg.indexOf('thigh angle'));
    expect(svg).toContain('speed of the bar');
    expect(svg).not.toContain('speed of the hips');
    expect(svg).not.toContain('NaN');
    expect(
      panelsOf(acrossSet(table)!).map(
        ({ layer }) => layer.find(({ mark }) => mark.type === 'point')!.data.values.length,
      ),
    ).toEqual([5, 5, 5]);
  });

  test('a repetition that a measure does not know is named; ticks are whole', async () => {
    const holed = tableOf(SET_CHANGE_COLUMNS, [...SPEEDS.slice(0, 3), ...LEANS.slice(1, 3)]);
    const svg = await renderSvg(acrossSet(holed)!);
    expect(svg.match(/not known/g)).toHaveLength(1);
    expect(svg).toContain('>1: not known<');
    expect(svg).not.toContain('>2.0<');
    expect(await renderSvg(acrossSet(table)!)).not.toContain('not known');
  });

  test('a change that does not stand among all that are watched is not marked', async () => {
    expect(await renderSvg(acrossSet(table, new Set())!)).not.toContain('changes from');
    expect(await renderSvg(acrossSet(table, new Set(['trunk_lean']))!)).toContain(changeFromRepetition(4, false));
  });

  test('nothing to show is no figure; the same table gives the same picture', async () => {
    expect(acrossSet(tableOf(SET_CHANGE_COLUMNS, []))).toBeNull();
    expect(acrossSet(tableOf(SET_CHANGE_COLUMNS, LEANS.slice(0, 1)))).toBeNull();
    expect(await renderSvg(acrossSet(table)!)).toBe(await renderSvg(acrossSet(table)!));
  });
});

describe('from light to heavy', () => {
  const loadRows = (measure: string, at: string, side: string, values: readonly number[], from: number | null) =>
    values.map((value, i) => ({
      measure,
      at,
      side,
      load_kg: 60 + 20 * i,
      effort_rpe: i === 1 ? null : 6 + i,
      value,
      lower: i === 2 ? Number.NaN : value - 0.03,
      upper: i === 2 ? Number.NaN : value + 0.03,
      changes_from_kg: from,
    }));
  const table = tableOf(LOAD_CHANGE_COLUMNS, [
    ...loadRows('trunk_lean', 'largest', '', [38, 38.2, 43], 100),
    ...loadRows('bar_velocity_mean', 'ascent', '', [0.7, 0.6, 0.5], null),
  ]);

  test('speed comes first; the change stands between its load and the lighter one; efforts at the foot', async () => {
    const svg = await renderSvg(acrossLoads(table)!);
    expect(svg).toContain(changeFromLoad(100));
    expect(svg.indexOf('speed of the bar')).toBeLessThan(svg.indexOf('largest lean'));
    expect(svg.match(/>8</g)!.length).toBeGreaterThanOrEqual(2);
    expect(svg).not.toContain('NaN');
    expect(acrossLoads(tableOf(LOAD_CHANGE_COLUMNS, []))).toBeNull();
  });
});
