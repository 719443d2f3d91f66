import { describe, expect, test } from '@jest/globals';
import {
  type AnalysisSettings,
  DEFAULT_SETTINGS,
  type Smoothing,
  smoothingMethod,
} from '../../src/capture/recording.ts';
import { applySettings } from '../../src/capture/settings.ts';
import { smoothingOption } from '../../src/cli/smoothing-option.ts';

const fixed = (legsHz: number, trunkHz = legsHz, barHz = legsHz) => ({
  kind: 'fixed' as const,
  legsHz,
  trunkHz,
  barHz,
});

describe('--cutoff-hz', () => {
  test.each<[string, Smoothing]>([
    ['none', { kind: 'none' }],
    ['residual', { kind: 'residual' }],
    ['5', fixed(5)],
    ['6,3,3', fixed(6, 3, 3)],
    ['zero-lag-filter:4', { ...fixed(4), method: 'zero-lag filter' }],
    ['smoothing-spline:6,3.2,3.2', { ...fixed(6, 3.2, 3.2), method: 'smoothing spline' }],
    ['state-space:residual', { kind: 'residual', method: 'state-space' }],
  ])('%s', (text, smoothing) => {
    expect(smoothingOption(text)).toEqual(smoothing);
  });

  test.each([
    '',
    'spline',
    'spline:6',
    'state-space',
    'state-space:',
    'state-space:none',
    ':6',
    'state-space:6,3',
    '6:3',
  ])('"%s" is refused, the range and the methods are named', (text) => {
    expect(() => smoothingOption(text)).toThrow(/0\.5 to 50.*zero-lag-filter, smoothing-spline, state-space/);
  });
});

describe('settings.smoothing of a file', () => {
  const base: AnalysisSettings = { ...DEFAULT_SETTINGS, smoothing: { ...fixed(8, 4, 2), method: 'state-space' } };
  const applied = (smoothing: NonNullable<Parameters<typeof applySettings>[1]>['smoothing'], from = base) =>
    applySettings(from, { smoothing }).smoothing;

  test('a method alone keeps the cut-offs, cut-offs alone keep the method', () => {
    expect(applied({ method: 'smoothing spline' })).toEqual({ ...fixed(8, 4, 2), method: 'smoothing spline' });
    expect(applied({ cutoff_hz: { legs: 6 } })).toEqual({ ...fixed(6, 4, 2), method: 'state-space' });
    expect(applied({ cutoff_hz: 'residual' })).toEqual({ kind: 'residual', method: 'state-space' });
    expect(applied({ cutoff_hz: 5, method: 'zero-lag filter' })).toEqual({ ...fixed(5), method: 'zero-lag filter' });
  });

  test('none is none, whatever the method; a method upon none changes nothing', () => {
    expect(applied({ cutoff_hz: 'none', method: 'smoothing spline' })).toEqual({ kind: 'none' });
    const unsmoothed: AnalysisSettings = { ...DEFAULT_SETTINGS, smoothing: { kind: 'none' } };
    expect(applied({ method: 'smoothing spline' }, unsmoothed)).toEqual({ kind: 'none' });
    expect(applied({ cutoff_hz: 4, method: 'smoothing spline' }, unsmoothed)).toEqual({
      ...fixed(4),
      method: 'smoothing spline',
    });
  });

  test('without a method it is the zero-lag filter; nothing smoothed, no method', () => {
    expect(smoothingMethod(DEFAULT_SETTINGS.smoothing)).toBe('zero-lag filter');
    expect(smoothingMethod({ kind: 'residual', method: 'state-space' })).toBe('state-space');
    expect(smoothingMethod({ kind: 'none' })).toBeNull();
  });
});
