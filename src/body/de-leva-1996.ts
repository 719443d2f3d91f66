import type { MeanLengths, SegmentParameters, SegmentTable } from './segment-table.ts';

/** One printed row. Lengths mm; the rest in per cent: of body mass (one side), and of the length between the end points. */
export interface DeLevaRow {
  readonly segment: string;
  /** First-named end point is the one `centrePct` is measured from. */
  readonly endPoints: string;
  readonly massPct: number;
  readonly lengthMm: number;
  readonly centrePct: number;
  readonly sagittalPct: number;
  readonly transversePct: number;
  readonly longitudinalPct: number;
}

/**
 * de Leva P (1996) Adjustments to Zatsiorsky-Seluyanov's segment inertia parameters. J Biomech 29(9):1223–1230, Table 4,
 * as printed: 15 women (mean 1.735 m, 61.9 kg), 100 men (1.741 m, 73.0 kg).
 *
 * End points: VERT vertex, MIDG mid-gonion, CERV cervicale (C7), SUPR suprasternale, XYPH xiphion, OMPH omphalion, MIDH
 * mid-hip, MIDS mid-shoulder, SJC EJC WJC HJC KJC AJC joint centres, MET3 third metacarpale, DAC3 third dactylion, STYL
 * stylion, LMAL lateral malleolus, SPHY sphyrion, HEEL pternion, TTIP acropodion.
 *
 * The women's masses sum to 99.99 %, as in print; nothing is rescaled.
 */
export const DE_LEVA_1996: Readonly<Record<'female' | 'male', readonly DeLevaRow[]>> = {
  female: [
    row('Head', 'VERT-MIDG', 6.68, 200.2, 58.94, 33, 35.9, 31.8),
    row('Trunk', 'SUPR-MIDH', 42.57, 529.3, 41.51, 35.7, 33.9, 17.1),
    row('Upper trunk', 'SUPR-XYPH', 15.45, 142.5, 20.77, 74.6, 50.2, 71.8),
    row('Middle trunk', 'XYPH-OMPH', 14.65, 205.3, 45.12, 43.3, 35.4, 41.5),
    row('Lower trunk', 'OMPH-MIDH', 12.47, 181.5, 49.2, 43.3, 40.2, 44.4),
    row('Upper arm', 'SJC-EJC', 2.55, 275.1, 57.54, 27.8, 26, 14.8),
    row('Forearm', 'EJC-WJC', 1.38, 264.3, 45.59, 26.1, 25.7, 9.4),
    row('Hand', 'WJC-MET3', 0.56, 78, 74.74, 53.1, 45.4, 33.5),
    row('Thigh', 'HJC-KJC', 14.78, 368.5, 36.12, 36.9, 36.4, 16.2),
    row('Shank', 'KJC-LMAL', 4.81, 432.3, 44.16, 27.1, 26.7, 9.3),
    row('Foot', 'HEEL-TTIP', 1.29, 228.3, 40.14, 29.9, 27.9, 13.9),
    row('Head 2', 'VERT-CERV', 6.68, 243.7, 48.41, 27.1, 29.5, 26.1),
    row('Trunk 2', 'CERV-MIDH', 42.57, 614.8, 49.64, 30.7, 29.2, 14.7),
    row('Trunk 3', 'MIDS-MIDH', 42.57, 497.9, 37.82, 37.9, 36.1, 18.2),
    row('Upper trunk 2', 'CERV-XYPH', 15.45, 228, 50.5, 46.6, 31.4, 44.9),
    row('Forearm 2', 'EJC-STYL', 1.38, 262.4, 45.92, 26.3, 25.9, 9.5),
    row('Hand 2', 'WJC-DAC3', 0.56, 170.1, 34.27, 24.4, 20.8, 15.4),
    row('Hand 3', 'STYL-DAC3', 0.56, 172, 35.02, 24.1, 20.6, 15.2),
    row('Hand 4', 'STYL-MET3', 0.56, 79.9, 75.34, 51.9, 44.3, 32.7),
    row('Shank (KJC-AJC)', 'KJC-AJC', 4.81, 438.6, 43.52, 26.7, 26.3, 9.2),
    row('Shank (KJC-SPHY)', 'KJC-SPHY', 4.81, 426, 44.81, 27.5, 27.1, 9.4),
  ],
  male: [
    row('Head', 'VERT-MIDG', 6.94, 203.3, 59.76, 36.2, 37.6, 31.2),
    row('Trunk', 'SUPR-MIDH', 43.46, 531.9, 44.86, 37.2, 34.7, 19.1),
    row('Upper trunk', 'SUPR-XYPH', 15.96, 170.7, 29.99, 71.6, 45.4, 65.9),
    row('Middle trunk', 'XYPH-OMPH', 16.33, 215.5, 45.02, 48.2, 38.3, 46.8),
    row('Lower trunk', 'OMPH-MIDH', 11.17, 145.7, 61.15, 61.5, 55.1, 58.7),
    row('Upper arm', 'SJC-EJC', 2.71, 281.7, 57.72, 28.5, 26.9, 15.8),
    row('Forearm', 'EJC-WJC', 1.62, 268.9, 45.74, 27.6, 26.5, 12.1),
    row('Hand', 'WJC-MET3', 0.61, 86.2, 79, 62.8, 51.3, 40.1),
    row('Thigh', 'HJC-KJC', 14.16, 422.2, 40.95, 32.9, 32.9, 14.9),
    row('Shank', 'KJC-LMAL', 4.33, 434, 44.59, 25.5, 24.9, 10.3),
    row('Foot', 'HEEL-TTIP', 1.37, 258.1, 44.15, 25.7, 24.5, 12.4),
    row('Head 2', 'VERT-CERV', 6.94, 242.9, 50.02, 30.3, 31.5, 26.1),
    row('Trunk 2', 'CERV-MIDH', 43.46, 603.3, 51.38, 32.8, 30.6, 16.9),
    row('Trunk 3', 'MIDS-MIDH', 43.46, 515.5, 43.1, 38.4, 35.8, 19.7),
    row('Upper trunk 2', 'CERV-XYPH', 15.96, 242.1, 50.66, 50.5, 32, 46.5),
    row('Forearm 2', 'EJC-STYL', 1.62, 266.9, 46.08, 27.8, 26.7, 12.2),
    row('Hand 2', 'WJC-DAC3', 0.61, 187.9, 36.24, 28.8, 23.5, 18.4),
    row('Hand 3', 'STYL-DAC3', 0.61, 189.9, 36.91, 28.5, 23.3, 18.2),
    row('Hand 4', 'STYL-MET3', 0.61, 88.2, 79.48, 61.4, 50.2, 39.2),
    row('Shank (KJC-AJC)', 'KJC-AJC', 4.33, 440.3, 43.95, 25.1, 24.6, 10.2),
    row('Shank (KJC-SPHY)', 'KJC-SPHY', 4.33, 427.7, 45.24, 25.8, 25.3, 10.5),
  ],
};

