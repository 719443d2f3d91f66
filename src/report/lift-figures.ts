import { acrossSet } from '../figures/across-set.ts';
import { cameraResiduals } from '../figures/camera-residuals.ts';
import { doubtShares } from '../figures/doubt-shares.ts';
import { hipShareAcrossDepth } from '../figures/hip-share-across-depth.ts';
import { leanAcrossDepth } from '../figures/lean-across-depth.ts';
import type { Figure } from '../figures/look.ts';
import { momentAcrossDepth } from '../figures/moment-across-depth.ts';
import { momentAgainstAngle } from '../figures/moment-against-angle.ts';
import { postureStrip } from '../figures/posture-strip.ts';
import { renderSvg } from '../figures/render-svg.ts';
import { timeCourse } from '../figures/time-course.ts';
import type { LiftRecord } from '../lift/lift-record.ts';
import { meanCurvesTable } from '../study/mean-curves.ts';
import { meansTable } from '../study/means-table.ts';
import { POSTURES, type Posture, posturesTable } from '../study/postures.ts';
import { residualsTable } from '../study/residuals.ts';
import { type SetChange, setChangesTable, watchedChanges } from '../study/set-changes.ts';
import { curvesTable, framesTable, repetitionsTable } from '../study/tables.ts';
import type { LiftUncertainty } from '../uncertainty/lift-uncertainty.ts';

/** The figures of one lift as SVG texts; null where the recording cannot give one. */
export interface LiftFigures {
  readonly momentAcrossDepth: string | null;
  readonly hipShareAcrossDepth: string | null;
  readonly leanAcrossDepth: string | null;
  readonly postureStrip: string | null;
  readonly cameraResiduals: string | null;
  readonly timeCourse: string | null;
  readonly momentAgainstAngle: string | null;
  /** null also where intervals were switched off. */
  readonly doubtShares: string | null;
  /** null for a set of one repetition, and without intervals. */
  readonly acrossSet: string | null;
  /** One panel a posture, all to one scale; only those that the shown repetition has. */
  readonly postures: PosturePanels;
  /** The two for the first screen, to a scale of their own: parallel (half way down where it is not reached) and bottom. */
  readonly pair: PosturePanels;
}

export type PosturePanels = Partial<Readonly<Record<Posture, string>>>;

/** Draws every figure of a lift. Deterministic: the same record gives the same bytes. */
export async function liftFigures(
  record: LiftRecord,
  uncertainty: LiftUncertainty | null = null,
  setChanges: readonly SetChange[] = [],
  effortRpe: number | null = null,
): Promise<LiftFigures> {
  const curves = curvesTable(record);
  const means = meanCurvesTable(record, uncertainty);
  const postures = posturesTable(record);
  const known = (quantity: string) =>
    record.curves.some(
      (point) =>
        point.quantity === quantity &&
        point.grid === 'thigh_elevation_deg' &&
        (point.side === 'both' || point.side === '') &&
        Number.isFinite(point.value),
    );
  const draw = async (figure: Figure | null) => (figure ? renderSvg(figure) : null);
  const names = POSTURES.filter((posture) => postures.array('posture').includes(posture));
  const panels = async (shown: readonly Posture[], named: boolean): Promise<PosturePanels> => {
    const drawn: [Posture, string | null][] = [];
    for (const posture of shown) drawn.push([posture, await draw(postureStrip(postures, [posture], shown, named))]);
    return Object.fromEntries(drawn.filter(([, svg]) => svg !== null));
  };
  const pair = names.filter(
    (name) => name === (names.includes('parallel') ? 'parallel' : 'half way down') || name === 'bottom',
  );
  return {
    momentAcrossDepth: await draw(
      known('hip_moment') || known('knee_moment') ? momentAcrossDepth(curves, means) : null,
    ),
    hipShareAcrossDepth: await draw(known('hip_share') ? hipShareAcrossDepth(curves, means) : null),
    leanAcrossDepth: await draw(known('trunk_lean') ? leanAcrossDepth(curves, means) : null),
    postureStrip: await draw(postureStrip(postures)),
    cameraResiduals: await draw(cameraResiduals(residualsTable(record))),
    timeCourse: await draw(timeCourse(framesTable(record), repetitionsTable(record))),
    momentAgainstAngle: await draw(momentAgainstAngle(framesTable(record), repetitionsTable(record))),
    doubtShares: await draw(uncertainty && doubtShares(meansTable(record, uncertainty))),
    acrossSet: await draw(
      acrossSet(
        setChangesTable(record, effortRpe, setChanges),
        new Set(watchedChanges(setChanges).map(({ measure }) => measure)),
      ),
    ),
    postures: await panels(names, true),
    pair: await panels(pair, false),
  };
}

const FIGURES = [
  ['moment-across-depth.svg', 'momentAcrossDepth'],
  ['hip-share-across-depth.svg', 'hipShareAcrossDepth'],
  ['lean-across-depth.svg', 'leanAcrossDepth'],
  ['time-course.svg', 'timeCourse'],
  ['moment-against-angle.svg', 'momentAgainstAngle'],
  ['doubt-shares.svg', 'doubtShares'],
  ['across-set.svg', 'acrossSet'],
  ['posture-strip.svg', 'postureStrip'],
  ['camera-residuals.svg', 'cameraResiduals'],
] as const satisfies readonly (readonly [string, keyof LiftFigures])[];

/** Every file that figureFiles can give. */
export const FIGURE_FILES: readonly string[] = FIGURES.map(([name]) => name);

/** The figures as files: name inside the folder → SVG text. */
export function figureFiles(figures: LiftFigures): ReadonlyMap<string, string> {
  const named = FIGURES.map(([name, figure]): [string, string | null] => [name, figures[figure]]);
  return new Map(named.filter((entry): entry is [string, string] => entry[1] !== null));
}
