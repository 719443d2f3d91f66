/** What the residual of a lift on force plates says, in plain words. */
interface Size {
  readonly mean: number;
  readonly rms: number;
  readonly p95: number;
}
interface Overall {
  readonly frames: number;
  readonly forceN: { readonly up: Size | null };
  readonly forcePctBodyWeight: { readonly up: Size | null };
  readonly momentNm: { readonly right: Size | null };
  readonly pressureForwardM: Size | null;
}
interface Estimated {
  readonly value: number;
  readonly standardUncertainty: number;
  readonly credible: boolean;
}
interface Estimate {
  readonly massKg: Estimated;
  readonly trunkUpM: Estimated;
  readonly trunkForwardM: Estimated;
  readonly independentValues: number;
}
interface Recommended {
  readonly forceLimitN: number;
  readonly momentLimitNm: number;
  readonly within: boolean;
}

export function residualNotes(
  overall: Overall,
  recommended: Recommended,
  estimate: Estimate | null,
  statedMassKg: number,
): readonly string[] {
  const notes: string[] = [];
  const { up } = overall.forceN;
  const moment = overall.momentNm.right;
  if (!up || !moment || !overall.pressureForwardM)
    return ['Too few frames have both a measured and a predicted ground force for a residual.'];
  notes.push(
    `Predicted less measured ground force, vertical: rms ${up.rms.toFixed(1)} N, ${overall.forcePctBodyWeight.up!.rms.toFixed(2)} % of body weight. ` +
      `Moment about mid-hip: mean ${signed(moment.mean, 0)}, rms ${moment.rms.toFixed(0)} N·m. Centre of pressure fore–aft: mean ` +
      `${signed(1000 * overall.pressureForwardM.mean, 0)}, rms ${(1000 * overall.pressureForwardM.rms).toFixed(0)} mm.`,
    recommended.within
      ? 'Within the limits recommended for such residuals (5 % of the largest force; 1 % of it times the height of the centre of mass).'
      : `Outside the limits recommended for such residuals: force ${recommended.forceLimitN.toFixed(0)} N, moment ${recommended.momentLimitNm.toFixed(0)} N·m rms. ` +
          'Of the moments, those from the measured force are the surer ones.',
  );
  if (!estimate) {
    notes.push('The recording is too short to tell body mass or trunk centre from the force plates.');
    return notes;
  }
  const { massKg, trunkUpM, trunkForwardM } = estimate;
  notes.push(
    `The force plates would fit best with a lifter of ${massKg.value.toFixed(1)} ± ${massKg.standardUncertainty.toFixed(2)} kg (stated ${statedMassKg.toFixed(1)}) ` +
      `and the trunk's centre of mass ${millimetres(trunkUpM)} up its line and ${millimetres(trunkForwardM)} forward of where it is placed ` +
      `(± one standard uncertainty; about ${estimate.independentValues.toFixed(0)} independent values). This is not applied.`,
  );
  const doubted = [
    [massKg, 'body mass'],
    [trunkUpM, 'trunk centre along its line'],
    [trunkForwardM, 'trunk centre forward'],
  ].flatMap(([value, name]) => ((value as Estimated).credible ? [] : [name as string]));
  if (doubted.length > 0)
    notes.push(
      `Not credible as a property of this lifter: ${doubted.join(', ')}. Something else is wrong: points, load, place or zero of the force plates.`,
    );
  return notes;
}

function signed(value: number, digits: number): string {
  return `${value < 0 ? '−' : '+'}${Math.abs(value).toFixed(digits)}`;
}

function millimetres({ value, standardUncertainty }: Estimated): string {
  return `${signed(1000 * value, 0)} ± ${(1000 * standardUncertainty).toFixed(0)} mm`;
}
