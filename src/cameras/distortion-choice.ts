import { type Board, type BoardImage, boardPoints, cornersFound } from './board.ts';
import { fitCamera } from './fit-camera.ts';
import { coversImage } from './image-cover.ts';
import type { BoardTerms } from './lens-calibration.ts';
import { type LensFit, refineLens } from './lens-fit.ts';

/** Models tried, fewest terms first. */
const CANDIDATES: readonly BoardTerms[] = ['none', 'k1', 'k1 k2', 'k1 k2 p1 p2', 'k1 k2 p1 p2 k3'];
/** Parts into which the images are divided: each part is predicted from the others. Common practice, no source. */
const FOLDS = 5;

export interface DistortionChoice {
  readonly terms: BoardTerms;
  /** Every model tried: r.m.s. distance of the corners of images that the fit did not use, px; null = does not hold over the picture. */
  readonly tried: readonly { readonly terms: BoardTerms; readonly heldOutRmsPx: number | null }[];
}

/**
 * The fewest distortion terms that predict unseen images as well as any: the model with fewest terms whose held-out error
 * is within one standard error of the best (Breiman, Friedman, Olshen & Stone 1984, Classification and Regression Trees,
 * §3.4.3, the one-standard-error rule). Judged on whole images, because the corners of one image err alike (a board that is
 * not quite flat), which criteria that count corners take for information.
 *
 * `start`: a fit to all `images`.
 */
export function chooseDistortion(images: readonly BoardImage[], board: Board, start: LensFit): DistortionChoice {
  const scores = CANDIDATES.map((terms) => ({ terms, squares: heldOutSquares(images, board, start, terms) }));
  const kept = scores.filter((score): score is { terms: BoardTerms; squares: Float64Array } => score.squares !== null);
  const total = (squares: Float64Array) => squares.reduce((sum, x) => sum + x, 0);
  const best = kept.reduce((a, b) => (total(b.squares) < total(a.squares) ? b : a));
  const chosen = kept.find(({ squares }) => {
    // Paired by image: what is hard about an image is hard for every model.
    const excess = squares.map((x, i) => x - best.squares[i]);
    const n = excess.length;
    const mean = total(excess) / n;
    const variance = excess.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (n - 1);
    return mean <= Math.sqrt(variance / n);
  })!;
  return {
    terms: chosen.terms,
    tried: scores.map(({ terms, squares }) => ({
      terms,
      heldOutRmsPx: squares === null ? null : Math.sqrt(total(squares) / squares.length),
    })),
  };
}

/** Mean squared distance of the corners of each image, predicted from the images of the other parts, px². */
function heldOutSquares(
  images: readonly BoardImage[],
  board: Board,
  start: LensFit,
  terms: BoardTerms,
): Float64Array | null {
  const squares = new Float64Array(images.length);
  const folds = Math.min(FOLDS, images.length);
  for (let fold = 0; fold < folds; fold++) {
    const fit = refineLens(
      images.filter((_, i) => i % folds !== fold),
      board,
      start,
      terms,
    );
    if (!coversImage(fit.camera)) return null;
    for (let i = fold; i < images.length; i += folds) squares[i] = predictedSquare(images[i], board, fit, start);
  }
  return squares;
}

function predictedSquare(image: BoardImage, board: Board, fit: LensFit, start: LensFit): number {
  const all = boardPoints(board);
  const seen = cornersFound(image);
  const points = Float64Array.from(seen.flatMap((corner) => [...all.subarray(3 * corner, 3 * corner + 3)]));
  const pixels = Float64Array.from(seen.flatMap((corner) => [...image.corners.subarray(2 * corner, 2 * corner + 2)]));
  const pose = start.views.find((view) => view.image === image.image)!;
  const { rotation, translation } = pose;
  return fitCamera({ ...fit.camera, rotation, translation }, points, pixels, []).rmsPx ** 2;
}
