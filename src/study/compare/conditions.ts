import { type Recording, smoothingMethod } from '../../capture/recording.ts';
import { compareCautions } from '../../messages/compare.ts';
import { conditionWords } from '../summary.ts';
import { type ComparedLift, repetitionsOf } from './compared-lift.ts';

/** Something the files state about both sides. */
export interface Condition {
  readonly name:
    | 'lifter'
    | 'recording'
    | 'repetitions'
    | 'date'
    | 'lift'
    | 'set'
    | 'load'
    | 'bar'
    | 'bar seen'
    | 'grip'
    | 'heel'
    | 'condition'
    | 'body mass'
    | 'effort'
    | 'rig'
    | 'detector'
    | 'segments'
    | 'trunk'
    | 'points'
    | 'smoothing';
  readonly a: string;
  readonly b: string;
}

/** Settings that make numbers differ though the lifter does not. */
const METHOD: readonly Condition['name'][] = ['bar seen', 'detector', 'segments', 'trunk', 'points', 'smoothing'];

/** All that is stated, A beside B; '' where a side does not state it. */
export function conditionsOf(a: ComparedLift, b: ComparedLift): Condition[] {
  const [ofA, ofB] = [a, b].map(statedOf);
  return (Object.keys(ofA) as Condition['name'][]).map((name) => ({ name, a: ofA[name], b: ofB[name] }));
}

function statedOf(lift: ComparedLift): Record<Condition['name'], string> {
  const { recording, record } = lift;
  const { settings } = recording;
  const placedBy = record.loads.motion.barbell?.placedBy ?? null;
  return {
    lifter: recording.athlete.id,
    recording: recording.id,
    repetitions: repetitionsOf(lift).join(', '),
    date: recording.date ?? '',
    lift: recording.lift.kind,
    set: recording.lift.set === null ? '' : String(recording.lift.set),
    load: `${recording.load.totalKg} kg`,
    bar: recording.load.bar.position,
    'bar seen': recording.load.totalKg > 0 ? (placedBy === null ? 'tracked' : 'placed by the body') : '',
    grip: recording.lift.grip ?? '',
    heel:
      recording.shoes.heelHeightM === null ? '' : `${Number((100 * recording.shoes.heelHeightM).toPrecision(3))} cm`,
    condition: conditionWords(recording.condition),
    'body mass': `${recording.athlete.massKg} kg`,
    effort: recording.lift.effortRpe === null ? '' : String(recording.lift.effortRpe),
    rig: rigOf(recording),
    detector: recording.detector ?? '',
    segments: recording.segments,
    trunk: settings.trunk,
    points: settings.points,
    smoothing: smoothingWords(settings.smoothing),
  };
}

const rigOf = ({ source }: Recording): string =>
  source.kind === 'views' ? `${source.views.length} views` : '3D points';

function smoothingWords(smoothing: Recording['settings']['smoothing']): string {
  const method = smoothingMethod(smoothing);
  if (smoothing.kind === 'fixed')
    return `${method}, ${smoothing.legsHz}, ${smoothing.trunkHz}, ${smoothing.barHz} Hz (legs, trunk, bar)`;
  return method === null ? 'none' : `${method}, cut-offs by the data`;
}

/** What must be said before the numbers are read, most weighty first. */
export function cautionsOf(a: ComparedLift, b: ComparedLift, sameRig: boolean): string[] {
  const [one, other] = [a.recording, b.recording];
  const samePerson = one.athlete.id === other.athlete.id;
  const differing = conditionsOf(a, b).filter((condition) => condition.a !== condition.b);
  const method = differing.filter(({ name }) => METHOD.includes(name)).map(({ name }) => name);
  const orders = [a, b].map(({ record, ...lift }) => {
    const [first] = repetitionsOf({ record, ...lift });
    return record.repetitions.find(({ number }) => number === first)?.order;
  });
  return [
    ...(a.uncertainty && b.uncertainty ? [] : [compareCautions.nothingJudged()]),
    ...(samePerson ? [] : [compareCautions.otherLifter(one.athlete.id, other.athlete.id)]),
    ...(one.lift.kind === other.lift.kind ? [] : [compareCautions.otherKind(one.lift.kind, other.lift.kind)]),
    ...(orders[0] === orders[1] ? [] : [compareCautions.otherOrder()]),
    ...(one.load.totalKg === other.load.totalKg
      ? []
      : [compareCautions.otherLoad(one.load.totalKg, other.load.totalKg)]),
    ...(one.athlete.massKg === other.athlete.massKg
      ? []
      : [compareCautions.otherMass(one.athlete.massKg, other.athlete.massKg)]),
    ...(samePerson && (one.athlete.sex !== other.athlete.sex || one.athlete.statureM !== other.athlete.statureM)
      ? [compareCautions.otherDescription(one.athlete.id)]
      : []),
    ...(sameRig || one.source.kind !== 'views' ? [] : [compareCautions.otherRig()]),
    ...(method.length > 0 ? [compareCautions.otherMethod(method.join(', '))] : []),
    ...notFull(a, 'A'),
    ...notFull(b, 'B'),
  ];
}

function notFull({ record, repetition }: ComparedLift, side: 'A' | 'B'): string[] {
  const of = record.repetitions.find(({ number }) => number === repetition);
  return of && of.completeness !== 'full' ? [compareCautions.notFull(side, of.number, of.completeness, of.reason)] : [];
}

/** Whether both sides were filmed with one rig, by the keys of their causes: then its errors cancel. */
export function sameRig(a: ComparedLift, b: ComparedLift): boolean {
  if (a.source === b.source) return true;
  const rigs = [a, b].map(
    ({ uncertainty }) => new Set(uncertainty?.causes.map(({ key }) => key).filter((key) => key.startsWith('rig/'))),
  );
  return rigs[0].size === rigs[1].size && [...rigs[0]].every((key) => rigs[1].has(key));
}
