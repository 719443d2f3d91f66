import { CENTRES_FROM_MARKERS } from './centre-markers.ts';
import { COCO_COUNT, LANDMARKS, type Landmark } from './landmarks.ts';
import type { RecordingData } from './recording.ts';
import { SampleStatus } from './sample-status.ts';

/** What a recording allows, in plain words. */
export interface Abilities {
  readonly can: readonly string[];
  readonly cannot: readonly { readonly what: string; readonly why: string }[];
}

const pair = (part: string): Landmark[] => [`left_${part}`, `right_${part}`] as Landmark[];

/** What can be said and computed, given the landmarks it needs; in the order a reader wants it. */
const BY_LANDMARKS: readonly { readonly what: string; readonly needs: readonly Landmark[] }[] = [
  {
    what: 'repetitions, depth (thigh elevation), knee angles',
    needs: [...pair('hip'), ...pair('knee'), ...pair('ankle')],
  },
  { what: 'trunk lean', needs: [...pair('hip'), ...pair('shoulder')] },
  { what: 'stance width against hip width', needs: [...pair('hip'), ...pair('ankle')] },
  {
    what: 'foot measures (centre of mass and pressure along the foot, heel and toe lift, toe-out, knee over toe)',
    needs: [...pair('heel'), ...pair('big_toe')],
  },
  {
    what: 'rack measures (upper-arm elevation, elbow width, hand spacing)',
    needs: [...pair('shoulder'), ...pair('elbow'), ...pair('wrist')],
  },
  { what: 'rounding of the back', needs: ['mid_back', 'neck_base', ...pair('hip')] },
];

const ONE_VIEW = 'one view shows no depth: film from two sides or more';

/**
 * What can and cannot be computed from a recording's landmarks, views and force plates, before anything is computed.
 * A landmark counts where it is seen in at least one frame, by two views or more; a joint centre also where its markers are.
 */
export function abilities(data: RecordingData): Abilities {
  const can: string[] = [];
  const cannot: { what: string; why: string }[] = [];
  const views = data.tracks?.length ?? 0;
  if (data.tracks && views < 2) {
    return {
      can: ['check of the keypoints of one view'],
      cannot: [{ what: 'anything in 3D: joint places, angles, moments, technique', why: ONE_VIEW }],
    };
  }
  const tracked = landmarksSeen(data);
  const seen = withCentres(tracked);
  can.push(
    data.tracks
      ? `3D places of ${tracked.size} landmarks from ${views} views`
      : `3D places of ${tracked.size} landmarks, as measured`,
  );
  for (const { what, needs } of BY_LANDMARKS) {
    const missing = needs.filter((name) => !seen.has(name));
    if (missing.length === 0) can.push(what);
    else cannot.push({ what, why: reason(seen, missing) });
  }
  judgeMoments(data, seen, can, cannot);
  judgeBar(data, seen, can, cannot);
  const pelvis = [...pair('asis'), ...pair('psis')];
  const missing = pelvis.filter((name) => !seen.has(name));
  const none = missing.length === pelvis.length;
  if (missing.length === 0) can.push('pelvic tuck');
  else cannot.push({ what: 'pelvic tuck', why: none ? 'there are no pelvis landmarks' : reason(seen, missing) });
  return { can, cannot };
}

function landmarksSeen(data: RecordingData): Set<Landmark> {
  const tracks = data.tracks ?? (data.points ? [data.points] : []);
  const least = data.tracks ? 2 : 1;
  return new Set(
    LANDMARKS.filter((name) => {
      const seeing = tracks.filter((track) => {
        const column = track.landmarks.indexOf(name);
        if (column < 0) return false;
        for (let at = column; at < track.status.length; at += track.landmarks.length) {
          if (track.status[at] === SampleStatus.seen) return true;
        }
        return false;
      });
      return seeing.length >= least;
    }),
  );
}

/** The landmarks, and the joint centres that come from markers among them. */
function withCentres(tracked: ReadonlySet<Landmark>): ReadonlySet<Landmark> {
  const derived = CENTRES_FROM_MARKERS.filter(({ from }) => from.every((name) => tracked.has(name)));
  return new Set([...tracked, ...derived.map(({ centre }) => centre)]);
}