/** The table as Kneeward draws the body: joint centre to joint centre, trunk from mid-hip to mid-shoulder (Trunk 3). */
export function deLevaTable(sex: 'female' | 'male'): SegmentTable {
  return {
    name: 'de-leva-1996',
    sex,
    source: 'de Leva (1996), Table 4',
    segments: {
      // Printed from the vertex; the centre is placed at the ear canals, where it lies to about 1 cm (place-head.ts).
      head: { ...parameters(sex, 'Head 2', 'ear canal', 'ear canal'), centreFraction: 0 },
      // Printed from mid-shoulder down; turned, because our trunk runs from mid-hip up.
      trunk: turned(parameters(sex, 'Trunk 3', 'mid_shoulder', 'mid_hip')),
      upper_arm: parameters(sex, 'Upper arm', 'shoulder', 'elbow'),
      forearm: parameters(sex, 'Forearm', 'elbow', 'wrist'),
      hand: parameters(sex, 'Hand', 'wrist', 'third knuckle'),
      thigh: parameters(sex, 'Thigh', 'hip', 'knee'),
      shank: parameters(sex, 'Shank (KJC-AJC)', 'knee', 'ankle'),
      foot: parameters(sex, 'Foot', 'heel', 'big toe'),
    },
  };
}

/**
 * Mean lengths of the sample. From mid-shoulder to the head's centre of mass: up to C7 (Trunk 2 less Trunk 3), then up by
 * Head 2's length less the centre's distance from the vertex (209 mm in men, 243 mm in women).
 */
export function deLevaLengths(sex: 'female' | 'male'): MeanLengths {
  const metres = (segment: string) => deLevaRow(sex, segment).lengthMm / 1000;
  const head = deLevaRow(sex, 'Head 2');
  return {
    trunkM: metres('Trunk 3'),
    upperArmM: metres('Upper arm'),
    forearmM: metres('Forearm'),
    handM: metres('Hand'),
    thighM: metres('Thigh'),
    shankM: metres('Shank (KJC-AJC)'),
    footM: metres('Foot'),
    shouldersToHeadCentreM: metres('Trunk 2') - metres('Trunk 3') + metres('Head 2') * (1 - head.centrePct / 100),
  };
}

/** The row printed for `segment`. */
export function deLevaRow(sex: 'female' | 'male', segment: string): DeLevaRow {
  const found = DE_LEVA_1996[sex].find((each) => each.segment === segment);
  if (!found) throw new RangeError(`de Leva (1996) Table 4 has no row "${segment}"`);
  return found;
}

function parameters(
  sex: 'female' | 'male',
  segment: string,
  from: SegmentParameters['from'],
  to: SegmentParameters['to'],
): SegmentParameters {
  const printed = deLevaRow(sex, segment);
  return {
    massFraction: printed.massPct / 100,
    centreFraction: printed.centrePct / 100,
    transverseRadiusFraction: printed.transversePct / 100,
    endPoints: printed.endPoints,
    from,
    to,
  };
}

function turned(segment: SegmentParameters): SegmentParameters {
  return { ...segment, centreFraction: 1 - segment.centreFraction, from: segment.to, to: segment.from };
}

function row(
  segment: string,
  endPoints: string,
  massPct: number,
  lengthMm: number,
  centrePct: number,
  sagittalPct: number,
  transversePct: number,
  longitudinalPct: number,
): DeLevaRow {
  return { segment, endPoints, massPct, lengthMm, centrePct, sagittalPct, transversePct, longitudinalPct };
}
