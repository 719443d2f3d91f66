import type { Landmark } from '../../capture/landmarks.ts';
import type { Trajectories } from '../../reconstruction/trajectories.ts';
import type { BodyPoint, BodyPoints } from '../body-points.ts';
import { type PointSeries, pointSeries } from '../point-series.ts';

/** The points axes are drawn through: those of the body (with its bridged gaps), and markers nothing else uses. */
export interface AxisPoints {
  readonly frames: number;
  find(name: BodyPoint): PointSeries | null;
  /** The points in the order asked for; null where one is never known. */
  all<const Names extends readonly BodyPoint[]>(names: Names): { readonly [K in keyof Names]: PointSeries } | null;
  /** Those of the names that are never known. */
  absent(names: readonly BodyPoint[]): readonly BodyPoint[];
}

/** Points the body stage may have left out on purpose: what it does not know of these stays unknown. */
const JUDGED = /_(shoulder|hip|knee|ankle|elbow|wrist|hand|heel|big_toe|ear)$|^mid_(?!back)/;

export function axisPoints(points: BodyPoints, trajectories: Trajectories): AxisPoints {
  const read = new Map<BodyPoint, PointSeries | null>();
  const find = (name: BodyPoint): PointSeries | null => {
    const known = points.known.get(name);
    if (known) return known;
    if (JUDGED.test(name)) return null;
    const before = read.get(name);
    if (before !== undefined) return before;
    const found = pointSeries(trajectories, name as Landmark);
    read.set(name, found);
    return found;
  };
  return {
    frames: points.frames,
    find,
    all: (names) => {
      const found = names.map(find);
      return found.includes(null) ? null : (found as never);
    },
    absent: (names) => names.filter((name) => find(name) === null),
  };
}