function reason(seen: ReadonlySet<Landmark>, missing: readonly Landmark[]): string {
  const names = `needs ${missing.join(', ')}`;
  const onlyCoco = [...seen].every((name) => LANDMARKS.indexOf(name) < COCO_COUNT);
  const feet = missing.some((name) => name.endsWith('_heel') || name.endsWith('_toe'));
  return onlyCoco && feet ? `${names}: the 17 COCO keypoints have no heel or toe` : names;
}

function judgeMoments(
  data: RecordingData,
  seen: ReadonlySet<Landmark>,
  can: string[],
  cannot: { what: string; why: string }[],
): void {
  const legs = [...pair('hip'), ...pair('knee'), ...pair('ankle')];
  const missingLegs = legs.filter((name) => !seen.has(name));
  const feet = new Set(data.forcePlates.map((forcePlate) => forcePlate.foot));
  if (missingLegs.length > 0) {
    cannot.push({ what: 'joint moments, hip-to-knee share', why: `needs ${missingLegs.join(', ')}` });
    return;
  }
  const missingShoulders = pair('shoulder').filter((name) => !seen.has(name));
  if (missingShoulders.length === 0) {
    can.push('hip, knee and ankle moments of both legs together, summed from the bar down');
    judgeUpperBody(seen, cannot);
  } else {
    const why = `needs ${missingShoulders.join(', ')}`;
    cannot.push({ what: 'moments summed from above, centre of mass, predicted ground force', why });
  }
  const bothMeasured = feet.has('both') || (feet.has('left') && feet.has('right'));
  if (bothMeasured) can.push('hip, knee and ankle moments from the measured ground force up');
  if (feet.has('left') && feet.has('right')) can.push('moments of each leg');
  else cannot.push({ what: 'measured moments of each leg', why: eachLegReason(feet) });
  if (bothMeasured && missingShoulders.length === 0)
    can.push('check of the moments: from above against measured force');
  if (missingShoulders.length > 0 && !bothMeasured) {
    cannot.push({
      what: 'any joint moment',
      why: 'there is neither an upper body nor a measured force under both feet',
    });
  }
}

function eachLegReason(feet: ReadonlySet<string>): string {
  if (feet.size === 0) return 'there are no force plates: only both legs together are determined';
  if (feet.has('both')) return 'one force plate under both feet measures their sum';
  return `only the ${feet.has('left') ? 'left' : 'right'} foot stands on a force plate`;
}

/** Head and arms that are not tracked are still weighed, at a stated place; the reader must know. */
function judgeUpperBody(seen: ReadonlySet<Landmark>, cannot: { what: string; why: string }[]): void {
  const headSeen = seen.has('head') || seen.has('left_ear') || seen.has('right_ear');
  if (!headSeen) {
    cannot.push({
      what: 'place of the head',
      why: 'needs head or ears: its mass is put at a stated place on the trunk line',
    });
  }
  const arms = [...pair('elbow'), ...pair('wrist')].filter((name) => !seen.has(name));
  if (arms.length > 0) {
    cannot.push({ what: 'place of the arms', why: `needs ${arms.join(', ')}: their mass is put at a stated place` });
  }
}

function judgeBar(
  data: RecordingData,
  seen: ReadonlySet<Landmark>,
  can: string[],
  cannot: { what: string; why: string }[],
): void {
  const { totalKg, bar } = data.recording.load;
  const missing = (['bar_left_end', 'bar_right_end'] as const).filter((name) => !seen.has(name));
  if (missing.length === 0) {
    can.push('bar path, velocity, tilt and turn, at the tracked bar ends');
    return;
  }
  if (totalKg <= 0) return;
  const from = bar.position === 'hands' || bar.position === 'overhead' ? 'hands' : 'shoulders';
  cannot.push({
    what: 'bar path, tilt and turn of its own',
    why: `needs ${missing.join(', ')}: the bar is placed at a stated offset from the ${from}`,
  });
}
