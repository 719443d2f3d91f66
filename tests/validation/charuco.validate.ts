import { findCharuco } from '../../src/cameras/charuco/find-charuco.ts';
import { cornerGrid } from '../../src/cameras/defined-board.ts';
import { calibrateLens } from '../../src/cameras/lens-calibration.ts';
import { readBoard } from '../../src/capture/board-file.ts';
import { hashSeed, seededRandom } from '../../src/numerics/random.ts';
import { filmed, heldSomewhere, PHONE, printedPage, SMALL_PHONE } from '../synthetic/charuco-views.ts';
import type { Validation, ValidationRow } from './result.ts';

const SEED = 20251;
const SETS = 40;
const PICTURES = 10;

/** Rendered pictures of the printed page charuco-a4: corner errors, and how often the lens's 95 % interval holds the truth. */
export const validation: Validation = {
  name: 'charuco',
  title: 'ChArUco: corner errors and the focal length from rendered pictures',
  async run(scale, progress) {
    const sets = Math.max(1, Math.round(scale * SETS));
    const pictures = scale < 1 ? 5 : PICTURES;
    const phone = scale < 1 ? SMALL_PHONE : PHONE;
    const board = readBoard('charuco-a4');
    const page = await printedPage(board);
    const { imageWidth: width, imageHeight: height } = phone;
    const errors: number[] = [];
    const cut: number[] = [];
    let [inside, insideX, insideY, found, shown] = [0, 0, 0, 0, 0];
    for (let set = 0; set < sets; set++) {
      const random = seededRandom(hashSeed(SEED, set));
      const images = [];
      for (let i = 0; i < pictures; i++) {
        const camera = heldSomewhere(phone, board, random);
        const look = {
          blurPx: 0.6 + 0.9 * random.uniform(),
          noise: 1 + 4 * random.uniform(),
          lightRatio: 0.4 + 0.6 * random.uniform(),
          seed: random.integer(2 ** 32),
        };
        const { image, truth } = filmed(page, camera, look);
        shown += insidePicture(truth, width, height);
        const outcome = await findCharuco(image, board, { explain: false });
        progress(set * pictures + i + 1, sets * pictures);
        if (!outcome.found) continue;
        found += outcome.seen;
        cut.push(outcome.cut);
        for (let o = 0; o < truth.length; o += 2) {
          const d = Math.hypot(outcome.corners[o] - truth[o], outcome.corners[o + 1] - truth[o + 1]);
          if (Number.isFinite(d)) errors.push(d);
        }
        images.push({ camera: 'phone', image: String(i), corners: outcome.corners });
      }
      const lens = await calibrateLens(images, cornerGrid(board), { width, height });
      const within = (value: number, truth: number, sd: number) => Math.abs(value - truth) <= 1.96 * sd;
      const x = within(lens.fx, phone.fx, lens.standardDeviations[0]);
      const y = within(lens.fy, phone.fy, lens.standardDeviations[1]);
      insideX += x ? 1 : 0;
      insideY += y ? 1 : 0;
      inside += x && y ? 1 : 0;
    }
    const rms = Math.sqrt(errors.reduce((sum, d) => sum + d * d, 0) / errors.length);
    const row = (what: string, runs: number, value: number, unit: string, from: number | null, to: number | null) =>
      ({ what, runs, value, unit, from, to }) satisfies ValidationRow;
    return {
      seed: SEED,
      setting:
        `${sets} sets of ${pictures} pictures of the page charuco-a4, ${width} × ${height} px, f ${phone.fx} px, k1 −0.12, 0.45 to 0.8 m away, tilted up to 45°; ` +
        'blur 0.6 to 1.5 px, noise 1 to 5 grey levels, light falling to 40 to 100 % across the picture, gamma 2.2. ' +
        'Intervals: estimate ± 1.96 standard deviations. With 40 sets, 34 or more inside are what 95 % coverage gives in 99 of 100 such runs (binomial).',
      rows: [
        row('corner error after the outlier cut, r.m.s.', errors.length, rms, 'px', 0, 0.3),
        row(
          'largest corner error',
          errors.length,
          errors.reduce((a, b) => Math.max(a, b), 0),
          'px',
          null,
          null,
        ),
        row('corners found, of those in the picture', shown, found / shown, '1', null, null),
        row(
          'corners cut, of those read',
          errors.length,
          cut.reduce((a, b) => a + b, 0) / (found + 1e-9),
          '1',
          null,
          null,
        ),
        row('sets whose interval of fx holds the truth', sets, insideX / sets, '1', 0.85, 1),
        row('sets whose interval of fy holds the truth', sets, insideY / sets, '1', 0.85, 1),
        row('sets whose intervals of fx and fy both hold the truth', sets, inside / sets, '1', null, null),
      ],
    };
  },
};

/** Corners at least 8 px inside the picture. */
function insidePicture(pixels: Float64Array, width: number, height: number): number {
  let count = 0;
  for (let o = 0; o < pixels.length; o += 2) {
    const [u, v] = [pixels[o], pixels[o + 1]];
    if (u >= 8 && v >= 8 && u <= width - 9 && v <= height - 9) count++;
  }
  return count;
}
