import { expect, test } from '@jest/globals';
import { compile } from 'vega-lite';
import { COLOUR, DARK } from '../../src/figures/look.ts';
import { renderSvg } from '../../src/figures/render-svg.ts';
import { residualAgainstSpeed } from '../../src/figures/residual-against-speed.ts';

const rows = ['left', 'right'].flatMap((camera) =>
  (['upper', 'lower'] as const).flatMap((row_band) =>
    [-300, -100, 100, 300].map((speed) => ({
      camera,
      row_band,
      speed_px_per_s: speed,
      residual_px: (row_band === 'upper' ? 0.002 : 0.006) * speed,
      half_width_px: 0.2,
    })),
  ),
);
const slopes = ['left', 'right'].flatMap((camera) => [
  { camera, row_band: 'all' as const, slope_s: 0.004, half_width_s: 0.0005 },
  { camera, row_band: 'upper' as const, slope_s: 0.002, half_width_s: 0.0007 },
  { camera, row_band: 'lower' as const, slope_s: 0.006, half_width_s: 0.0007 },
]);

test('one panel a camera, with its slope in words; two bands of rows by colour and mark', async () => {
  const svg = await renderSvg(residualAgainstSpeed({ rows, slopes })!);
  expect(svg).toContain('camera left: clock off by +4.00 ± 0.50 ms (95 %)');
  expect(svg).toContain('camera right');
  expect(svg).toContain(COLOUR.hip);
  expect(svg).toContain(COLOUR.knee);
  expect(svg).not.toMatch(/NaN|undefined|Infinity|null/);
  const colours = [...svg.matchAll(/="(#[0-9a-f]{6})"/g)].map((match) => match[1]);
  expect([...new Set(colours)].filter((hex) => !DARK[hex])).toEqual([]);
});

test('the same table gives the same bytes, without a warning', async () => {
  const warnings: string[] = [];
  const logger = {
    level: () => logger,
    error: (...texts: readonly unknown[]) => logger.warn(...texts),
    warn: (...texts: readonly unknown[]) => {
      warnings.push(texts.join(' '));
      return logger;
    },
    info: () => logger,
    debug: () => logger,
  };
  compile(residualAgainstSpeed({ rows, slopes })!, { logger: logger as never });
  expect(warnings).toEqual([]);
  expect(await renderSvg(residualAgainstSpeed({ rows, slopes })!)).toBe(
    await renderSvg(residualAgainstSpeed({ rows, slopes })!),
  );
});

test('nothing to show is no figure', () => {
  expect(residualAgainstSpeed({ rows: [], slopes: [] })).toBeNull();
});

test('slopes that are not known leave a panel without numbers', async () => {
  const svg = await renderSvg(residualAgainstSpeed({ rows, slopes: [] })!);
  expect(svg).toContain('camera left<');
});
