import { RATIO_KNEE_SHARE, SHARE_FLOOR_NM_PER_KG } from '../limits.ts';
import type { RepetitionMeasure } from './measure.ts';
import { type Averaging, readAt } from './readings.ts';
import { sidesKnown } from './sides-known.ts';

const FLOOR = `Unknown where hip + knee moment is below ${SHARE_FLOOR_NM_PER_KG} N·m per kg of lifter and bar.`;

/** Share of the hip in the work of hip and knee. */
export const hipShare = atParallelBottomSticking({
  name: 'hip_share',
  unit: '1',
  title: 'Hip share',
  definition: `Hip extensor moment / (hip + knee extensor moment): 0 = all knee, 1 = all hip, outside where one of the two is a flexor moment. ${FLOOR}`,
  knownAs: ['hip-dominant or knee-dominant'],
});

/** The same of the gravity parts only: what a lifter frozen in the posture would need. */
export const hipShareGravity = atParallelBottomSticking({
  name: 'hip_share_gravity',
  unit: '1',
  title: 'Hip share, gravity only',
  definition: `Hip share of the moments a lifter frozen in the posture would need; much less noisy than hip share. ${FLOOR}`,
  knownAs: ['hip-dominant or knee-dominant'],
});

/** Hip less knee moment, always defined. */
export const hipMinusKnee = atParallelBottomSticking({
  name: 'hip_minus_knee',
  unit: 'nm',
  title: 'Hip minus knee moment',
  definition: 'Hip extensor moment less knee extensor moment; always defined.',
  knownAs: ['hip-dominant or knee-dominant'],
});

/** Hip over knee moment. */
export const hipKneeRatio = atParallelBottomSticking(
  {
    name: 'hip_knee_ratio',
    unit: '1',
    title: 'Hip-to-knee ratio',
    definition: `Hip extensor moment / knee extensor moment. Unknown where the knee moment is below ${RATIO_KNEE_SHARE * 100} % of hip + knee. The value at parallel is the geometric mean of descent and ascent.`,
    knownAs: ['hip-to-knee moment ratio'],
  },
  'logarithmic',
);

function atParallelBottomSticking(
  card: Pick<RepetitionMeasure, 'name' | 'unit' | 'title' | 'definition' | 'knownAs'>,
  averaging: Averaging = 'arithmetic',
): RepetitionMeasure {
  return {
    scope: 'repetition',
    ...card,
    needs: [],
    source: 'common practice, no source',
    of: (repetition, lift) =>
      sidesKnown(lift, card.name).flatMap((side) =>
        readAt(lift, repetition, card.name, side, ['parallel', 'bottom', 'sticking point'], averaging),
      ),
  };
}
